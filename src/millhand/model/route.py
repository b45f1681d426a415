"""The way of a part over machines: which of them it comes to again, and what its passes there differ in."""

from collections.abc import Sequence

from millhand.model.part import Operation, Part


def comes_again(part: Part) -> bool:
    """Whether all of several operations are on the same machines: then a lot goes through them one after the other."""
    return len(part.operations) > 1 and len({each.machine for each in part.operations}) == 1


def unlike(operations: Sequence[Operation]) -> str:
    """What the passes of a lot differ in, or have of their own, so that a piece laid in has no mean; '' if nothing."""
    first = operations[0]
    for each in operations:
        if each.parts_per_cycle.value != first.parts_per_cycle.value:
            return "parts_per_cycle"
        if each.time_is.value != first.time_is.value:
            return "time_is"
        if each.sides.value != first.sides.value:
            return "sides"
    own: dict[str, list[object]] = {
        "cycles_per_visit": [each.cycles_per_visit for each in operations],
        "dressing": [each.dressing for each in operations],
        "hands_bound": [each.hands_bound for each in operations],
        "take_out_within": [each.take_out_within_s for each in operations],
    }
    return next((name for name, told in own.items() if any(one is not None for one in told)), "")

"""People's time by kind, a shift and a part: care of the machines, other work on the parts, waiting."""

from collections.abc import Sequence

from millhand.model.fact import Fact
from millhand.model.performance import PeopleTime
from millhand.stages.performance.shared import Scope, changes_lots, duties, good_share, set_up_of, simulated_words

WALKS = ("travelling", "carrying")


def by_hand_time(scope: Scope, good_parts: Fact) -> PeopleTime:
    """Of a process that people tend: what is left of their hours is waiting, and what nothing here explains.

    The loss that nothing explains is spread evenly: in every hour there the same share of the parts is missing, and
    the people who would have made them wait.
    """
    care = [_a_part(scope, "exchange", [each.exchange for each in scope.timing.operations]), _walking(scope)]
    if scope.output is not None:
        care.append(duties(scope))
    other = _a_part(scope, "other", [each.other for each in scope.timing.operations])
    there = scope.apply(
        "there_h", "people.there_h",
        heads=scope.of("shifts.assigned_heads"), worked_h=scope.of("shifts.at_machines_h"),
        shifts=scope.of(scope.hours.shifts),
    )  # fmt: skip
    return _kinds(scope, good_parts, [*care, *_set_up(scope)], [other], there)


def beside_a_cell(scope: Scope, good_parts: Fact, care: Sequence[Fact], other: Fact) -> PeopleTime:
    """Of a cell: people come when it calls, and wait for nothing; its lots are set up by them as today's are."""
    return _kinds(scope, good_parts, care, [other], None)


def _kinds(
    scope: Scope, good_parts: Fact, care: Sequence[Fact], other: Sequence[Fact], there: Fact | None
) -> PeopleTime:
    """Hours a shift and a part of each kind."""
    found = {
        name: scope.apply(
            "kind_h", f"people.{name}_h",
            good_parts=good_parts, good_share=good_share(scope), work_s_per_part=tuple(each),
        )
        for name, each in (("care", care), ("other", other))
    }  # fmt: skip
    if there is not None:
        found["waiting"] = scope.apply(
            "waiting_h", "people.waiting_h", there_h=there, kinds_h=(found["care"], found["other"])
        )
    a_part = {
        name: scope.apply("a_part_h", f"people.{name}_a_part_h", hours_h=hours, good_parts=good_parts).id
        for name, hours in found.items()
    }
    return PeopleTime(
        there=there.id if there else None, a_shift={name: each.id for name, each in found.items()}, a_part=a_part
    )


def _a_part(scope: Scope, name: str, loads: Sequence[str]) -> Fact:
    """Time a part of something that is done on a load of each operation."""
    each = tuple(
        scope.apply(
            "time_a_part_s", f"{timed.operation}.{name}_a_part",
            load_s=scope.of(load), parts_per_load=scope.of(timed.parts_per_load),
        )
        for timed, load in zip(scope.timing.operations, loads, strict=True)
    )  # fmt: skip
    return scope.apply("attendant_work_s", f"people.{name}_s", elements_s=each)


def _walking(scope: Scope) -> Fact:
    """Time a part on the way, as simulated; the longest way of a load where nothing was simulated."""
    if scope.output is None:
        return _a_part(scope, "walking", [each.travel for each in scope.timing.operations])
    words, people = simulated_words(scope.output), scope.cell.attendants
    shares = (
        states.get(state, 0.0) for name, states in scope.output.states.items() if name in people for state in WALKS
    )
    share = scope.solved("walking_share", sum(shares), "1", words)
    loads = scope.solved("loads_per_h", scope.output.parts_per_h.mean, "1/h", words)
    return scope.apply(
        "duty_s", "people.walking_s", work_share=share, loads_per_h=loads, parts_per_load=scope.parts_per_load
    )


def _set_up(scope: Scope) -> tuple[Fact, ...]:
    """The set-up of a lot at every operation, a part of the lot."""
    if not changes_lots(scope):
        return ()
    set_up = set_up_of(scope)
    once = scope.apply("attendant_work_s", "people.set_up_s", elements_s=tuple(set_up for _ in scope.operations))
    lot = scope.inquiry.parts[0].lot_size
    return (scope.apply("time_a_part_s", "people.set_up_a_part_s", load_s=once, parts_per_load=lot),)

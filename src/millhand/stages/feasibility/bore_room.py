"""Do jaws that open in a bore get into it?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, part_of, shown, verdict
from millhand.trace import apply


def bore_room(asked: Asked) -> Verdict | None:
    """Closed fingers with room to let go and the scatter of the bore, against the bore of the raw part.

    An assumed circle of the fingers ends a concept only where not even the smallest of the class get in.
    """
    gripper, part = asked.concept.gripper, part_of(asked)
    bore = part.raw.bore_m
    if gripper is None or bore is None or "closed_m" not in gripper.figures:
        return None
    closed, room = gripper.figures["closed_m"], asked.figure("jaw_clearance_m")
    demand = apply(
        asked.sheet, "sum_of_lengths_m", asked.id("bore_room.demand"), lengths_m=(closed, room, part.raw_tolerance_m)
    )
    least_m = demand.value - closed.value + (closed.low if closed.low is not None else closed.value)
    words = f"Three fingers take a bore of {shown(demand, 'mm')} or more to get in; it has {shown(bore, 'mm')}"
    return verdict(
        asked,
        Finding(
            check="bore_room",
            demand=demand,
            limit=bore,
            well=f"{words}.",
            ill=f"{words}: slimmer fingers, a mandrel that opens, or jaws round the outside.",
            formula="sum_of_lengths_m",
            kills=least_m > bore.value,
        ),
    )

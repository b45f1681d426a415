"""Do the jaws open far enough for the raw and the finished part, with its scatter?"""

from millhand.model.fact import Fact
from millhand.model.part import Size
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, part_of, shown, verdict
from millhand.trace import apply


def grip_travel(asked: Asked) -> Verdict | None:
    """Opening that the part asks for against the stroke of the jaws; suction cups have none."""
    gripper = asked.concept.gripper
    if gripper is None or "stroke_m" not in gripper.figures:
        return None
    part, limit = part_of(asked), gripper.figures["stroke_m"]
    raw = gripped(part.shape.value, part.raw)
    one_hand = gripper.words["hands"] == "one"
    demand = apply(
        asked.sheet, "jaw_travel_m", asked.id("grip_travel.demand"), raw_m=raw,
        finished_m=gripped(part.shape.value, part.finished) if one_hand else raw,
        tolerance_m=part.raw_tolerance_m, clearance_m=asked.figure("jaw_clearance_m"),
    )  # fmt: skip
    who = "One hand takes the part raw and finished and" if one_hand else "Each hand"
    words = f"{who} must travel {shown(demand, 'mm')}; jaws of this class travel {shown(limit, 'mm')}"
    return verdict(
        asked,
        Finding(
            check="grip_travel",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: it takes a long-stroke gripper, stepped fingers, or a hand for each state.",
            formula="jaw_travel_m",
        ),
    )


def gripped(shape: str, size: Size) -> Fact:
    """The measure that jaws close on: a diameter, or the middle one of three measures."""
    if shape == "round":
        return size.width_m
    return sorted((size.length_m, size.width_m, size.height_m), key=lambda fact: fact.value)[1]

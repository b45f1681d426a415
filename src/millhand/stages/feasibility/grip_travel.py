"""Do the jaws open far enough for all parts that they take, raw and finished, with their scatter?"""

from millhand.model.fact import Fact
from millhand.model.part import Size
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, shown, verdict
from millhand.trace import apply


def grip_travel(asked: Asked) -> Verdict | None:
    """Opening that all families ask for, without a change of fingers, against the stroke; suction cups have none."""
    gripper = asked.concept.gripper
    if gripper is None or "stroke_m" not in gripper.figures:
        return None
    parts, limit = asked.inquiry.parts, gripper.figures["stroke_m"]
    one_hand = gripper.words["hands"] == "one"
    states = [(part.raw, part.finished) if one_hand else (part.raw,) for part in parts]
    inside = gripper.words["jaws"] == "inside"
    sizes = tuple(
        part.raw.bore_m if inside and part.raw.bore_m is not None else gripped(part.shape.value, size)
        for part, own in zip(parts, states, strict=True)
        for size in own
    )
    demand = apply(
        asked.sheet, "family_travel_m", asked.id("grip_travel.demand"), sizes_m=sizes,
        tolerance_m=max((part.raw_tolerance_m for part in parts), key=lambda fact: fact.value),
        clearance_m=asked.figure("jaw_clearance_m"),
    )  # fmt: skip
    who = "One hand takes the part raw and finished and" if one_hand else "Each hand"
    all_of_them = " for all families" if len(parts) > 1 else ""
    words = f"{who} must travel {shown(demand, 'mm')}{all_of_them}; jaws of this class travel {shown(limit, 'mm')}"
    sets = ", or a set of fingers for each family" if len(parts) > 1 else ""
    return verdict(
        asked,
        Finding(
            check="grip_travel",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: it takes a long-stroke gripper, stepped fingers, or a hand for each state{sets}.",
            formula="family_travel_m",
        ),
    )


def gripped(shape: str, size: Size) -> Fact:
    """The measure that jaws close on: a diameter, or the middle one of three measures."""
    if shape == "round":
        return size.width_m
    return sorted((size.length_m, size.width_m, size.height_m), key=lambda fact: fact.value)[1]

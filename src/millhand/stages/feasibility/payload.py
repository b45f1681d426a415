"""Does the arm carry gripper, fingers and all parts at once?"""

from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, heaviest, operations, shown, verdict
from millhand.trace import apply


def payload(asked: Asked) -> Verdict | None:
    """Mass on the flange against the arm's payload."""
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None:
        return None
    demand, limit = flange_mass(asked), arm.figures["payload_kg"]
    words = f"Gripper, fingers and parts are {shown(demand, 'mass')} on a flange that carries {shown(limit, 'mass')}"
    return verdict(
        asked,
        Finding(
            check="payload",
            demand=demand,
            limit=limit,
            well=f"{words}.",
            ill=f"{words}: too heavy. A lighter gripper, one hand instead of two, or a larger arm.",
            formula="payload_demand_kg",
            kills=True,
            caution=caution_of("payload_demand_kg"),
        ),
    )


def flange_mass(asked: Asked) -> Fact:
    """Mass that hangs on the arm with a part in every hand; of a mould, with all parts of a shot."""
    gripper = asked.concept.gripper
    assert gripper is not None
    sheet, hands = asked.sheet, gripper.figures["hands"]
    fingers = apply(
        sheet, "mass_of_hands_kg", asked.id("payload.fingers"), each_kg=gripper.figures["fingers_kg"], hands=hands
    )
    return apply(
        sheet, "payload_demand_kg", asked.id("payload.demand"), part_kg=heaviest(asked),
        gripper_kg=gripper.figures["mass_kg"], fingers_kg=fingers, parts_at_once=parts_at_once(asked, hands),
    )  # fmt: skip


def parts_at_once(asked: Asked, hands: Fact) -> Fact:
    """One part in each hand; all parts of a shot out of a mould."""
    if asked.inquiry.machines[0].kind.value != "moulding":
        return hands
    return max((each.parts_per_cycle for each, _ in operations(asked)), key=lambda fact: fact.value)

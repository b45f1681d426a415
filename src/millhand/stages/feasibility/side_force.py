"""Does the gripper hold the part against the tool of a station that pulls at it?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Strength, heaviest, of_class, shown
from millhand.stages.feasibility.grip_force import film, jaw_limit, jaws
from millhand.trace import apply


def side_force(asked: Asked) -> Verdict | None:
    """Force of each jaw that keeps the part from sliding at a station; None where no tool pulls at it."""
    pulling = [each for each in asked.concept.works if "side_force_n" in each.figures]
    gripper = asked.concept.gripper
    if gripper is None or "force_n" not in gripper.figures or not pulling:
        return None
    side = max((each.figures["side_force_n"] for each in pulling), key=lambda fact: fact.value)
    total = apply(
        asked.sheet, "side_force_grip_n", asked.id("side_force.total"),
        side_n=side, mass_kg=heaviest(asked), friction=film(asked), factor=asked.figure("grip_factor"),
    )  # fmt: skip
    demand = apply(
        asked.sheet, "force_of_each_jaw_n", asked.id("side_force.demand"), force_n=total, jaws=jaws(asked, gripper)
    )
    limit = jaw_limit(asked, gripper)
    words = (
        f"To keep the part from sliding while a tool pulls at it with {shown(side, 'force')} takes "
        f"{shown(demand, 'force')} of each jaw; grippers of this class give {shown(limit, 'force')}"
    )
    return of_class(
        asked,
        Strength(
            check="side_force", demand=demand, limit=limit, words=words, formula="side_force_grip_n",
            mends="it takes fingers that hold by shape, a softer tool, or a nest that the part is laid into for it",
            hopeless="it takes a nest that the part is laid into for it: no gripper of the class is strong enough",
        ),
    )  # fmt: skip

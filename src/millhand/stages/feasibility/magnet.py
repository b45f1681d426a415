"""Does a magnet hold the part when the arm stops hard, through what lies between and with the steel that there is?"""

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Strength, heaviest_part, of_class, shown
from millhand.stages.feasibility.grip_force import film, pull_demand
from millhand.trace import apply

STAYS = (
    "It holds when air and power fail, and parts stay slightly magnetic: chips cling to them, and some customers and "
    "processes refuse that"
)


def magnet_grip(asked: Asked) -> Verdict | None:
    """Pull that carries the part below a magnet in the worst direction, against what gap and thickness leave of it."""
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None or gripper.words["jaws"] != "magnet":
        return None
    demand, limit = pull_demand(asked, arm, "magnet_required_n", film(asked)), pull(asked, gripper)
    words = (
        f"To hold the part below a magnet, moved or stopped sideways, takes a pull of {shown(demand, 'force')}; "
        f"through the usual gap and with its thickness magnets of this class give {shown(limit, 'force')}"
    )
    thin = share_of_pull(asked, gripper).value < 1.0
    two = ". Steel so thin lets some of the pull through: two blanks may come at once" if thin else ""
    return of_class(
        asked,
        Strength(
            check="grip_force", demand=demand, limit=limit, words=words, formula="magnet_force_n",
            mends="it takes larger magnets or more of them, clean flat faces, or a ledge",
            hopeless="it takes holding by shape from below", after=f" {STAYS}{two}.",
        ),
    )  # fmt: skip


def share_of_pull(asked: Asked, gripper: Component) -> Fact:
    """What the thickness of the part leaves of the pull."""
    size = heaviest_part(asked).raw
    thick = min((size.length_m, size.width_m, size.height_m), key=lambda fact: fact.value)
    return apply(
        asked.sheet,
        "sheet_pull_share",
        asked.id("grip_force.share"),
        thickness_m=thick,
        full_m=gripper.figures["full_m"],
    )


def pull(asked: Asked, gripper: Component) -> Fact:
    """Pull of all magnets of one hand on this part."""
    return apply(
        asked.sheet, "magnet_force_n", asked.id("grip_force.limit"), rated_n=gripper.figures["pull_n"],
        gap_m=asked.figure("magnet_gap_m"), quarter_gap_m=gripper.figures["quarter_gap_m"],
        part_share=share_of_pull(asked, gripper),
    )  # fmt: skip

"""Does the gripper hold the part when the arm stops hard?"""

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, heaviest, part_of, shown, verdict
from millhand.trace import apply


def grip_force(asked: Asked) -> Verdict | None:
    """Force that holds the heaviest part against gravity and a hard stop, friction or suction alone."""
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None:
        return None
    vacuum = gripper.words["jaws"] == "vacuum"
    stop = arm.figures["stop_accel_m_s2"]
    demand = suction_demand(asked, stop) if vacuum else friction_demand(asked, stop)
    limit = suction_limit(asked, gripper) if vacuum else gripper.figures["force_n"]
    hopeless = limit.high is not None and demand.value > limit.high
    by = "suction alone" if vacuum else "friction alone"
    cure = "larger cups or more of them, or jaws" if vacuum else "fingers that hold by shape, or a stronger gripper"
    if hopeless:
        cure = "holding by shape from outside, in a cradle or on a hook: no gripper of the class is strong enough"
    words = f"To hold the part by {by} when the arm stops hard takes {shown(demand, 'force')}; grippers of this class "
    formula = "suction_required_n" if vacuum else "grip_force_n"
    return verdict(
        asked,
        Finding(
            check="grip_force",
            demand=demand,
            limit=limit,
            well=f"{words}give {shown(limit, 'force')}.",
            ill=f"{words}give {shown(limit, 'force')}: it takes {cure}.",
            formula=formula,
            kills=hopeless,
            caution=caution_of(formula),
        ),
    )


def friction_demand(asked: Asked, stop: Fact) -> Fact:
    """Total force of all jaws of one hand, at the low end of the friction of the part's film."""
    film = part_of(asked).film.value
    return apply(
        asked.sheet, "grip_force_n", asked.id("grip_force.demand"), mass_kg=heaviest(asked), accel_m_s2=stop,
        friction=asked.figure(f"friction_{film}"), factor=asked.figure("grip_factor"),
    )  # fmt: skip


def suction_demand(asked: Asked, stop: Fact) -> Fact:
    """Suction force that carries the part hanging below its cups."""
    return apply(
        asked.sheet, "suction_required_n", asked.id("grip_force.demand"),
        mass_kg=heaviest(asked), accel_m_s2=stop, factor=asked.figure("grip_factor"),
    )  # fmt: skip


def suction_limit(asked: Asked, gripper: Component) -> Fact:
    """Suction force of all cups of one hand."""
    return apply(
        asked.sheet, "suction_force_n", asked.id("grip_force.limit"), diameter_m=gripper.figures["cup_diameter_m"],
        pressure_drop_pa=gripper.figures["pressure_drop_pa"], cups=gripper.figures["cups"],
    )  # fmt: skip

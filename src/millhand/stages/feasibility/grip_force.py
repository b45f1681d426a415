"""Does the gripper hold the part when the arm stops hard, in whichever pose, and does the part bear it?"""

from collections.abc import Iterator

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.solvers.holding.jaws import Grip, Hold, Load, Window, window_of
from millhand.stages.feasibility.asked import (
    Asked,
    Finding,
    Strength,
    caution_of,
    heaviest,
    of_class,
    out_of_reach,
    part_of,
    shown,
    verdict,
)
from millhand.trace import apply

ROUND_ABOUT = ("centric", "inside")  # three jaws at 120 degrees
HOW = {
    "friction": "by friction alone, its load along the jaws",
    "lift_off": "so that no jaw lifts off",
    "inertia": "on a ledge",
}


def grip_force(asked: Asked) -> Verdict | None:
    """Force of each jaw that the part asks for at a hard stop in the worst pose, against the force of the class.

    A weak grip warns, as fingers that hold by shape may mend it; where not even the strongest gripper of the class
    would do it ends the concept. Of magnets feasibility.magnet asks the same.
    """
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None or gripper.words["jaws"] == "magnet":
        return None
    if gripper.words["jaws"] == "vacuum":
        return suction(asked, arm, gripper)
    demand, limit = jaw_demand(asked, arm, gripper), jaw_limit(asked, gripper)
    how = HOW[window(asked, arm, gripper).asked_by]
    words = (
        f"To hold the part {how}, in the worst pose when the arm stops hard, takes {shown(demand, 'force')} of each "
        f"jaw; grippers of this class give {shown(limit, 'force')}"
    )
    formula = demand_formula(asked, gripper)
    return of_class(
        asked,
        Strength(
            check="grip_force", demand=demand, limit=limit, words=words, formula=formula,
            mends=f"it takes fingers that hold by shape ({shown(by_shape(asked, arm, gripper), 'force')} with a ledge "
            "under the part), or a stronger gripper",
            hopeless="it takes holding by shape from outside, in a cradle or on a hook: no gripper of the class is "
            "strong enough",
        ),
    )  # fmt: skip


def part_bears(asked: Asked) -> Verdict | None:
    """The same force against what the part bears from each jaw; None where nobody told that, or without jaws."""
    arm, gripper, limit = asked.concept.arm, asked.concept.gripper, part_of(asked).bears_n
    if arm is None or gripper is None or limit is None or gripper.words["jaws"] in ("vacuum", "magnet"):
        return None
    demand = jaw_demand(asked, arm, gripper)
    words = (
        f"Each jaw presses with {shown(demand, 'force')} or more to hold the part; {shown(limit, 'force')} leave no "
        "mark and no dent on it"
    )
    return verdict(
        asked,
        Finding(
            check="part_bears",
            demand=demand,
            limit=limit,
            well=f"{words}: the gripper's force has to be set between the two.",
            ill=f"{words}: soft or shaped fingers that take it on more of its face, a ledge under it, or a slower arm.",
            formula=demand_formula(asked, gripper),
            kills=out_of_reach(demand, limit),
            caution=caution_of("part_force_limit_n"),
        ),
    )


def grip_of(asked: Asked, gripper: Component) -> Grip:
    """How the jaws take the part: three round it or in its bore, two with a V across a round one, flat ones else."""
    hold: Hold = "v_jaws" if is_v(asked, gripper) else "friction"
    angle = asked.figure("v_half_angle_rad").value
    return Grip(hold=hold, jaws=3 if gripper.words["jaws"] in ROUND_ABOUT else 2, half_angle_rad=angle)


def is_v(asked: Asked, gripper: Component) -> bool:
    """Whether two jaws with a V take a round part across its axis."""
    return gripper.words["jaws"] == "parallel" and part_of(asked).shape.value == "round"


def window(asked: Asked, arm: Component, gripper: Component) -> Window:
    """Who asks for the force and who limits it."""
    part = part_of(asked)
    load = Load(
        mass_kg=heaviest(asked).value, accel_m_s2=program(asked, arm).value,
        stop_accel_m_s2=arm.figures["stop_accel_m_s2"].value, friction=film(asked).value,
        factor=asked.figure("grip_factor").value,
    )  # fmt: skip
    gripper_n = jaw_limit(asked, gripper).value
    return window_of(
        grip_of(asked, gripper), load=load, gripper_n=gripper_n,
        part_n=part.bears_n.value if part.bears_n is not None else gripper_n,
    )  # fmt: skip


def jaw_demand(asked: Asked, arm: Component, gripper: Component) -> Fact:
    """Force of each jaw that holds the part: the greatest of what each way to lose it asks for."""
    return apply(
        asked.sheet, "greatest_force_n", asked.id("grip_force.demand"), forces_n=tuple(forces(asked, arm, gripper))
    )


def demand_formula(asked: Asked, gripper: Component) -> str:
    """The formula that the demand rests on."""
    return "v_jaw_friction_force_per_jaw_n" if is_v(asked, gripper) else "worst_grip_force_n"


def forces(asked: Asked, arm: Component, gripper: Component) -> Iterator[Fact]:
    """What each way to lose the part asks of one jaw, as solvers/holding lists them."""
    mass, factor, stop, sheet = heaviest(asked), asked.figure("grip_factor"), hardest(asked, arm), asked.sheet
    if is_v(asked, gripper):
        angle = asked.figure("v_half_angle_rad")
        yield apply(
            sheet, "v_jaw_friction_force_per_jaw_n", asked.id("grip_force.along"), mass_kg=mass, accel_m_s2=stop,
            friction=film(asked), half_angle_rad=angle, factor=factor,
        )  # fmt: skip
        yield apply(
            sheet, "v_jaw_across_force_per_jaw_n", asked.id("grip_force.across"), mass_kg=mass, accel_m_s2=stop,
            half_angle_rad=angle, factor=factor,
        )  # fmt: skip
        return
    total = apply(
        sheet, "worst_grip_force_n", asked.id("grip_force.total"), mass_kg=mass, accel_m_s2=program(asked, arm),
        stop_accel_m_s2=arm.figures["stop_accel_m_s2"], friction=film(asked), factor=factor,
    )  # fmt: skip
    yield apply(sheet, "force_of_each_jaw_n", asked.id("grip_force.friction"), force_n=total, jaws=jaws(asked, gripper))
    if gripper.words["jaws"] in ROUND_ABOUT:
        yield apply(
            sheet, "three_jaw_across_force_per_jaw_n", asked.id("grip_force.across"),
            mass_kg=mass, accel_m_s2=stop, factor=factor,
        )  # fmt: skip


def by_shape(asked: Asked, arm: Component, gripper: Component) -> Fact:
    """What would be left for each jaw with a ledge under the part."""
    total = apply(
        asked.sheet, "form_fit_force_n", asked.id("grip_force.ledge"),
        mass_kg=heaviest(asked), accel_m_s2=hardest(asked, arm), factor=asked.figure("grip_factor"),
    )  # fmt: skip
    return apply(
        asked.sheet, "force_of_each_jaw_n", asked.id("grip_force.by_shape"), force_n=total, jaws=jaws(asked, gripper)
    )


def jaw_limit(asked: Asked, gripper: Component) -> Fact:
    """What each jaw of the gripper gives."""
    return apply(
        asked.sheet, "force_of_each_jaw_n", asked.id("grip_force.limit"),
        force_n=gripper.figures["force_n"], jaws=jaws(asked, gripper),
    )  # fmt: skip


def jaws(asked: Asked, gripper: Component) -> Fact:
    """How many jaws close on a part."""
    return asked.figure(f"jaws_{gripper.words['jaws']}")


def film(asked: Asked) -> Fact:
    """Friction at the low end for the part's film."""
    return asked.figure(f"friction_{part_of(asked).film.value}")


def program(asked: Asked, arm: Component) -> Fact:
    """Acceleration of the programmed moves."""
    return apply(
        asked.sheet, "program_accel_m_s2", asked.id("grip_force.program"),
        speed_m_s=arm.figures["speed_m_s"], ramp_s=asked.figure("arm_ramp_s"),
    )  # fmt: skip


def hardest(asked: Asked, arm: Component) -> Fact:
    """The harder of program and emergency stop."""
    return max((arm.figures["stop_accel_m_s2"], program(asked, arm)), key=lambda fact: fact.value)


def suction(asked: Asked, arm: Component, gripper: Component) -> Verdict:
    """Suction that carries the part below its cups in the worst direction, against what a leak leaves of it."""
    demand, limit = suction_demand(asked, arm), suction_limit(asked, gripper)
    words = (
        f"To hold the part below its cups, moved or stopped sideways, takes a suction of {shown(demand, 'force')}; "
        f"with the usual leak cups of this class give {shown(limit, 'force')}"
    )
    return of_class(
        asked,
        Strength(
            check="grip_force", demand=demand, limit=limit, words=words, formula="suction_required_sideways_n",
            mends="it takes larger cups or more of them, a stop at the part's edge, or jaws",
            hopeless="it takes holding by shape from below",
        ),
    )  # fmt: skip


def suction_demand(asked: Asked, arm: Component) -> Fact:
    """What cups need."""
    return pull_demand(asked, arm, "suction_required_n", asked.figure("friction_cups"))


def pull_demand(asked: Asked, arm: Component, formula: str, friction: Fact) -> Fact:
    """The greater of a straight pull and a stop along the face, held by friction under the pull."""
    own = {"mass_kg": heaviest(asked), "accel_m_s2": hardest(asked, arm), "factor": asked.figure("grip_factor")}
    straight = apply(asked.sheet, formula, asked.id("grip_force.straight"), **own)
    sideways = apply(
        asked.sheet, "suction_required_sideways_n", asked.id("grip_force.sideways"), friction=friction, **own
    )
    return apply(asked.sheet, "greatest_force_n", asked.id("grip_force.demand"), forces_n=(straight, sideways))


def suction_limit(asked: Asked, gripper: Component) -> Fact:
    """Suction force of all cups of one hand, at the vacuum that a leak leaves."""
    vacuum = apply(
        asked.sheet, "leaking_vacuum_pa", asked.id("grip_force.vacuum"),
        closed_pa=gripper.figures["pressure_drop_pa"], open_m3_s=asked.figure("vacuum_open_m3_s"),
        gap_m2=asked.figure("vacuum_gap_m2"), density_kg_m3=asked.figure("air_density_kg_m3"),
    )  # fmt: skip
    return apply(
        asked.sheet, "suction_force_n", asked.id("grip_force.limit"), diameter_m=gripper.figures["cup_diameter_m"],
        pressure_drop_pa=vacuum, cups=gripper.figures["cups"],
    )  # fmt: skip

"""Does the arm carry gripper, fingers and all parts at once: their mass at its lever, their moment, their inertia?"""

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import (
    Asked,
    Finding,
    Strength,
    caution_of,
    heaviest,
    heaviest_part,
    of_class,
    operations,
    shown,
    verdict,
)
from millhand.trace import apply


def payload(asked: Asked) -> Verdict | None:
    """Mass on the flange against the payload, which falls once the mass hangs further out than the arm is rated for."""
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None:
        return None
    demand, limit = flange_mass(asked), payload_limit(asked, arm, gripper)
    words = f"Gripper, fingers and parts are {shown(demand, 'mass')} on a flange that carries {shown(limit, 'mass')}"
    if "payload_lever_m" in arm.figures:
        words += f" with its centre {shown(lever(asked, gripper), 'mm')} away"
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


def moment(asked: Asked) -> Verdict | None:
    """Static moment of the load on the wrist against what wrists of the class bear; None where that is not known."""
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None or "moment_nm" not in arm.figures:
        return None
    limit = arm.figures["moment_nm"]
    demand = apply(
        asked.sheet, "static_moment_nm", asked.id("moment.demand"),
        mass_kg=flange_mass(asked), lever_m=lever(asked, gripper),
    )  # fmt: skip
    words = (
        f"The load pulls with {shown(demand, 'moment')} on a wrist; wrists of this class bear {shown(limit, 'moment')}"
    )
    return of_class(asked, Strength(
        check="moment", demand=demand, limit=limit, words=words, formula="static_moment_nm", coarse=True,
        mends="it takes a shorter hand, a lighter gripper, one hand instead of two, or a larger arm",
        caution=caution_of("hand_inertia_kg_m2"),
    ))  # fmt: skip


def inertia(asked: Asked) -> Verdict | None:
    """Inertia of the load about the wrist against what wrists of the class turn; None where that is not known."""
    arm, gripper = asked.concept.arm, asked.concept.gripper
    if arm is None or gripper is None or "inertia_kg_m2" not in arm.figures:
        return None
    limit = arm.figures["inertia_kg_m2"]
    demand = apply(
        asked.sheet, "hand_inertia_kg_m2", asked.id("inertia.demand"), gripper_kg=gripper.figures["mass_kg"],
        fingers_kg=fingers_mass(asked, gripper), parts_kg=parts_mass(asked, gripper), sides_m=sides(asked),
        length_m=hand_figure(asked, gripper, "length_m"), width_m=hand_figure(asked, gripper, "width_m"),
    )  # fmt: skip
    words = (
        f"The load has an inertia of {shown(demand, 'inertia')} about the wrist; wrists of this class turn "
        f"{shown(limit, 'inertia')} at full acceleration"
    )
    return of_class(asked, Strength(
        check="inertia", demand=demand, limit=limit, words=words, formula="hand_inertia_kg_m2", coarse=True,
        mends="the arm has to be slowed down in its wrist, or a shorter hand, or a larger arm",
    ))  # fmt: skip


def payload_limit(asked: Asked, arm: Component, gripper: Component) -> Fact:
    """Mass that the arm carries with its centre of gravity where it is."""
    if "payload_lever_m" not in arm.figures:
        return arm.figures["payload_kg"]
    return apply(
        asked.sheet, "payload_at_lever_kg", asked.id("payload.limit"), payload_kg=arm.figures["payload_kg"],
        lever_m=lever(asked, gripper), rated_lever_m=arm.figures["payload_lever_m"],
    )  # fmt: skip


def lever(asked: Asked, gripper: Component) -> Fact:
    """Distance of the load's centre of gravity from the flange."""
    return apply(
        asked.sheet, "hand_lever_m", asked.id("payload.lever"), gripper_kg=gripper.figures["mass_kg"],
        fingers_kg=fingers_mass(asked, gripper), parts_kg=parts_mass(asked, gripper),
        length_m=hand_figure(asked, gripper, "length_m"), hands=gripper.figures["hands"],
    )  # fmt: skip


def fingers_mass(asked: Asked, gripper: Component) -> Fact:
    """Fingers of all hands."""
    return apply(
        asked.sheet, "mass_of_hands_kg", asked.id("payload.fingers"),
        each_kg=gripper.figures["fingers_kg"], hands=gripper.figures["hands"],
    )  # fmt: skip


def parts_mass(asked: Asked, gripper: Component) -> Fact:
    """All parts that hang on the arm at once."""
    return apply(
        asked.sheet, "mass_of_hands_kg", asked.id("payload.parts"),
        each_kg=heaviest(asked), hands=parts_at_once(asked, gripper.figures["hands"]),
    )  # fmt: skip


def sides(asked: Asked) -> tuple[Fact, Fact, Fact]:
    """The raw measures of the heaviest part as it is held: its longest side across the jaws' way, its least along."""
    size = heaviest_part(asked).raw
    least, middle, longest = sorted((size.length_m, size.width_m, size.height_m), key=lambda fact: fact.value)
    return longest, middle, least


def hand_figure(asked: Asked, gripper: Component, name: str) -> Fact:
    """A measure of the gripper, or the usual one of a hand."""
    return gripper.figures[name] if name in gripper.figures else asked.figure(f"hand_{name}")


def flange_mass(asked: Asked) -> Fact:
    """Mass that hangs on the arm with a part in every hand; of a mould, with all parts of a shot."""
    gripper = asked.concept.gripper
    assert gripper is not None
    return apply(
        asked.sheet, "payload_demand_kg", asked.id("payload.demand"), part_kg=heaviest(asked),
        gripper_kg=gripper.figures["mass_kg"], fingers_kg=fingers_mass(asked, gripper),
        parts_at_once=parts_at_once(asked, gripper.figures["hands"]),
    )  # fmt: skip


def parts_at_once(asked: Asked, hands: Fact) -> Fact:
    """One part in each hand; all parts of a shot out of a mould."""
    if asked.inquiry.machines[0].kind.value != "moulding":
        return hands
    return max((each.parts_per_cycle for each, _ in operations(asked)), key=lambda fact: fact.value)

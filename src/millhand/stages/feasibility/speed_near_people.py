"""Does the speed that is reckoned with near people keep below what the contact-limit formula gives?"""

from millhand.model.verdict import Verdict
from millhand.stages.feasibility.asked import Asked, Finding, caution_of, shown, verdict
from millhand.stages.feasibility.payload import flange_mass
from millhand.trace import apply


def speed_near_people(asked: Asked) -> Verdict | None:
    """Speed reckoned with near people against a free contact with the chest; force-limited arms where people pass."""
    arm = asked.concept.arm
    if arm is None or arm.words["class"] != "force_limited" or asked.inquiry.wishes.people_pass.value != "yes":
        return None
    demand = asked.figure("arm_speed_near_people_m_s")
    mass = apply(
        asked.sheet, "effective_robot_mass_kg", asked.id("speed_near_people.mass"),
        moving_kg=arm.figures["moving_mass_kg"], payload_kg=flange_mass(asked),
    )  # fmt: skip
    limit = apply(
        asked.sheet, "speed_of_contact_force_m_s", asked.id("speed_near_people.limit"),
        force_n=asked.figure("contact_force_n"), stiffness_n_m=asked.figure("contact_stiffness_n_m"),
        body_kg=asked.figure("contact_body_kg"), robot_kg=mass,
    )  # fmt: skip
    words = (
        f"Near people {shown(demand, 'number')} m/s are reckoned with; for a free contact with the chest the formula "
        f"gives {shown(limit, 'number')} m/s"
    )
    return verdict(
        asked,
        Finding(
            check="speed_near_people",
            demand=demand,
            limit=limit,
            well=f"{words}. Clamping points, edges and the head ask for less.",
            ill=f"{words}: the cycle near people has to be reckoned slower.",
            formula="speed_of_contact_force_m_s",
            coarse=True,
            caution=caution_of("speed_of_contact_force_m_s"),
        ),
    )

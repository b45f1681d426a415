"""How fast an arm may move where it may touch a person: the contact-limit formula with its data by body region."""

import math
from dataclasses import dataclass

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. Contact with skull and face is not allowed at all; edges, points and clamping need lower "
    "limits; forces and pressures are measured on the real cell by competent persons, and the risk assessment decides."
)
MASSES = {"moving_kg": NOT_NEGATIVE, "payload_kg": NOT_NEGATIVE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """One body region: its stiffness, effective mass, quasi-static force limit and transient factor (0: no contact)."""

    stiffness_n_m: float
    mass_kg: float
    force_n: float
    transient: float


# isots15066, annex A, tables A.2 and A.3.
REGIONS = {
    "skull_forehead": Region(stiffness_n_m=150_000.0, mass_kg=4.4, force_n=130.0, transient=0.0),
    "face": Region(stiffness_n_m=75_000.0, mass_kg=4.4, force_n=65.0, transient=0.0),
    "neck": Region(stiffness_n_m=50_000.0, mass_kg=1.2, force_n=150.0, transient=2.0),
    "back_shoulders": Region(stiffness_n_m=35_000.0, mass_kg=40.0, force_n=210.0, transient=2.0),
    "chest": Region(stiffness_n_m=25_000.0, mass_kg=40.0, force_n=140.0, transient=2.0),
    "abdomen": Region(stiffness_n_m=10_000.0, mass_kg=40.0, force_n=110.0, transient=2.0),
    "pelvis": Region(stiffness_n_m=25_000.0, mass_kg=40.0, force_n=180.0, transient=2.0),
    "upper_arm_elbow": Region(stiffness_n_m=30_000.0, mass_kg=3.0, force_n=150.0, transient=2.0),
    "lower_arm_wrist": Region(stiffness_n_m=40_000.0, mass_kg=2.0, force_n=160.0, transient=2.0),
    "hand_finger": Region(stiffness_n_m=75_000.0, mass_kg=0.6, force_n=140.0, transient=2.0),
    "thigh_knee": Region(stiffness_n_m=50_000.0, mass_kg=75.0, force_n=220.0, transient=2.0),
    "lower_leg": Region(stiffness_n_m=60_000.0, mass_kg=75.0, force_n=130.0, transient=2.0),
}


@formula(source="isots15066, annex A.3.4", valid=MASSES, caution=CAUTION)
def effective_robot_mass_kg(moving_kg: float, *, payload_kg: float) -> float:
    """Mass with which an arm meets a person: half its moving mass and the whole payload with gripper and parts [kg].

    Source: isots15066, annex A.  Valid as the standard's simple estimate of the moving mass.
    """
    return moving_kg / 2.0 + payload_kg


@formula(
    source="isots15066, annex A.3.4",
    valid={"force_n": NOT_NEGATIVE, "stiffness_n_m": POSITIVE, "body_kg": POSITIVE, "robot_kg": POSITIVE},
    units={"stiffness_n_m": "N/m"},
    caution=CAUTION,
)
def speed_of_contact_force_m_s(force_n: float, *, stiffness_n_m: float, body_kg: float, robot_kg: float) -> float:
    """Relative speed at which a free impact just reaches a force, F / sqrt(mu k) with the reduced mass mu [m/s].

    Source: isots15066, annex A.3.4.  Valid for a transient contact that the person can draw back from.
    """
    reduced_kg = 1.0 / (1.0 / body_kg + 1.0 / robot_kg)
    return force_n / math.sqrt(reduced_kg * stiffness_n_m)


@formula(source="isots15066, annex A, tables A.2 and A.3", valid=MASSES, caution=CAUTION)
def contact_speed_m_s(region: str, *, moving_kg: float, payload_kg: float) -> float:
    """Greatest relative speed at a transient contact with one body region; 0 where contact is not allowed [m/s].

    Source: isots15066, annex A.  Valid for the regions of its table; pressure on small faces may ask for less.
    """
    data = REGIONS[region]
    robot_kg = effective_robot_mass_kg(moving_kg, payload_kg=payload_kg)
    return speed_of_contact_force_m_s(
        data.force_n * data.transient, stiffness_n_m=data.stiffness_n_m, body_kg=data.mass_kg, robot_kg=robot_kg
    )


@formula(source="isots15066, annex A, table A.2", caution=CAUTION)
def clamping_force_n(region: str) -> float:
    """Greatest quasi-static force where a body region may be clamped between arm and cell [N].

    Source: isots15066, annex A, table A.2.  Valid for the regions of its table.
    """
    return REGIONS[region].force_n

"""Coarse reach and load of an arm: how far a place is, what hangs on the flange, which moment it makes."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, GRAVITY_M_S2, NOT_NEGATIVE
from millhand.formulas.register import formula

CAUTION = (
    "An aid for concept work. A distance says nothing about collisions, wrist angle or singular poses: prove the "
    "places by simulation or by trial, with the arm's own data."
)


@formula(
    source="own_computation, right triangle",
    unit="m",
    valid={"reach_m": NOT_NEGATIVE, "height_difference_m": (-5.0, 5.0)},
    caution=CAUTION,
)
def horizontal_reach_m(reach_m: float, *, height_difference_m: float) -> float:
    """Plan distance that an arm still reaches at a height above or below its shoulder; 0 when out of reach [m].

    Source: own_computation, right triangle.  Valid as a coarse first check.
    """
    return math.sqrt(max(reach_m**2 - height_difference_m**2, 0.0))


@formula(
    source="own_computation, lever",
    unit="N.m",
    valid={"mass_kg": NOT_NEGATIVE, "lever_m": NOT_NEGATIVE, "accel_m_s2": NOT_NEGATIVE},
    caution=CAUTION,
)
def moment_n_m(mass_kg: float, *, lever_m: float, accel_m_s2: float, gravity_m_s2: float = GRAVITY_M_S2) -> float:
    """Moment on the flange of a mass at a lever, gravity and acceleration in the same direction [N.m].

    Source: own_computation, lever.  Valid as the worst direction of a point mass.
    """
    return mass_kg * (gravity_m_s2 + accel_m_s2) * lever_m


@formula(source="own_computation, centre of gravity", unit="m", units={"masses_kg": "kg", "offsets_m": "m"})
def gravity_centre_m(masses_kg: Sequence[float], *, offsets_m: Sequence[float]) -> float:
    """Distance of the common centre of gravity from the flange [m].

    Source: own_computation.  Valid for a total mass above zero.
    """
    moments = math.fsum(mass * offset for mass, offset in zip(masses_kg, offsets_m, strict=True))
    return moments / math.fsum(masses_kg)


@formula(
    source="own_computation, sum of what hangs on the flange",
    valid={
        "part_kg": NOT_NEGATIVE,
        "gripper_kg": NOT_NEGATIVE,
        "fingers_kg": NOT_NEGATIVE,
        "parts_at_once": FROM_ONE,
    },
    caution=CAUTION,
)
def payload_demand_kg(part_kg: float, *, gripper_kg: float, fingers_kg: float, parts_at_once: float) -> float:
    """Mass on the flange: gripper, fingers and every part carried at once; a double gripper carries two [kg].

    Source: own_computation, sum.  Valid with the heavier of raw and finished part.
    """
    return part_kg * parts_at_once + gripper_kg + fingers_kg

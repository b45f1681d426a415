"""A carriage over a whole cycle: what rides on it, how long it speeds up and cruises, and what that heats its motor."""

import math
from collections.abc import Sequence

from millhand.formulas.drive import CAUTION as WEAK
from millhand.formulas.drive import EFFICIENCY, RATIO, motor_torque_nm, rms_torque_nm
from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula
from millhand.formulas.track import carriage_thrust_n

RIDE = {"speed_m_s": POSITIVE, "accel_m_s2": POSITIVE}


@formula(
    source="own_computation, share of the moving parts",
    valid={"moving_kg": POSITIVE, "whole_over_moving": FROM_ONE},
)
def whole_arm_kg(moving_kg: float, *, whole_over_moving: float) -> float:
    """Mass of an arm with its foot, all of which rides on a carriage [kg].

    Source: own_computation.  Valid for arms of which only the moving masses are known; the data sheet goes first.

    >>> whole_arm_kg(150.0, whole_over_moving=1.6)
    240.0
    """
    return moving_kg * whole_over_moving


@formula(source="own_computation, trapezoid and triangle", valid=RIDE, units={"ways_m": "m"})
def carriage_ramps_s(ways_m: Sequence[float], *, speed_m_s: float, accel_m_s2: float) -> float:
    """Time in which a carriage speeds up or brakes over all these ways, alike at both ends [s].

    On a way too short for the full speed it brakes from where it has got.
    Source: own_computation, 2 v / a, at most 2 sqrt(d / a).  Valid for ramps of constant acceleration.

    >>> carriage_ramps_s((4.0, 1.0, 0.0), speed_m_s=2.0, accel_m_s2=1.0)
    6.0
    """
    return math.fsum(2.0 * min(speed_m_s / accel_m_s2, math.sqrt(way_m / accel_m_s2)) for way_m in ways_m)


@formula(source="own_computation, trapezoid and triangle", valid=RIDE, units={"ways_m": "m"})
def carriage_cruise_s(ways_m: Sequence[float], *, speed_m_s: float, accel_m_s2: float) -> float:
    """Time in which a carriage runs at full speed over all these ways [s].

    Source: own_computation, d / v - v / a where that is above 0.  Valid for ramps of constant acceleration.

    >>> carriage_cruise_s((6.0, 1.0), speed_m_s=2.0, accel_m_s2=1.0)
    1.0
    """
    return math.fsum(max(0.0, way_m / speed_m_s - speed_m_s / accel_m_s2) for way_m in ways_m)


@formula(
    source="own_computation, friction of the guides through pinion and gear",
    valid={
        "mass_kg": POSITIVE,
        "friction": (0.0, 0.5),
        "radius_m": POSITIVE,
        "ratio": RATIO,
        "efficiency": EFFICIENCY,
    },
    caution=WEAK,
)
def cruise_torque_nm(mass_kg: float, *, friction: float, radius_m: float, ratio: float, efficiency: float) -> float:
    """Torque of the motor while a carriage cruises on a level track [N.m].

    Source: own_computation, friction m g r / (i efficiency).  Valid for friction in proportion to the load.

    >>> round(cruise_torque_nm(500.0, friction=0.02, radius_m=0.04, ratio=8.0, efficiency=0.8), 4)
    0.6129
    """
    thrust_n = carriage_thrust_n(mass_kg, accel_m_s2=0.0, friction=friction, slope_rad=0.0)
    return motor_torque_nm(
        thrust_n, radius_m=radius_m, ratio=ratio, efficiency=efficiency, inertia_kg_m2=0.0, accel_m_s2=0.0
    )


@formula(
    source="own_computation, root mean square over a cycle",
    valid={"ramps_s": NOT_NEGATIVE, "cruise_s": NOT_NEGATIVE, "period_s": POSITIVE},
    caution=WEAK,
)
def carriage_rms_torque_nm(
    ramp_nm: float, *, cruise_nm: float, ramps_s: float, cruise_s: float, period_s: float
) -> float:
    """Constant torque that heats a motor as much as its ramps, cruises and rests of a cycle [N.m].

    Braking counts as speeding up, which is on the high side: friction and losses help to brake. Rides that do not fit
    into the period follow one another without a rest.
    Source: own_computation, root mean square.  Valid for a level track and cycles short against the warming up.

    >>> carriage_rms_torque_nm(4.0, cruise_nm=2.0, ramps_s=3.0, cruise_s=4.0, period_s=16.0)
    2.0
    """
    still_s = max(0.0, period_s - ramps_s - cruise_s)
    return rms_torque_nm((ramp_nm, cruise_nm, 0.0), times_s=(ramps_s, cruise_s, still_s))

"""How long a move takes: trapezoidal and S-curve profiles, rest to rest, and polynomial time scalings."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.register import formula


@formula(
    source="siciliano2009, sec. 4.2.1",
    valid={"distance_m": NOT_NEGATIVE, "speed_m_s": POSITIVE, "accel_m_s2": POSITIVE},
)
def move_time_s(distance_m: float, *, speed_m_s: float, accel_m_s2: float) -> float:
    """Time of one rest-to-rest move with a trapezoidal speed profile [s].

    Below v²/a full speed is never reached and the profile is a triangle. Works for an angle in rad, rad/s, rad/s².
    Source: siciliano2009, sec. 4.2.1.  Valid for speed and acceleration above zero.

    >>> move_time_s(1.0, speed_m_s=2.0, accel_m_s2=4.0)
    1.0
    """
    if distance_m < speed_m_s**2 / accel_m_s2:
        return 2.0 * math.sqrt(distance_m / accel_m_s2)
    return distance_m / speed_m_s + speed_m_s / accel_m_s2


@formula(
    source="biagiotti2008, sec. 3.4, double-S profile",
    valid={"distance_m": NOT_NEGATIVE, "speed_m_s": POSITIVE, "accel_m_s2": POSITIVE, "jerk_m_s3": POSITIVE},
)
def s_curve_move_time_s(distance_m: float, *, speed_m_s: float, accel_m_s2: float, jerk_m_s3: float) -> float:
    """Time of one rest-to-rest move whose acceleration rises and falls at limited jerk [s].

    Source: biagiotti2008, sec. 3.4.  Valid for speed, acceleration and jerk above zero.

    >>> s_curve_move_time_s(1.0, speed_m_s=1.0, accel_m_s2=2.0, jerk_m_s3=10.0)
    1.7
    """
    ramp_s = accel_m_s2 / jerk_m_s3
    if speed_m_s * jerk_m_s3 >= accel_m_s2**2:
        speeding_s = speed_m_s / accel_m_s2 + ramp_s
    else:  # full acceleration is never reached
        speeding_s = 2.0 * math.sqrt(speed_m_s / jerk_m_s3)
    if distance_m >= speed_m_s * speeding_s:
        return distance_m / speed_m_s + speeding_s
    if distance_m >= 2.0 * accel_m_s2**3 / jerk_m_s3**2:  # full acceleration, not full speed
        peak_m_s = (math.sqrt((accel_m_s2 * ramp_s) ** 2 + 4.0 * accel_m_s2 * distance_m) - accel_m_s2 * ramp_s) / 2.0
        return 2.0 * (peak_m_s / accel_m_s2 + ramp_s)
    return 4.0 * math.cbrt(distance_m / (2.0 * jerk_m_s3))


@formula(
    source="biagiotti2008, sec. 3.4, double-S profile",
    valid={"change_m_s": NOT_NEGATIVE, "accel_m_s2": POSITIVE, "jerk_m_s3": POSITIVE},
)
def speed_change_time_s(change_m_s: float, *, accel_m_s2: float, jerk_m_s3: float) -> float:
    """Time in which a speed rises or falls by so much, no acceleration before and after [s].

    The way meanwhile is the mean of both speeds times this time. Infinite jerk leaves the plain ramp.
    Source: biagiotti2008, sec. 3.4.  Valid for acceleration and jerk above zero.

    >>> speed_change_time_s(1.0, accel_m_s2=2.0, jerk_m_s3=10.0)
    0.7
    """
    if change_m_s * jerk_m_s3 >= accel_m_s2**2:
        return change_m_s / accel_m_s2 + accel_m_s2 / jerk_m_s3
    return 2.0 * math.sqrt(change_m_s / jerk_m_s3)  # full acceleration is never reached


@formula(
    source="biagiotti2008, sec. 3.4, double-S profile",
    unit="m/s",
    valid={"distance_m": NOT_NEGATIVE, "accel_m_s2": POSITIVE, "jerk_m_s3": POSITIVE},
)
def peak_speed_m_s(distance_m: float, *, accel_m_s2: float, jerk_m_s3: float) -> float:
    """Speed that a rest-to-rest move with limited jerk reaches midway where no speed limit holds it back [m/s].

    Half the distance is also the least way from rest to this speed.
    Source: biagiotti2008, sec. 3.4.  Valid for acceleration and jerk above zero.

    >>> peak_speed_m_s(0.7, accel_m_s2=2.0, jerk_m_s3=10.0)
    1.0
    """
    if distance_m * jerk_m_s3**2 <= 2.0 * accel_m_s2**3:
        return math.cbrt(distance_m**2 * jerk_m_s3 / 4.0)
    lost_m_s = accel_m_s2**2 / jerk_m_s3
    return (math.sqrt(lost_m_s**2 + 4.0 * accel_m_s2 * distance_m) - lost_m_s) / 2.0


@formula(source="lynch2017, sec. 9.2.2.1", unit="1", valid={"time_s": NOT_NEGATIVE, "total_s": POSITIVE})
def cubic_scaling(time_s: float, *, total_s: float) -> float:
    """Share of the path done at a time, third-order polynomial, at rest at both ends [0..1].

    Source: lynch2017, sec. 9.2.2.1.  Valid for times from 0 to total_s.

    >>> round(cubic_scaling(0.6, total_s=2.0), 6)
    0.216
    """
    s = time_s / total_s
    return 3.0 * s**2 - 2.0 * s**3


@formula(source="lynch2017, sec. 9.2.2.2", unit="1", valid={"time_s": NOT_NEGATIVE, "total_s": POSITIVE})
def quintic_scaling(time_s: float, *, total_s: float) -> float:
    """Share of the path done at a time, fifth-order polynomial, without a step in acceleration [0..1].

    Source: lynch2017, sec. 9.2.2.2.  Valid for times from 0 to total_s.

    >>> round(quintic_scaling(0.6, total_s=2.0), 6)
    0.16308
    """
    s = time_s / total_s
    return 10.0 * s**3 - 15.0 * s**4 + 6.0 * s**5

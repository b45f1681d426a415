"""Via points that an arm passes without stopping: how fast it may go round the corner."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.motion import peak_speed_m_s
from millhand.formulas.register import formula

TURN = (0.0, math.pi)


@formula(
    source="own_computation, chord of a corner",
    valid={"radius_m": NOT_NEGATIVE, "turn_rad": TURN},
)
def corner_chord_m(radius_m: float, *, turn_rad: float) -> float:
    """Straight line between the points that lie radius_m before and behind a corner [m].

    turn_rad is the change of direction: 0 straight on, pi back the way one came.
    Source: own_computation, an isosceles triangle.  Valid for turns up to pi.

    >>> round(corner_chord_m(0.05, turn_rad=math.pi / 2.0), 6)
    0.070711
    """
    return 2.0 * radius_m * math.cos(turn_rad / 2.0)


@formula(
    source="own_computation, braking and speeding up added",
    valid={
        "radius_m": NOT_NEGATIVE,
        "turn_rad": TURN,
        "speed_m_s": POSITIVE,
        "accel_m_s2": POSITIVE,
        "jerk_m_s3": POSITIVE,
    },
)
def corner_speed_m_s(
    radius_m: float, *, turn_rad: float, speed_m_s: float, accel_m_s2: float, jerk_m_s3: float
) -> float:
    """Greatest speed at which a corner may be entered and left that is rounded within radius_m of the via point [m/s].

    Along the old direction the arm brakes to rest at the via point while it speeds up along the new one, both over
    radius_m and in the same time; the two accelerations differ by 2 sin(turn/2) times either of them, which stays
    within the limits. Infinite jerk leaves v² = a r / sin(turn/2), the corner of a parabola.
    Source: own_computation.  Valid for turns up to pi, both neighbouring segments at least radius_m long.

    >>> corner_speed_m_s(0.1, turn_rad=math.pi, speed_m_s=2.0, accel_m_s2=10.0, jerk_m_s3=math.inf)
    1.0
    """
    turning = 2.0 * math.sin(turn_rad / 2.0)
    if turning == 0.0:
        return speed_m_s
    free_m_s = peak_speed_m_s(2.0 * radius_m, accel_m_s2=accel_m_s2 / turning, jerk_m_s3=jerk_m_s3 / turning)
    return min(speed_m_s, free_m_s)

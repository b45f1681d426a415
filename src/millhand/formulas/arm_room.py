"""What an arm has left at a target: room at its joints and gaps beside it, and what it lacks where it has none."""

import math

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.motion import s_curve_move_time_s
from millhand.formulas.register import formula


@formula(source="own_computation, nothing where less than nothing")
def room_left_rad(room_rad: float) -> float:
    """Room of a joint to the end of its range, none where it would have to turn further [rad].

    Source: own_computation.  Valid for joints that turn.
    """
    return max(0.0, room_rad)


@formula(source="own_computation, what is less than nothing")
def beyond_range_rad(room_rad: float) -> float:
    """How far beyond its range a joint would have to turn, nothing where it has room [rad].

    Source: own_computation.  Valid for joints that turn.
    """
    return max(0.0, -room_rad)


@formula(source="own_computation, nothing where less than nothing")
def gap_left_m(gap_m: float) -> float:
    """Gap between an arm and what stands beside it, none where they overlap [m].

    Source: own_computation.  Valid for gaps told as negative where two bodies overlap.
    """
    return max(0.0, gap_m)


@formula(source="own_computation, what is less than nothing")
def overlap_m(gap_m: float) -> float:
    """How deep an arm and what stands beside it overlap, nothing where there is a gap [m].

    Source: own_computation.  Valid for gaps told as negative where two bodies overlap.
    """
    return max(0.0, -gap_m)


@formula(
    source="biagiotti2008, sec. 3.4, double-S profile",
    valid={
        "distance_m": NOT_NEGATIVE, "speed_m_s": POSITIVE, "ramp_s": POSITIVE, "jerk_ramp_s": POSITIVE,
        "speed_factor": SHARE, "accel_factor": SHARE,
    },
)  # fmt: skip
def ramped_move_s(
    distance_m: float, *, speed_m_s: float, ramp_s: float, jerk_ramp_s: float, speed_factor: float, accel_factor: float
) -> float:
    """Time of one rest-to-rest move that reaches its speed in a ramp, and its acceleration in a shorter one [s].

    The factors are the shares of speed and acceleration that a load leaves. Works for an angle in rad and rad/s.
    Source: biagiotti2008, sec. 3.4.  Valid for a speed and ramps above zero.

    >>> ramped_move_s(1.0, speed_m_s=1.0, ramp_s=0.5, jerk_ramp_s=0.2, speed_factor=1.0, accel_factor=1.0)
    1.7
    """
    accel = speed_m_s / ramp_s
    return s_curve_move_time_s(
        distance_m, speed_m_s=speed_m_s * speed_factor, accel_m_s2=accel * accel_factor,
        jerk_m_s3=accel * accel_factor / jerk_ramp_s,
    )  # fmt: skip


@formula(
    source="own_computation, the rest of a way gone slowly",
    valid={"time_s": NOT_NEGATIVE, "way_m": NOT_NEGATIVE, "speed_m_s": POSITIVE},
)
def with_slow_end_s(time_s: float, *, way_m: float, speed_m_s: float) -> float:
    """Time of a way whose last piece is gone slowly: the slow piece is added to the time of the whole way [s].

    A little too long, as the quick part is then shorter by the slow piece.
    Source: own_computation.  Valid for a slow piece that is short against the way.
    """
    return time_s + way_m / speed_m_s


@formula(source="own_computation, half a circle", valid={"radius_m": NOT_NEGATIVE})
def half_turn_m(radius_m: float) -> float:
    """Way of the tip of a hand that is turned by half a turn about the wrist [m].

    Source: own_computation, half a circle.  Valid for a hand of this length across the wrist's axis.

    >>> round(half_turn_m(0.5), 4)
    1.5708
    """
    return math.pi * radius_m


@formula(source="own_computation, difference", valid={"whole_s": NOT_NEGATIVE, "less_s": NOT_NEGATIVE})
def rest_of_time_s(whole_s: float, *, less_s: float) -> float:
    """What is left of a time when a piece of it is counted apart [s].

    Source: own_computation, difference.  Valid for a piece no longer than the whole.
    """
    return whole_s - less_s


@formula(source="own_computation, greatest of several", unit="s")
def longest_time_s(times_s: tuple[float, ...]) -> float:
    """The longest of several times that run side by side [s]; nothing without any.

    Source: own_computation.  Valid where one waits for the other at the end alone.

    >>> longest_time_s((0.9, 1.4))
    1.4
    """
    return max(times_s, default=0.0)


@formula(
    source="isots15066, sec. 5.5.5: transient limits are twice the quasi-static ones",
    valid={"speed_m_s": NOT_NEGATIVE},
    caution="An aid for concept work. Clamping points, edges and the head may ask for less, or for no contact at all: "
    "the risk assessment of the real cell, local codes and competent persons decide.",
)
def clamping_speed_m_s(speed_m_s: float) -> float:
    """Speed where a body part may be clamped, from the one that free contact leaves: half of it [m/s].

    The force of a contact grows with its speed, and a clamped part bears half of what one that can give way bears.
    Source: isots15066.  Valid for the same body part and the same moving mass.

    >>> clamping_speed_m_s(0.3)
    0.15
    """
    return speed_m_s / 2.0

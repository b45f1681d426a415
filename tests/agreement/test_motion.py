"""Move times by another way: a profile of constant jerk, piece by piece, must cover the distance in the stated time."""

import math

import pytest

from millhand.formulas.motion import s_curve_move_time_s
from tests.checks import OWN, Check, assert_holds

CASES = {  # distance, speed, acceleration, jerk: time of the S-curve as worked separately
    (1.0, 1.0, 2.0, 10.0): "1.7",
    (0.5, 1.5, 5.0, 50.0): "0.740312",
    (0.05, 1.0, 5.0, 50.0): "0.31748",
    (0.002, 1.0, 5.0, 50.0): "0.108577",
    (2.0, 2.0, 3.0, 20.0): "1.816667",
    (0.3, 1.0, 10.0, 200.0): "0.45",
    (0.2, 1.0, 5.0, 50.0): "0.512311",  # full acceleration, not full speed
    (4.0, 3.0, 10.0, 10.0): "2.428778",
    (1.0, 1.0, 10.0, 10.0): "1.632456",  # full speed, not full acceleration
}
TRAPEZOIDS = {  # distance, speed, acceleration: time
    (0.5, 1.5, 5.0): "0.633333",
    (0.05, 1.0, 5.0): "0.200000",
    (0.002, 1.0, 5.0): "0.040000",
    (2.0, 2.0, 3.0): "1.666667",
}

CHECKS = [
    Check(
        formula="s_curve_move_time_s",
        inputs={"distance_m": case[0], "speed_m_s": case[1], "accel_m_s2": case[2], "jerk_m_s3": case[3]},
        printed=printed,
        key="biagiotti2008",
        seen=OWN,
    )
    for case, printed in CASES.items()
] + [
    Check(
        formula="move_time_s",
        inputs={"distance_m": case[0], "speed_m_s": case[1], "accel_m_s2": case[2]},
        printed=printed,
        key="siciliano2009",
        seen=OWN,
    )
    for case, printed in TRAPEZOIDS.items()
]

CHECKS += [
    Check(  # full speed in 0.2 s is 5 m/s2: the triangle of above, then settling
        formula="swing_time_s",
        inputs={"distance_m": 0.05, "speed_m_s": 1.0, "ramp_s": 0.2, "settle_s": 0.1},
        printed="0.300000",
        key="siciliano2009",
        seen=OWN,
    ),
    Check(
        formula="swing_time_s",
        inputs={"distance_m": 2.0, "speed_m_s": 2.0, "ramp_s": 2.0 / 3.0, "settle_s": 0.1},
        printed="1.766667",
        key="siciliano2009",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_move_times(check: Check) -> None:
    """Times worked separately come out to the last digit."""
    assert_holds(check)


def covered_m(peak_m_s: float, accel_m_s2: float, jerk_m_s3: float, total_s: float) -> float:
    """Distance of speeding up to a peak speed, cruising and slowing down, from the pieces of constant jerk."""
    if peak_m_s * jerk_m_s3 >= accel_m_s2**2:
        ramp_s, hold_s = accel_m_s2 / jerk_m_s3, peak_m_s / accel_m_s2 - accel_m_s2 / jerk_m_s3
    else:
        ramp_s, hold_s = math.sqrt(peak_m_s / jerk_m_s3), 0.0
    speed, accel, path = 0.0, 0.0, 0.0
    for jerk, time in ((jerk_m_s3, ramp_s), (0.0, hold_s), (-jerk_m_s3, ramp_s)):
        path += speed * time + accel * time**2 / 2.0 + jerk * time**3 / 6.0
        speed += accel * time + jerk * time**2 / 2.0
        accel += jerk * time
    assert math.isclose(speed, peak_m_s)
    return 2.0 * path + peak_m_s * (total_s - 2.0 * (2.0 * ramp_s + hold_s))


@pytest.mark.parametrize(("distance", "speed", "accel", "jerk"), CASES)
def test_the_pieces_cover_the_distance(distance: float, speed: float, accel: float, jerk: float) -> None:
    """Integrated piece by piece, the profile with the peak that fits the time covers just the distance."""
    total_s = s_curve_move_time_s(distance, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=jerk)
    slow, fast = 0.0, speed
    for _ in range(100):  # the peak at which cruising takes no less than no time
        peak = (slow + fast) / 2.0
        ramps = 2.0 * (peak / accel + accel / jerk) if peak * jerk >= accel**2 else 4.0 * math.sqrt(peak / jerk)
        slow, fast = (peak, fast) if ramps <= total_s else (slow, peak)

    assert covered_m(slow, accel, jerk, total_s) == pytest.approx(distance, rel=1e-9)

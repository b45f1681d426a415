"""Speed changes and rounded corners by another way: profiles followed in small steps of constant jerk."""

import math

import numpy as np
import pytest

from millhand.formulas.blending import corner_chord_m, corner_speed_m_s
from millhand.formulas.motion import peak_speed_m_s, s_curve_move_time_s, speed_change_time_s
from tests.checks import OWN, Check, assert_holds


def ramp(change: float, accel: float, jerk: float) -> tuple[float, float]:
    """Time and way from rest to a speed, from three pieces of constant jerk, the peak acceleration halved towards."""
    low, high = 0.0, accel
    for _ in range(200):
        middle = (low + high) / 2.0
        low, high = (middle, high) if middle**2 / jerk <= change else (low, middle)
    rise = low / jerk
    hold = max((change - low * rise) / low, 0.0)
    speed = way = now = 0.0
    for piece, time in ((jerk, rise), (0.0, hold), (-jerk, rise)):
        way += speed * time + now * time**2 / 2.0 + piece * time**3 / 6.0
        speed += now * time + piece * time**2 / 2.0
        now += piece * time
    assert math.isclose(speed, change)
    return 2.0 * rise + hold, way


CORNERS = {  # radius, turn, speed, acceleration, jerk: what limits the speed
    (0.05, math.pi / 2.0, 2.0, 5.0, 60.0): "jerk",
    (0.30, 2.5, 3.0, 4.0, 80.0): "acceleration",
    (0.30, 0.2, 0.8, 4.0, 80.0): "speed",
}


def known_speed(radius: float, turn: float, speed: float, accel: float, jerk: float) -> float:
    """The speed whose braking, over the radius, differs from the next speeding up by no more than both limits."""
    apart = math.hypot(1.0 - math.cos(turn), math.sin(turn))
    low, high = 0.0, speed
    for _ in range(200):
        middle = (low + high) / 2.0
        low, high = (middle, high) if ramp(middle, accel / apart, jerk / apart)[1] <= radius else (low, middle)
    return low


CHECKS = [
    Check(
        formula="speed_change_time_s",
        inputs={"change_m_s": change, "accel_m_s2": 5.0, "jerk_m_s3": 60.0},
        expected=ramp(change, 5.0, 60.0)[0],
        key="biagiotti2008",
        seen=OWN,
    )
    for change in (0.1, 2.0)
]
CHECKS += [
    Check(
        formula="peak_speed_m_s",
        inputs={"distance_m": 2.0 * ramp(peak, 5.0, 60.0)[1], "accel_m_s2": 5.0, "jerk_m_s3": 60.0},
        expected=peak,
        key="biagiotti2008",
        seen=OWN,
    )
    for peak in (0.1, 2.0)
]
CHECKS += [
    Check(
        formula="corner_speed_m_s",
        inputs=dict(zip(("radius_m", "turn_rad", "speed_m_s", "accel_m_s2", "jerk_m_s3"), case, strict=True)),
        expected=known_speed(*case),
        key="own_computation",
        seen=OWN,
    )
    for case in CORNERS
]
CHECKS += [
    Check(
        formula="corner_chord_m",
        inputs={"radius_m": 0.08, "turn_rad": turn},
        expected=0.08 * math.hypot(1.0 + math.cos(turn), math.sin(turn)),
        key="own_computation",
        seen=OWN,
    )
    for turn in (0.4, 2.0)
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_speed_changes_and_corners(check: Check) -> None:
    """Closed forms give what the pieces of constant jerk give."""
    assert_holds(check)


@pytest.mark.parametrize(("distance", "accel", "jerk"), [(0.01, 5.0, 60.0), (0.5, 5.0, 60.0), (3.0, 2.0, 4.0)])
def test_a_move_without_a_speed_limit_is_two_speed_changes(distance: float, accel: float, jerk: float) -> None:
    """Up to the peak and down again takes the time of the move, and a plain ramp where jerk has no limit."""
    peak = peak_speed_m_s(distance, accel_m_s2=accel, jerk_m_s3=jerk)
    limits = {"accel_m_s2": accel, "jerk_m_s3": jerk}

    assert 2.0 * speed_change_time_s(peak, **limits) == pytest.approx(
        s_curve_move_time_s(distance, speed_m_s=100.0, **limits), rel=1e-12
    )
    assert peak_speed_m_s(distance, accel_m_s2=accel, jerk_m_s3=math.inf) == pytest.approx(math.sqrt(accel * distance))


@pytest.mark.parametrize(("radius", "turn", "speed", "accel", "jerk"), CORNERS)
def test_a_rounded_corner_stays_in_its_zone_and_limits(
    radius: float, turn: float, speed: float, accel: float, jerk: float
) -> None:
    """Followed step by step, the corner starts and ends on its radius and keeps speed, acceleration and jerk."""
    entry = corner_speed_m_s(radius, turn_rad=turn, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=jerk)
    apart = 2.0 * math.sin(turn / 2.0)
    total, way = ramp(entry, accel / apart, jerk / apart)
    stretch = radius / way  # slower than the limits where the speed is what limits
    old, new = np.array([1.0, 0.0]), np.array([math.cos(turn), math.sin(turn)])
    times = np.linspace(0.0, total, 20_001)
    rise = np.array([speed_up(time, entry, accel / apart, jerk / apart) for time in times])
    velocity = (np.outer(rise[::-1], old) + np.outer(rise, new)) / 1.0
    step = total * stretch / 20_000
    place = -radius * old + np.vstack([np.zeros(2), np.cumsum((velocity[1:] + velocity[:-1]) / 2.0, axis=0) * step])

    assert place[-1] == pytest.approx(radius * new, abs=1e-6 * radius)
    assert np.linalg.norm(place, axis=1).max() <= radius * (1.0 + 1e-9)
    assert np.linalg.norm(velocity, axis=1).max() <= speed * (1.0 + 1e-9)
    pulled = np.diff(velocity, axis=0) / step
    assert np.linalg.norm(pulled, axis=1).max() <= accel * (1.0 + 1e-6)
    assert np.linalg.norm(np.diff(pulled, axis=0) / step, axis=1).max() <= jerk * (1.0 + 1e-3)
    walked = np.linalg.norm(np.diff(place, axis=0), axis=1).sum()
    assert corner_chord_m(radius, turn_rad=turn) <= walked * (1.0 + 1e-9) <= 2.0 * radius * (1.0 + 2e-9)


def speed_up(time: float, change: float, accel: float, jerk: float) -> float:
    """The speed on its way from rest, at a time."""
    total, _ = ramp(change, accel, jerk)
    peak = min(accel, math.sqrt(change * jerk))
    rise = peak / jerk
    if time <= rise:
        return jerk * time**2 / 2.0
    if time <= total - rise:
        return peak * (time - rise / 2.0)
    return change - jerk * max(total - time, 0.0) ** 2 / 2.0

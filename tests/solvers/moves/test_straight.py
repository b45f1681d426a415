"""Straight moves: limits kept at every moment, never below what nothing undercuts, the tool's own where free."""

import math

import numpy as np
import pytest

from millhand.formulas.motion import s_curve_move_time_s
from millhand.solvers.moves.straight import TOOL as NO_AXIS
from millhand.solvers.moves.straight import StraightMove, straight_move, tool_path
from tests.solvers.moves.two_links import AXES, TOOL, joints_at, line

LINES = [((0.3, 0.5), (0.75, 0.1)), ((0.2, 0.3), (0.6, 0.5)), ((0.5, -0.4), (0.5, 0.4)), ((0.3, 0.2), (0.35, 0.2))]


def along(move: StraightMove, length_m: float, steps: int) -> np.ndarray:
    """Places along the path at equal times, from the pieces of constant jerk of the move's profile."""
    rise = move.accel_m_s2 / move.jerk_m_s3
    low, high = 0.0, move.speed_m_s
    for _ in range(100):  # the peak whose two speed changes cover the length, or the speed itself
        middle = (low + high) / 2.0
        ramp = (
            middle / move.accel_m_s2 + rise
            if middle >= move.accel_m_s2 * rise
            else 2 * math.sqrt(middle / move.jerk_m_s3)
        )
        low, high = (middle, high) if middle * ramp <= length_m else (low, middle)
    rise = min(rise, math.sqrt(low / move.jerk_m_s3))
    accel = rise * move.jerk_m_s3
    hold = max(low / accel - rise, 0.0)
    cruise = length_m / low - hold - 2.0 * rise
    jerks = move.jerk_m_s3 * np.array([1.0, 0.0, -1.0, 0.0, -1.0, 0.0, 1.0])
    ends = np.cumsum([rise, hold, rise, cruise, rise, hold, rise])
    assert ends[-1] == pytest.approx(move.time_s, rel=1e-9)
    times, place = np.linspace(0.0, move.time_s, steps), np.zeros(steps)
    begin = np.zeros(3)
    for start, end, jerk in zip([0.0, *ends[:-1]], ends, jerks, strict=True):
        inside = (times >= start) & (times <= end + 1e-12)
        t = times[inside] - start
        place[inside] = begin[0] + begin[1] * t + begin[2] * t**2 / 2.0 + jerk * t**3 / 6.0
        t = end - start
        begin = np.array(
            [
                begin[0] + begin[1] * t + begin[2] * t**2 / 2.0 + jerk * t**3 / 6.0,
                begin[1] + begin[2] * t + jerk * t**2 / 2.0,
                begin[2] + jerk * t,
            ]
        )
    return place


@pytest.mark.parametrize(("start", "end"), LINES)
def test_tool_and_axes_stay_within_their_limits_all_the_way(
    start: tuple[float, float], end: tuple[float, float]
) -> None:
    """Followed at 4 001 moments through the arm's closed form, no speed and no acceleration goes beyond its limit."""
    path = line(start, end)
    move = straight_move(path, limits=AXES, tool=TOOL)
    place = along(move, path.length_m, 4_001)
    step = move.time_s / 4_000
    a, b = np.array(start), np.array(end)
    joints = joints_at(a + place[:, None] / path.length_m * (b - a))
    fast = np.abs(np.diff(joints, axis=0)).max(axis=0) / step
    quick = np.abs(np.diff(joints, 2, axis=0)).max(axis=0) / step**2

    assert (fast <= np.array(AXES.speeds) * (1.0 + 1e-3)).all()
    assert (quick <= np.array(AXES.accels) * (1.0 + 1e-3)).all()
    assert np.diff(place).max() / step <= TOOL.speed_m_s * (1.0 + 1e-6)
    assert place[-1] == pytest.approx(path.length_m, rel=1e-9)
    assert move.least_s <= move.time_s <= 2.0 * move.least_s  # how careful one profile for the whole way is, here


def test_no_other_pair_of_speed_and_acceleration_is_quicker() -> None:
    """A search over 20 000 speeds finds nothing below the time found, and comes within a millionth of it."""
    path = line(*LINES[0])
    move = straight_move(path, limits=AXES, tool=TOOL)
    step = path.length_m / (len(path.joints) - 1)
    first = np.abs(np.gradient(path.joints, step, axis=0, edge_order=2))
    bend = np.diff(path.joints, 2, axis=0) / step**2
    second = np.abs(np.vstack([2.0 * bend[0] - bend[1], bend, 2.0 * bend[-1] - bend[-2]]))
    times = []
    for speed in np.linspace(0.01, TOOL.speed_m_s, 20_000):
        left = (np.array(AXES.accels) - second * speed**2) / first
        accel = min(TOOL.accel_m_s2, float(left.min()))
        if accel > 0.0 and (speed * first <= np.array(AXES.speeds)).all():
            times.append(
                s_curve_move_time_s(path.length_m, speed_m_s=speed, accel_m_s2=accel, jerk_m_s3=move.jerk_m_s3)
            )

    assert move.time_s <= min(times) <= move.time_s * (1.0 + 1e-6)


def test_a_line_in_joint_space_is_the_double_s_of_its_slowest_axis() -> None:
    """Axes in proportion along 0.7 m: each limit over the axis's distance, as worked by hand."""
    start, end = np.array([0.2, 1.0]), np.array([1.0, 0.4])
    path = tool_path(start + np.linspace(0.0, 1.0, 21)[:, None] * (end - start), length_m=0.7)
    free = TOOL.capped(1.5)
    move = straight_move(path, limits=AXES, tool=free)

    assert move.speed_m_s == pytest.approx(min(1.5, 3.0 / (0.8 / 0.7), 3.5 / (0.6 / 0.7)))
    assert move.accel_m_s2 == pytest.approx(min(8.0, 12.0 / (0.8 / 0.7), 15.0 / (0.6 / 0.7)))
    assert move.time_s == pytest.approx(s_curve_move_time_s(0.7, speed_m_s=1.5, accel_m_s2=8.0, jerk_m_s3=80.0))
    assert move.time_s == pytest.approx(move.least_s, rel=1e-12)
    assert move.held_by == NO_AXIS


def test_a_slow_tool_is_held_by_nothing_else() -> None:
    """At 0.25 m/s the time is way over speed and a short ramp, whatever the axes can do."""
    path = line(*LINES[2])
    move = straight_move(path, limits=AXES, tool=TOOL.capped(0.25))

    assert move.speed_m_s == 0.25
    assert move.time_s == pytest.approx(0.8 / 0.25, rel=0.1)
    assert move.time_s > 0.8 / 0.25


def test_the_axis_that_holds_back_is_named() -> None:
    """With a lame elbow it is the elbow, with a lame shoulder the shoulder."""
    path = line(*LINES[1])
    for axis in (0, 1):
        lame = AXES.kept(speed=1.0, accel=1.0)
        accels = tuple(0.5 if n == axis else 200.0 for n in range(2))
        speeds = tuple(0.2 if n == axis else 20.0 for n in range(2))
        lame = type(AXES)(speeds=speeds, accels=accels, jerks=lame.jerks)
        assert straight_move(path, limits=lame, tool=TOOL).held_by == axis


def test_too_few_samples_are_refused() -> None:
    """Two samples show no bend; a path without length is none."""
    with pytest.raises(ValueError, match="three samples"):
        tool_path([[0.0, 0.0], [1.0, 1.0]], length_m=1.0)
    with pytest.raises(ValueError, match="length above zero"):
        tool_path(np.zeros((5, 2)), length_m=0.0)


def test_a_pose_out_of_reach_is_refused() -> None:
    """A joint position that is not a number is a pose that the arm does not reach."""
    with pytest.raises(ValueError, match="does not reach it"):
        tool_path([[0.0, 0.0], [0.1, math.nan], [0.2, 0.0]], length_m=0.2)

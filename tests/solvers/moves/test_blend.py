"""Blended via points: worked corners, the bounds, and corners at which stopping is quicker."""

import math

import pytest

from millhand.formulas.motion import s_curve_move_time_s
from millhand.solvers.moves.axes import ToolLimits
from millhand.solvers.moves.blend import ViaPath, blended, leg_time_s, rounded, via_path

PLAIN = ToolLimits(speed_m_s=2.0, accel_m_s2=4.0, jerk_m_s3=math.inf)
SOFT = ToolLimits(speed_m_s=1.5, accel_m_s2=8.0, jerk_m_s3=80.0)


def test_a_right_angle_worked_by_hand() -> None:
    """Legs of 1 m, radius 0.2 m, 4 m/s²: corner at v² = a r / sin 45°, entered after speeding up and braking to it."""
    found = blended(via_path([[0, 0, 0], [1, 0, 0], [1, 1, 0]], radii_m=[0.2]), limits=PLAIN)
    corner = math.sqrt(4.0 * 0.2 / math.sin(math.pi / 4.0))
    peak = math.sqrt((2.0 * 4.0 * 0.8 + corner**2) / 2.0)  # up to it and down to the corner's speed on 0.8 m
    leg = (peak + peak - corner) / 4.0

    assert found.corner_speeds_m_s == pytest.approx((corner,))
    assert found.time_s == pytest.approx(2.0 * leg + 2.0 * 0.2 / corner, rel=1e-12)
    assert found.stopping_s == pytest.approx(2.0 * 2.0 * math.sqrt(1.0 / 4.0))
    assert found.won_s == found.stopping_s - found.time_s > 0.0


def test_straight_on_is_one_move() -> None:
    """A via point on the line costs nothing: the time of the short cut, which is the whole way."""
    found = blended(via_path([[0, 0, 0], [0.7, 0, 0], [1.6, 0, 0]], radii_m=[0.1]), limits=SOFT)

    assert found.time_s == pytest.approx(s_curve_move_time_s(1.6, speed_m_s=1.5, accel_m_s2=8.0, jerk_m_s3=80.0))
    assert found.time_s == pytest.approx(found.short_cut_s, rel=1e-12)


def test_a_short_move_straight_on_is_rounded_at_what_it_reaches() -> None:
    """Where full speed is never reached the corner's speed is the one that the way allows."""
    found = blended(via_path([[0, 0, 0], [0.01, 0, 0], [0.03, 0, 0]], radii_m=[0.004]), limits=SOFT)

    assert 0.0 < found.corner_speeds_m_s[0] < SOFT.speed_m_s
    assert found.short_cut_s <= found.time_s < found.stopping_s


def test_back_the_way_it_came_it_turns_before_the_point() -> None:
    """At a turn of pi it brakes at the full rate past v² = a r and turns round short of the via point."""
    found = blended(ViaPath(lengths_m=(1.0, 1.0), turns_rad=(math.pi,), radii_m=(0.1,)), limits=PLAIN)
    peak = math.sqrt((2.0 * 4.0 * 0.9 + 0.4) / 2.0)

    assert found.corner_speeds_m_s == pytest.approx((math.sqrt(0.4),))
    assert found.time_s == pytest.approx(2.0 * (2.0 * peak - math.sqrt(0.4)) / 4.0 + 0.2 / math.sqrt(0.4))
    assert found.short_cut_s < found.time_s < found.stopping_s


def test_in_a_narrow_corner_it_stops() -> None:
    """Under a limit on jerk a corner is entered without acceleration: in a narrow one that costs more than it wins."""
    path = via_path([[0, 0, 0], [0.6, 0, 0], [0.6, 0.5, 0]], radii_m=[0.005])
    found = blended(path, limits=SOFT)

    assert rounded(path, path.radii_m, SOFT)[0] > found.stopping_s
    assert found.time_s == found.stopping_s
    assert found.corner_speeds_m_s == (0.0,)


def test_one_narrow_corner_among_wide_ones_is_stopped_at() -> None:
    """Only the narrow one is stopped at; the others are still rounded."""
    path = ViaPath(lengths_m=(1.0, 1.0, 1.0, 1.0), turns_rad=(1.0, 1.5, 1.0), radii_m=(0.1, 0.004, 0.1))
    found = blended(path, limits=SOFT)

    assert found.corner_speeds_m_s[1] == 0.0
    assert min(found.corner_speeds_m_s[0], found.corner_speeds_m_s[2]) > 0.5


def test_a_radius_is_cut_to_half_of_the_shorter_segment() -> None:
    """Two corners on one segment leave each other room; no radius is a stop."""
    path = via_path([[0, 0, 0], [1, 0, 0], [1, 0.2, 0], [0, 0.2, 0]], radii_m=[0.5, 0.05])

    assert path.radii_m == pytest.approx((0.1, 0.05))
    assert path.turns_rad == pytest.approx((math.pi / 2.0, math.pi / 2.0))
    stopping = blended(via_path([[0, 0, 0], [1, 0, 0], [1, 1, 0]], radii_m=[0.0]), limits=SOFT)
    assert stopping.time_s == stopping.stopping_s


def test_a_point_twice_or_a_radius_too_few_is_refused() -> None:
    """Both are said."""
    with pytest.raises(ValueError, match="no point twice"):
        via_path([[0, 0, 0], [0, 0, 0], [1, 0, 0]], radii_m=[0.1])
    with pytest.raises(ValueError, match="a radius for each"):
        via_path([[0, 0, 0], [1, 0, 0], [1, 1, 0]], radii_m=[])


def test_a_leg_from_rest_to_rest_is_the_double_s() -> None:
    """The general leg, begun and ended at rest, gives the closed form in each of its branches."""
    for way in (0.0, 0.001, 0.05, 0.4, 3.0):
        known = s_curve_move_time_s(way, speed_m_s=1.5, accel_m_s2=8.0, jerk_m_s3=80.0)
        assert leg_time_s(way, (0.0, 0.0), SOFT) == pytest.approx(known, rel=1e-9)


def test_a_radius_of_next_to_nothing_is_a_stop() -> None:
    """A radius whose square vanishes divides nothing by nothing; it is a stop."""
    found = blended(via_path([[0, 0, 0], [0, 0, 1], [0, 0, 0]], radii_m=[2.3e-313]), limits=SOFT)

    assert found.time_s == found.stopping_s

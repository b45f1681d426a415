"""Joint moves: the slowest axis sets the time, element by element the formula's own."""

import math

import numpy as np
import pytest

from millhand.formulas.motion import move_time_s, s_curve_move_time_s
from millhand.solvers.moves.axes import AxisLimits
from millhand.solvers.moves.joint import NOBODY, joint_moves, joint_table
from millhand.solvers.moves.profile import s_curve_times_s

AXES = AxisLimits(speeds=(2.0, 3.0, 0.5), accels=(5.0, 20.0, 2.0), jerks=(50.0, 60.0, 40.0))


def test_a_table_of_elements_is_the_formula_of_each() -> None:
    """All branches of the double-S, as arrays and one by one, to the last digits."""
    draw = np.random.default_rng(3)
    d, v, a, j = (10.0 ** draw.uniform(low, high, 500) for low, high in ((-4, 1), (-1, 1), (-1, 2), (0, 3)))
    whole = s_curve_times_s(d, speeds=v, accels=a, jerks=j)

    for n in range(500):
        alone = s_curve_move_time_s(d[n], speed_m_s=v[n], accel_m_s2=a[n], jerk_m_s3=j[n])
        assert whole[n] == pytest.approx(alone, rel=1e-14)


def test_jerk_without_a_limit_leaves_the_trapezoid() -> None:
    """An infinite jerk is the trapezoid and the triangle."""
    times = s_curve_times_s([0.0, 0.05, 2.0], speeds=1.0, accels=5.0, jerks=math.inf)

    assert times.tolist() == [move_time_s(d, speed_m_s=1.0, accel_m_s2=5.0) for d in (0.0, 0.05, 2.0)]


def test_the_slowest_axis_sets_the_time() -> None:
    """A worked move: 1 rad, 1 rad and 0.4 m; the sliding axis is the slowest."""
    moves = joint_moves([0.0, 0.0, 0.0], [1.0, -1.0, 0.4], limits=AXES)

    assert moves.axis_times_s[2] == pytest.approx(0.4 / 0.5 + 0.5 / 2.0 + 2.0 / 40.0)
    assert moves.times_s == moves.axis_times_s.max() == moves.axis_times_s[2]
    assert moves.slowest == 2


def test_a_table_is_symmetric_and_nothing_takes_no_time() -> None:
    """From row to column as back, nobody sets the time of no move, and both agree with single moves."""
    places = np.random.default_rng(5).uniform(-2.0, 2.0, (7, 3))
    table = joint_table(places, limits=AXES)

    assert (table.times_s == table.times_s.T).all()
    assert (np.diag(table.times_s) == 0.0).all()
    assert (np.diag(table.slowest) == NOBODY).all()
    assert table.times_s[2, 5] == joint_moves(places[2], places[5], limits=AXES).times_s
    assert table.axis_times_s.shape == (7, 7, 3)

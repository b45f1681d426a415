"""What an arm has left at a target, and the times of its moves, each found in a second way."""

import math

import pytest

from millhand.formulas.arm_room import ramped_move_s
from millhand.solvers.moves.axes import AxisLimits
from millhand.solvers.moves.joint import joint_moves
from tests.checks import OWN, Check, assert_holds


def own(formula: str, expected: float, **inputs: object) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def by_steps(distance: float, speed: float, accel: float, jerk: float) -> float:
    """Time of a move, its first half stepped through with the greatest jerk that still lets it stop, doubled."""
    step, at, v, a, clock = 2e-5, 0.0, 0.0, 0.0, 0.0
    while at < distance / 2.0:
        # The acceleration falls in time to reach the full speed, or the middle, without any left.
        to_full = v + a * a / (2.0 * jerk)
        lowering = to_full >= speed
        a = max(0.0, a - jerk * step) if lowering else min(accel, a + jerk * step)
        v += a * step
        at += v * step
        clock += step
    return 2.0 * clock


CHECKS = [
    own("room_left_rad", 0.4, room_rad=0.4),
    own("room_left_rad", 0.0, room_rad=-0.1),
    own("beyond_range_rad", 0.1, room_rad=-0.1),
    own("beyond_range_rad", 0.0, room_rad=0.4),
    own("gap_left_m", 0.03, gap_m=0.03),
    own("gap_left_m", 0.0, gap_m=-0.02),
    own("overlap_m", 0.02, gap_m=-0.02),
    own("overlap_m", 0.0, gap_m=0.03),
    own("half_turn_m", 2.0 * 0.2 * math.asin(1.0), radius_m=0.2),
    own("rest_of_time_s", 12.5, whole_s=20.0, less_s=7.5),
    own("longest_time_s", sorted([0.9, 1.4, 1.1])[-1], times_s=(0.9, 1.4, 1.1)),
    own("clamping_speed_m_s", 140.0 / math.sqrt(20.0 * 25e3), speed_m_s=280.0 / math.sqrt(20.0 * 25e3)),
    own("capped_share", 2.0 / 2.0, share=1.7),
    own("capped_share", 1.0 - 0.3, share=0.7),
    own("with_slow_end_s", 1.5 + math.fsum([0.01 / 0.1] * 3), time_s=1.5, way_m=0.03, speed_m_s=0.1),
    own(
        "ramped_move_s", 1.0 / 0.5 + 0.3 + 0.1,
        distance_m=1.0, speed_m_s=0.5, ramp_s=0.3, jerk_ramp_s=0.1, speed_factor=1.0, accel_factor=1.0,
    ),  # the way at full speed, the ramp once, and the ramp of the ramp once
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_formula_agrees_with_a_second_way(check: Check) -> None:
    """Found in a second way."""
    assert_holds(check)


@pytest.mark.parametrize("distance", [0.4, 1.5, 3.0])
def test_a_move_takes_as_long_as_stepping_through_it(distance: float) -> None:
    """A joint that starts with the greatest jerk and stops rising in time takes the same, within the step."""
    speed, ramp, jerk_ramp = 3.0, 0.3, 0.1
    accel = speed / ramp

    stepped = by_steps(distance, speed, accel, accel / jerk_ramp)
    told = ramped_move_s(
        distance, speed_m_s=speed, ramp_s=ramp, jerk_ramp_s=jerk_ramp, speed_factor=1.0, accel_factor=1.0
    )

    # Where full speed is not reached the steps do not lower the acceleration before the middle: never slower than told.
    assert stepped <= told + 1e-3
    if distance >= speed * (ramp + jerk_ramp):
        assert stepped == pytest.approx(told, abs=1e-3)


def test_a_load_scales_speed_and_acceleration() -> None:
    """With shares of both the move is the one of an arm with so much less of both."""
    limits = AxisLimits(speeds=(2.0 * 0.8,), accels=(2.0 / 0.3 * 0.5,), jerks=(2.0 / 0.3 * 0.5 / 0.1,))

    told = ramped_move_s(1.2, speed_m_s=2.0, ramp_s=0.3, jerk_ramp_s=0.1, speed_factor=0.8, accel_factor=0.5)

    assert told == pytest.approx(float(joint_moves([0.0], [1.2], limits=limits).times_s), rel=1e-12)

"""The window of a grip: what is asked of one jaw, by whom, and what gripper and part allow."""

import math
from typing import Literal

import pytest

from millhand.solvers.holding.jaws import Grip, Hold, Load, forces_asked, window_of

LOAD = Load(mass_kg=4.0, accel_m_s2=6.0, stop_accel_m_s2=20.0, friction=0.15, factor=2.0)
PULL_N = 4.0 * (9.80665 + 20.0) * 2.0  # at the emergency stop


def grip(hold: Hold, jaws: Literal[2, 3] = 2) -> Grip:
    """A grip with V-jaws of 90 degrees, where it has any."""
    return Grip(hold=hold, jaws=jaws, half_angle_rad=math.pi / 4.0)


def test_the_emergency_stop_sets_the_force_of_flat_jaws() -> None:
    """Half of the friction grip's total on each of two jaws; the program's softer moves do not count."""
    window = window_of(grip("friction"), load=LOAD, gripper_n=1000.0, part_n=900.0)

    assert window.least_n == pytest.approx(PULL_N / 0.15 / 2.0)
    assert (window.asked_by, window.limited_by) == ("friction", "part")
    assert window.margin_n == pytest.approx(900.0 - window.least_n)


def test_three_jaws_share_friction_and_watch_for_lift_off() -> None:
    """A third each by friction; with much friction the jaw that lifts off first asks for more."""
    asked = forces_asked(grip("friction", 3), LOAD)

    assert asked == {"friction": pytest.approx(PULL_N / 0.15 / 3.0), "lift_off": pytest.approx(PULL_N * 2.0 / 3.0)}
    rough = Load(mass_kg=4.0, accel_m_s2=6.0, stop_accel_m_s2=20.0, friction=0.8, factor=2.0)
    assert window_of(grip("friction", 3), load=rough, gripper_n=1e4, part_n=1e5).asked_by == "lift_off"


def test_shape_asks_for_less_than_friction() -> None:
    """A ledge leaves inertia alone; V-jaws of 90 degrees gain by the root of two along the axis."""
    ledge = window_of(grip("ledge"), load=LOAD, gripper_n=500.0, part_n=1e4)
    in_v = forces_asked(grip("v_jaws"), LOAD)

    assert (ledge.least_n, ledge.asked_by, ledge.limited_by) == (pytest.approx(80.0), "inertia", "gripper")
    assert in_v["friction"] == pytest.approx(PULL_N / 0.15 / 2.0 / math.sqrt(2.0))
    assert in_v["lift_off"] == pytest.approx(PULL_N / 2.0)


def test_a_part_softer_than_the_grip_asks_leaves_no_window() -> None:
    """The margin falls below nothing, however strong the gripper is."""
    assert window_of(grip("friction"), load=LOAD, gripper_n=1e6, part_n=300.0).margin_n < 0.0


def test_three_v_jaws_are_refused() -> None:
    """The words say what to give instead."""
    with pytest.raises(ValueError, match="give jaws=2"):
        forces_asked(grip("v_jaws", 3), LOAD)

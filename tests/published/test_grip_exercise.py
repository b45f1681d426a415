"""grip_exercise: 8 kg between two fingers, friction 0.5; motion_sizing: a short fast stroke."""

import pytest

from tests.checks import SEEN, Check, assert_holds

BLOCK = {"mass_kg": 8.0, "accel_m_s2": 0.0, "friction": 0.5, "factor": 1.0, "gravity_m_s2": 9.8}
STROKE = {"distance_m": 0.3, "speed_m_s": 1.0, "accel_m_s2": 10.0}

CHECKS = [
    Check(formula="grip_force_per_jaw_n", inputs=BLOCK | {"jaws": 2}, printed="78.4", key="grip_exercise", seen=SEEN),
    Check(
        formula="grip_force_n",
        inputs=BLOCK,
        printed="78.4",
        pick=lambda total_n: total_n / 2.0,
        key="grip_exercise",
        seen=SEEN,
    ),
    Check(formula="move_time_s", inputs=STROKE, printed="0.4", exact=True, key="motion_sizing", seen=SEEN),
    Check(
        formula="move_time_s",
        inputs=STROKE,
        printed="0.45",
        exact=True,
        pick=lambda time_s: time_s + 0.05,  # settling
        key="motion_sizing",
        seen=SEEN,
    ),
    Check(
        formula="move_time_s",
        inputs=STROKE,
        printed="2.2222",
        pick=lambda time_s: 1.0 / (time_s + 0.05),
        key="motion_sizing",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_force_of_a_finger_and_time_of_a_stroke(check: Check) -> None:
    """The worked exercises come out, the force stated per finger as well as in total."""
    assert_holds(check)

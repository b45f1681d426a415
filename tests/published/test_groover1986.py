"""groover1986, ch. 5: a carton held by friction, a plate held by vacuum cups."""

import math

import pytest

from tests.checks import MEMORY, Check, assert_holds

POUND_KG = 0.45359237
GRAVITY = 9.80665
POUND_N = POUND_KG * GRAVITY
PLATE_KG = 0.25 * 24 * 36 * 0.28 * POUND_KG  # inches, pounds per cubic inch
CUPS_IN2 = 2 * math.pi / 4.0 * 5.0**2

CARTON = {"mass_kg": 10.0 * POUND_KG, "accel_m_s2": 2.0 * GRAVITY, "friction": 0.25, "factor": 1.0}  # 3 g in all

CHECKS = [
    Check(
        formula="grip_force_per_jaw_n",
        inputs=CARTON | {"jaws": 2},
        printed="60",
        exact=True,
        pick=lambda force_n: force_n / POUND_N,
        key="groover1986",
        seen=MEMORY,
    ),
    Check(  # the sum over both jaws, in this project's convention
        formula="grip_force_n",
        inputs=CARTON,
        printed="120",
        exact=True,
        pick=lambda force_n: force_n / POUND_N,
        key="groover1986",
        seen=MEMORY,
    ),
    Check(
        formula="suction_required_n",
        inputs={"mass_kg": PLATE_KG, "accel_m_s2": 0.0, "factor": 1.0},
        printed="60.48",
        pick=lambda force_n: force_n / POUND_N,
        key="groover1986",
        seen=MEMORY,
    ),
    Check(
        formula="suction_required_n",
        inputs={"mass_kg": PLATE_KG, "accel_m_s2": 0.0, "factor": 1.0},
        printed="1.54",
        pick=lambda force_n: force_n / POUND_N / CUPS_IN2,
        key="groover1986",
        seen=MEMORY,
    ),
    Check(
        formula="suction_required_n",
        inputs={"mass_kg": PLATE_KG, "accel_m_s2": 0.0, "factor": 1.5},
        printed="2.31",
        pick=lambda force_n: force_n / POUND_N / CUPS_IN2,
        key="groover1986",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_grippers(check: Check) -> None:
    """Forces of the examples come out to their last printed digit, in pounds."""
    assert_holds(check)

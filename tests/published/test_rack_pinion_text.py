"""rack_pinion_text: 5 lb on a rack, pinion of 3 in pitch diameter, to 15 ft/s in 0.5 s, own inertia 7 lb in²."""

import math

import pytest

from tests.checks import SEEN, Check, assert_holds

POUND_KG, INCH_M = 0.45359237, 0.0254
LB_IN2_KG_M2 = POUND_KG * INCH_M**2
LBF_IN_NM = POUND_KG * 9.80665 * INCH_M
RADIUS_M, SPEED_M_S = 1.5 * INCH_M, 15.0 * 12.0 * INCH_M
STIFF = {"radius_m": RADIUS_M, "ratio": 1.0, "efficiency": 1.0, "inertia_kg_m2": 7.0 * LB_IN2_KG_M2}


PUSHED = STIFF | {"thrust_n": 5.0 * POUND_KG * SPEED_M_S / 0.5, "accel_m_s2": SPEED_M_S / 0.5}

CHECKS = [
    Check(
        formula="carried_inertia_kg_m2",
        inputs={"mass_kg": 5.0 * POUND_KG, "radius_m": RADIUS_M, "ratio": 1.0},
        printed="11.25",
        exact=True,
        pick=lambda inertia: inertia / LB_IN2_KG_M2,
        key="rack_pinion_text",
        seen=SEEN,
    ),
    Check(
        formula="carried_inertia_kg_m2",
        inputs={"mass_kg": 5.0 * POUND_KG, "radius_m": RADIUS_M, "ratio": 1.0},
        printed="18.25",
        exact=True,
        pick=lambda inertia: inertia / LB_IN2_KG_M2 + 7.0,
        key="rack_pinion_text",
        seen=SEEN,
    ),
    Check(
        formula="motor_speed_rad_s",
        inputs={"speed_m_s": SPEED_M_S, "radius_m": RADIUS_M, "ratio": 1.0},
        printed="19.1",
        pick=lambda speed: speed / (2.0 * math.pi),
        key="rack_pinion_text",
        seen=SEEN,
    ),
    Check(
        formula="motor_speed_rad_s",
        inputs={"speed_m_s": SPEED_M_S, "radius_m": RADIUS_M, "ratio": 1.0},
        printed="3820",
        pick=lambda speed: 200.0 * speed / (2.0 * math.pi),
        key="rack_pinion_text",
        seen=SEEN,
    ),
    Check(
        formula="motor_torque_nm",
        inputs=PUSHED,
        printed="11.345",
        pick=lambda torque: torque / LBF_IN_NM,
        key="rack_pinion_text",
        seen=SEEN,
    ),
    Check(
        formula="motor_torque_nm",
        inputs=PUSHED,
        printed="181.5",
        pick=lambda torque: 16.0 * torque / LBF_IN_NM,
        key="rack_pinion_text",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_rack_and_pinion(check: Check) -> None:
    """Inertia, speed and torque come out in the text's own units, from thrust and pinion radius in SI."""
    assert_holds(check)

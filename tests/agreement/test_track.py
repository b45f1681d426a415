"""Carriages and their drives by another way: work, power and areas under the speed instead of forces and torques."""

import math

import pytest

from tests.checks import OWN, Check, assert_holds

SLOPE = 0.2
CARRIAGE = {"mass_kg": 420.0, "accel_m_s2": 1.5, "friction": 0.02, "slope_rad": SLOPE}
DRIVE = {"radius_m": 0.045, "ratio": 12.0}


def thrust_by_work_n() -> float:
    """Energy of motion, of height and of friction after 3 m up the slope from rest, over the 3 m."""
    motion_j = 420.0 * (2.0 * 1.5 * 3.0) / 2.0
    height_j = 420.0 * 9.80665 * 3.0 * math.sin(SLOPE)
    heat_j = 0.02 * 420.0 * 9.80665 * math.cos(SLOPE) * 3.0
    return (motion_j + height_j + heat_j) / 3.0


def torque_by_power_nm() -> float:
    """Power into the gear at 2 m/s and into the motor's own inertia, over the motor's speed."""
    turning = 2.0 / 0.045 * 12.0
    turning_more = 1.5 / 0.045 * 12.0
    return (900.0 * 2.0 / 0.9 + 0.004 * turning * turning_more) / turning


def braked_area_m(speed_m_s: float, braking_m_s2: float) -> float:
    """Area under the speed: a rectangle of the reaction of 0.3 s, then a triangle until it stands."""
    return speed_m_s * 0.3 + speed_m_s * (speed_m_s / braking_m_s2) / 2.0


def own(name: str, inputs: dict[str, object], expected: float) -> Check:
    """A value found in a second way."""
    return Check(formula=name, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


CHECKS = [
    own("carriage_thrust_n", CARRIAGE, thrust_by_work_n()),
    own("carriage_energy_j", {"mass_kg": 420.0, "speed_m_s": 2.0}, 630.0 * (2.0**2 / (2.0 * 1.5))),  # 630 N over v²/2a
    own(  # momentum over the time that the way takes at half the speed, and the drive
        "end_stop_force_n",
        {"mass_kg": 420.0, "speed_m_s": 2.0, "way_m": 0.08, "drive_n": 500.0},
        420.0 * 2.0 / (0.08 / 1.0) + 500.0,
    ),
    own(
        "carriage_stopping_m",
        {"speed_m_s": 1.7, "braking_m_s2": 2.5, "reaction_s": 0.3},
        braked_area_m(1.7, 2.5),
    ),
    own(
        "buffer_zone_m",
        {
            "speed_m_s": 1.7,
            "other_speed_m_s": 1.2,
            "braking_m_s2": 2.5,
            "other_braking_m_s2": 1.6,
            "reaction_s": 0.3,
            "keep_m": 0.6,
        },
        braked_area_m(1.7, 2.5) + braked_area_m(1.2, 1.6) + 0.6,
    ),
    own(  # straight teeth of 3 mm pitch module round a circle: circumference over 2 pi
        "pinion_radius_m",
        {"module_m": 0.003, "teeth": 24.0, "helix_rad": 0.34},
        24.0 * (math.pi * 0.003 / math.cos(0.34)) / (2.0 * math.pi),
    ),
    own("pulley_radius_m", {"pitch_m": 0.008, "teeth": 40.0}, 0.32 / math.tau),
    own("belt_pretension_n", {"thrust_n": 900.0, "reserve": 1.2}, 0.6 * 900.0),
    own(  # one strand in series with nothing, half as stiff as two alike; here 3 m and 6 m
        "belt_stretch_m",
        {"thrust_n": 900.0, "strand_m": 3.0, "other_strand_m": 6.0, "stiffness_n": 1.5e6},
        600.0 * 3.0 / 1.5e6,  # the shorter strand takes two thirds
    ),
    own("motor_speed_rad_s", {"speed_m_s": 2.0} | DRIVE, math.tau * 12.0 * 2.0 / (math.tau * 0.045)),
    own(  # the same energy at the motor's speed
        "carried_inertia_kg_m2",
        {"mass_kg": 420.0} | DRIVE,
        420.0 * 2.0**2 / (2.0 / 0.045 * 12.0) ** 2,
    ),
    own(
        "motor_torque_nm",
        {"thrust_n": 900.0, "efficiency": 0.9, "inertia_kg_m2": 0.004, "accel_m_s2": 1.5} | DRIVE,
        torque_by_power_nm(),
    ),
    Check(
        formula="rms_torque_nm",
        inputs={"torques_nm": [46.7, 10.0, -30.0, 0.0], "times_s": [0.2, 0.6, 0.2, 0.5]},
        printed="21.2317",
        key="own_computation",
        seen=OWN,
    ),
    own("drive_duty_share", {"moving_s": [2.5, 4.0, 1.5], "period_s": 40.0}, 1.0 - 32.0 / 40.0),
    own("whole_arm_kg", {"moving_kg": 160.0, "whole_over_moving": 1.6}, 160.0 + 0.6 * 160.0),
    own(  # 3.2 m: full speed reached; 0.5 m: half of it at 1.5 m/s² from rest, twice
        "carriage_ramps_s",
        {"ways_m": [3.2, 0.5], "speed_m_s": 1.2, "accel_m_s2": 1.5},
        2.0 * 1.2 / 1.5 + 2.0 * math.sqrt(2.0 * 0.25 / 1.5),
    ),
    own(  # both ramps of 0.8 s at half the speed leave the rest of the way
        "carriage_cruise_s",
        {"ways_m": [3.2, 0.5], "speed_m_s": 1.2, "accel_m_s2": 1.5},
        (3.2 - 2.0 * 0.8 * 0.6) / 1.2,
    ),
    own(  # heat of friction over one metre, over the turns of the motor for it
        "cruise_torque_nm",
        {"mass_kg": 420.0, "friction": 0.02, "efficiency": 0.9} | DRIVE,
        0.02 * 420.0 * 9.80665 / 0.9 / (12.0 / 0.045),
    ),
    own(  # a mean over ten thousandths of the period: 20 %, 30 %, and half of it at rest
        "carriage_rms_torque_nm",
        {"ramp_nm": 5.0, "cruise_nm": 1.0, "ramps_s": 8.0, "cruise_s": 12.0, "period_s": 40.0},
        math.sqrt(math.fsum([25.0] * 2000 + [1.0] * 3000 + [0.0] * 5000) / 10_000),
    ),
    own(  # no rest where the rides fill more than the period
        "carriage_rms_torque_nm",
        {"ramp_nm": 5.0, "cruise_nm": 1.0, "ramps_s": 8.0, "cruise_s": 12.0, "period_s": 10.0},
        math.sqrt(math.fsum([25.0] * 4 + [1.0] * 6) / 10),
    ),
    own(  # moments about the front blocks: what the rear row loses of the weight, the front row gains
        "guide_block_load_n",
        {"mass_kg": 420.0, "accel_m_s2": 1.5, "lever_m": 0.9, "base_m": 0.7, "blocks": 4.0},
        (420.0 * 9.80665 - (420.0 * 9.80665 * 0.35 - 420.0 * 1.5 * 0.9) / 0.7) / 2.0,
    ),
    own(
        "load_use_share",
        {"mass_kg": 8.0, "rated_kg": 20.0, "lever_m": 0.3, "rated_lever_m": 0.2},
        (8.0 * 0.3) / (20.0 * 0.2),
    ),
    own(  # a lever shorter than the rated one lowers nothing
        "load_use_share",
        {"mass_kg": 8.0, "rated_kg": 20.0, "lever_m": 0.1, "rated_lever_m": 0.2},
        0.4,
    ),
    own("payload_speed_factor", {"load_use": 0.6, "loss_at_full": 0.2}, 0.4 * 1.0 + 0.6 * 0.8),
    own(  # one torque on an arm of 40 kg.m2 and a load whose inertia at the rated load is 30 kg.m2
        "payload_accel_factor",
        {"load_use": 0.6, "inertia_ratio": 0.75},
        (100.0 / (40.0 + 18.0)) / (100.0 / 40.0),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_carriages_and_drives(check: Check) -> None:
    """Force and work, torque and power, way and area give the same number."""
    assert_holds(check)

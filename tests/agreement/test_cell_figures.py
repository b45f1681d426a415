"""Figures of cells, grips, trays and ranges by other ways: sums, counting, a unit library, numerical integration."""

import math
from itertools import count
from statistics import NormalDist
from typing import Any

import pint
import pytest

from tests.checks import OWN, Check, assert_holds

UNITS: Any = pint.UnitRegistry()
GRIP = {"mass_kg": 3.2, "accel_m_s2": 6.0, "friction": 0.15, "factor": 2.0}
TRIANGLE = {"low": 80.0, "likely": 100.0, "high": 150.0}
FRAMES = {"part_kg": 4.0, "gripper_kg": 3.5, "fingers_kg": 0.6}
QUANTILES = {0.05: "88.36660026534", 0.10: "91.83215956620", 0.50: "108.16699867330", 0.80: "123.54248688935"}


def simulated_parts(fault: float, pockets: int) -> float:
    """The mean number of parts, each possible end of the run weighted by its chance."""
    ends = [(done, (1.0 - fault) ** done * fault) for done in range(pockets)]
    return math.fsum(done * chance for done, chance in ends) + pockets * (1.0 - fault) ** pockets


def walked_places(length: int, width: int, along: int, across: int) -> int:
    """Places of a grid, put down one after the other (whole millimetres)."""
    places = 0
    for x in range(0, length - along + 1, along):
        places += sum(1 for _ in range(0, width - across + 1, across))
        assert x + along <= length
    return places


def zero_fault_count(reliability: float, confidence: float) -> int:
    """The first number of runs whose chance without a fault falls to what the confidence leaves."""
    return next(runs for runs in count(1) if reliability**runs <= 1.0 - confidence)


def integrated_mean(quantile_steps: int) -> float:
    """Mean of the triangle as the integral of x times its density, by the midpoint rule."""
    step = 70.0 / quantile_steps
    total = 0.0
    for index in range(quantile_steps):
        x = 80.0 + (index + 0.5) * step
        density = (x - 80.0) / (70.0 * 20.0 / 2.0) if x < 100.0 else (150.0 - x) / (70.0 * 50.0 / 2.0)
        total += x * density * step
    return total


def mean_of_quantiles(p10: float, p90: float) -> float:
    """Mean of a lognormal as the mean of all its quantiles, each from the standard normal one (midpoint rule)."""
    normal = NormalDist((math.log(p10) + math.log(p90)) / 2.0, math.log(p90 / p10) / 2.0 / NormalDist().inv_cdf(0.9))
    low, step = normal.mean - 12.0 * normal.stdev, 24.0 * normal.stdev / 4000
    places = (low + (index + 0.5) * step for index in range(4000))
    return math.fsum(math.exp(place) * normal.pdf(place) * step for place in places)


def pound_force(newton: float) -> float:
    """A force through the unit library."""
    return float(UNITS.Quantity(newton, "newton").to("pound_force").magnitude)


def pulled_n() -> float:
    """Two 50 mm cups at 0.6 bar through the unit library."""
    area = math.pi / 4.0 * UNITS.Quantity(50.0, "millimeter") ** 2
    return float((2 * UNITS.Quantity(0.6, "bar") * area).to("newton").magnitude)


CHECKS = [
    Check(
        formula="expected_unattended_parts",
        inputs={"fault_share": 0.02, "pockets": 60},
        expected=simulated_parts(0.02, 60),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="expected_unattended_parts",
        inputs={"fault_share": 1.0 / 800.0, "pockets": 24},
        expected=simulated_parts(1.0 / 800.0, 24),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="expected_unattended_parts",
        inputs={"fault_share": 0.0, "pockets": 24},
        expected=24.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="runs_without_fault",
        inputs={"fault_share": 0.02, "parts": 60},
        expected=math.prod([0.98] * 60),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="unattended_ceiling_parts",
        inputs={"fault_share": 0.02},
        expected=simulated_parts(0.02, 3000),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="suction_force_n",
        inputs={"diameter_m": 0.05, "pressure_drop_pa": 60_000.0, "cups": 1},
        printed="117.81",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="suction_force_n",
        inputs={"diameter_m": 0.05, "pressure_drop_pa": 60_000.0, "cups": 2},
        expected=pulled_n,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="grip_force_n",
        inputs={"mass_kg": 0.45359237, "accel_m_s2": 0.0, "friction": 0.5, "factor": 1.0},
        expected=2.0,
        pick=pound_force,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="grip_force_n",
        inputs=GRIP,
        expected=3.2 * 15.80665 * 2.0 / 0.15,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="grip_force_per_jaw_n",
        inputs=GRIP | {"jaws": 3},
        expected=3.2 * 15.80665 * 2.0 / 0.15 / 3.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="suction_required_n",
        inputs={"mass_kg": 3.2, "accel_m_s2": 6.0, "factor": 2.0},
        expected=3.2 * 15.80665 * 2.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="autonomy_s",
        inputs={"pockets": 24, "time_per_part_s": 400.0, "machines": 2},
        expected=12 * 400.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="moment_n_m",
        inputs={"mass_kg": 2.0, "lever_m": 0.25, "accel_m_s2": 5.19335},
        expected=7.5,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # 0.9 x 0.9 = 0.81: two runs, exactly
        formula="zero_fault_runs",
        inputs={"reliability": 0.9, "confidence": 0.19},
        expected=2.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # no torque: plain friction on both
        formula="centric_grip_force_n",
        inputs=GRIP | {"torque_nm": 0.0, "radius_m": 0.03},
        expected=3.2 * (9.80665 + 6.0) * 2.0 / 0.15,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # torque and load in the proportion 3 to 4 make 5
        formula="centric_grip_force_n",
        inputs=GRIP | {"torque_nm": 0.75 * 3.2 * (9.80665 + 6.0) * 0.03, "radius_m": 0.03},
        expected=1.25 * 3.2 * (9.80665 + 6.0) * 2.0 / 0.15,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # faces at right angles: each carries the load over the square root of two
        formula="v_jaw_force_n",
        inputs={"mass_kg": 3.2, "accel_m_s2": 6.0, "half_angle_rad": math.pi / 4.0, "factor": 2.0},
        expected=2.0 * 3.2 * (9.80665 + 6.0) / math.sqrt(2.0),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="suction_required_shear_n",
        inputs=GRIP,
        expected=3.2 * 15.80665 * 2.0 / 0.15,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # half a metre out, 0.4 m high, lifted 0.5 m, turned by 45 degrees: worked in centimetres and degrees
        formula="recommended_weight_limit_kg",
        inputs={
            "horizontal_m": 0.5,
            "vertical_m": 0.4,
            "travel_m": 0.5,
            "twist_rad": math.radians(45.0),
            "frequency": 0.75,
            "coupling": 0.95,
        },
        expected=23.0 * (25 / 50) * (1 - 0.003 * 35) * (0.82 + 4.5 / 50) * (1 - 0.0032 * 45) * 0.75 * 0.95,
        key="niosh94110",
        seen=OWN,
    ),
    Check(
        formula="grid_places",
        inputs={"length_m": 0.6, "width_m": 0.4, "diameter_m": 0.04},
        expected=float(walked_places(600, 400, 40, 40)),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="tray_places",  # 580 of 600 over 90 + 20; 394 of 400 over 50 + 6
        inputs={
            "length_m": 0.6,
            "width_m": 0.4,
            "part_length_m": 0.09,
            "part_width_m": 0.05,
            "grip_gap_m": 0.02,
            "other_gap_m": 0.006,
        },
        expected=float(walked_places(580, 394, 110, 56)),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="zero_fault_runs",
        inputs={"reliability": 0.9, "confidence": 0.8},
        expected=float(zero_fault_count(0.9, 0.8)),
        key="own_computation",
        seen=OWN,
    ),
    Check(formula="triangular_mean", inputs=TRIANGLE, printed="110.0", exact=True, key="law2015", seen=OWN),
    *(
        Check(
            formula="triangular_quantile",
            inputs=TRIANGLE | {"share": share},
            printed=printed,
            key="law2015",
            seen=OWN,
        )
        for share, printed in QUANTILES.items()
    ),
    Check(
        formula="lognormal_location",
        inputs={"p10": 30.0, "p90": 70.0},
        expected=math.sqrt(30.0 * 70.0),
        pick=math.exp,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # 1.2815515655446004 standard deviations from the median to P90
        formula="lognormal_spread",
        inputs={"p10": 30.0, "p90": 70.0},
        expected=math.sqrt(70.0 / 30.0),
        pick=lambda spread: math.exp(1.2815515655446004 * spread),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="lognormal_mean",
        inputs={"p10": 30.0, "p90": 70.0},
        expected=mean_of_quantiles(30.0, 70.0),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="steady_availability",
        inputs={"between_faults_h": 40.0, "repair_h": 2.0},
        printed="0.952381",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="steady_availability",
        inputs={"between_faults_h": 60.0, "repair_h": 3.0},
        printed="0.907029",
        pick=lambda share: share * 40.0 / 42.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="horizontal_reach_m",
        inputs={"reach_m": 1.3, "height_difference_m": 0.5},
        expected=1.2,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="gravity_centre_m",
        inputs={"masses_kg": (3.0, 4.0), "offsets_m": (0.075, 0.21)},
        printed="0.152143",
        key="own_computation",
        seen=OWN,
    ),
    Check(  # worked with 9.81 m/s2
        formula="moment_n_m",
        inputs={"mass_kg": 7.0, "lever_m": 1.065 / 7.0, "accel_m_s2": 0.0, "gravity_m_s2": 9.81},
        printed="10.4476",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="payload_demand_kg",
        inputs=FRAMES | {"parts_at_once": 2},
        expected=12.1,
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """The formula and the other way give the same number."""
    assert_holds(check)


def test_the_integral_of_the_density_is_the_mean() -> None:
    """Numerical integration finds the mean of the triangle."""
    assert integrated_mean(7000) == pytest.approx(110.0, rel=1e-6)

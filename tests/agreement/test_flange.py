"""Inertia of boxes and cylinders by another way: summed over the places at which a polynomial is summed exactly."""

import math

import numpy as np
import pytest

from millhand.formulas import REGISTER
from tests.checks import OWN, Check, assert_holds

PLACES, WEIGHTS = np.polynomial.legendre.leggauss(6)


def box_kg_m2(width_m: float, depth_m: float) -> float:
    """m times the mean of x² + y² over a rectangle; of 3 kg."""
    square = [(x * width_m / 2.0) ** 2 + (y * depth_m / 2.0) ** 2 for x in PLACES for y in PLACES]
    share = [a * b / 4.0 for a in WEIGHTS for b in WEIGHTS]
    return 3.0 * math.fsum(s * w for s, w in zip(square, share, strict=True))


def round_kg_m2(*, across: bool) -> float:
    """4 kg, radius 0.05 m, length 0.12 m: m times the mean of x² + y², or y² + z², over rings, angles, heights."""
    total = 0.0
    for place, weight in zip(PLACES, WEIGHTS, strict=True):
        radius, ring = 0.05 * (place + 1.0) / 2.0, weight / 2.0 * (place + 1.0)  # a ring's share grows with its radius
        for angle in np.arange(8) * math.pi / 4.0:
            for height, part in zip(PLACES * 0.06, WEIGHTS / 2.0, strict=True):
                x, y = radius * math.cos(angle), radius * math.sin(angle)
                total += 4.0 * ring * part / 8.0 * (y**2 + height**2 if across else x**2 + y**2)
    return total


CHECKS = [
    Check(
        formula="box_inertia_kg_m2",
        inputs={"mass_kg": 3.0, "width_m": 0.1, "depth_m": 0.15},
        expected=box_kg_m2(0.1, 0.15),
        key="gere2012",
        seen=OWN,
    ),
    Check(
        formula="cylinder_inertia_kg_m2",
        inputs={"mass_kg": 4.0, "radius_m": 0.05},
        expected=round_kg_m2(across=False),
        key="gere2012",
        seen=OWN,
    ),
    Check(
        formula="cylinder_cross_inertia_kg_m2",
        inputs={"mass_kg": 4.0, "radius_m": 0.05, "length_m": 0.12},
        expected=round_kg_m2(across=True),
        key="gere2012",
        seen=OWN,
    ),
    Check(  # two halves of a box beside each other are the whole box
        formula="shifted_inertia_kg_m2",
        inputs={"inertia_kg_m2": 2.0 * box_kg_m2(0.1, 0.15) / 2.0, "mass_kg": 3.0, "distance_m": 0.05},
        expected=box_kg_m2(0.2, 0.15),
        key="gere2012",
        seen=OWN,
    ),
    Check(
        formula="gravity_centre_m",
        inputs={"masses_kg": [3.0, 4.0], "offsets_m": [0.075, 0.21]},
        printed="0.152143",
        key="own_computation",
        seen=OWN,
    ),
    Check(  # 7 kg at that lever, gravity taken as 9.81
        formula="moment_n_m",
        inputs={"mass_kg": 7.0, "lever_m": 1.065 / 7.0, "accel_m_s2": 0.0, "gravity_m_s2": 9.81},
        printed="10.4476",
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_inertia_by_summing(check: Check) -> None:
    """The closed form gives what the sum over the body gives."""
    assert_holds(check)


def test_every_formula_of_the_flange_is_summed() -> None:
    """None is left without a second way."""
    names = {name for name, each in REGISTER.items() if each.function.__module__.endswith(".flange")}

    assert names <= {check.formula for check in CHECKS}

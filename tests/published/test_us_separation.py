"""osha1910217 and ansib1119: distances in inches."""

import pytest

from millhand.formulas.separation import separation_b11_19_m
from tests.checks import MEMORY, Check, assert_holds

INCH_M = 0.0254


def inches(distance_m: float) -> float:
    """Metres as the rule prints them."""
    return distance_m / INCH_M


CHECKS = [
    Check(
        formula="separation_osha_press_m",
        inputs={"stopping_s": 0.32},
        printed="20.16",
        pick=inches,
        key="osha1910217",
        seen=MEMORY,
    ),
    Check(
        formula="separation_b11_19_m",
        inputs={"stopping_s": 0.32, "resolution_m": 0.551 * INCH_M},
        printed="21.095",
        pick=inches,
        key="ansib1119",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_distance_in_inches(check: Check) -> None:
    """The distances come out to the last printed digit."""
    assert_holds(check)


def test_a_coarse_device_is_refused() -> None:
    """Over 2.5 inches another depth applies."""
    with pytest.raises(ValueError, match=r"over 2\.5 in"):
        separation_b11_19_m(0.3, resolution_m=0.0636)

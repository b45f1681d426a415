"""Constants and numbers behind replications, each by a second way."""

import math
import random
from itertools import count
from statistics import covariance, variance

import pytest
from scipy.optimize import brentq
from scipy.stats import t

from millhand.formulas.statistics import replications_for_half_width
from tests.checks import OWN, Check, assert_holds

A = (12.1, 9.4, 11.8, 10.2, 13.0, 8.9)
B = (11.7, 9.0, 11.9, 9.6, 12.1, 8.8)


def eta_by_its_equation(concepts: int, replications: int, error_share: float) -> float:
    """The root of (1 + 2 eta)^(-(n - 1) / 2) / 2 = a / (k - 1), as the procedure defines its constant for c = 1."""

    def off(eta: float) -> float:
        return float(0.5 * (1.0 + 2.0 * eta) ** (-(replications - 1) / 2.0) - error_share / (concepts - 1))

    return float(brentq(off, 1e-9, 100.0, xtol=1e-14, rtol=1e-13))


CHECKS = [
    Check(
        formula="kim_nelson_eta",
        inputs={"concepts": 5, "replications": 10, "error_share": 0.05},
        expected=lambda: eta_by_its_equation(5, 10, 0.05),
        key="kimnelson2001",
        seen=OWN,
    ),
    Check(
        formula="kim_nelson_eta",
        inputs={"concepts": 2, "replications": 20, "error_share": 0.10},
        expected=lambda: eta_by_its_equation(2, 20, 0.10),
        key="kimnelson2001",
        seen=OWN,
    ),
    Check(  # Var(x - y) = Var x + Var y - 2 Cov
        formula="common_numbers_ratio",
        inputs={"values": A, "others": B},
        expected=lambda: 1.0 / (1.0 - 2.0 * covariance(A, B) / (variance(A) + variance(B))),
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_constants_by_a_second_way(check: Check) -> None:
    """Each figure agrees to nine digits."""
    assert_holds(check)


@pytest.mark.parametrize("half_width", [5.0, 0.7, 0.3, 0.11, 0.05])
def test_the_number_of_replications_is_the_least_one(half_width: float) -> None:
    """Counting up from the replications there are, with another library's quantiles, ends at the same number."""
    chance = random.Random(3)
    values = [chance.gauss(10.0, 1.0) for _ in range(8)]
    spread = math.sqrt(variance(values))
    least = next(n for n in count(8) if float(t.ppf(0.975, n - 1)) * spread / math.sqrt(n) <= half_width)

    assert replications_for_half_width(values, half_width=half_width, confidence=0.95) == least


def test_an_almost_endless_number_is_found_at_once() -> None:
    """Where a float no longer tells two counts apart the search still ends."""
    assert replications_for_half_width([0.0, 1.0], half_width=1e-15, confidence=0.95) > 10**29

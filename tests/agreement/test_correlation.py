"""Ranks that go together and the normal numbers behind them: the relation by quadrature, without its closed form."""

import numpy as np
import pytest
from scipy import optimize, special

from tests.checks import OWN, Check, assert_holds

NODES = 200
AT, WEIGHTS = np.polynomial.hermite_e.hermegauss(NODES)


def rank_correlation(normal: float) -> float:
    """Of two normal numbers with this correlation: twelve times the mean of the product of their shares, less three."""
    first, second = np.meshgrid(AT, AT)
    both = np.outer(WEIGHTS, WEIGHTS) / WEIGHTS.sum() ** 2
    mixed = normal * first + np.sqrt(1.0 - normal**2) * second
    return float(12.0 * np.sum(both * special.ndtr(first) * special.ndtr(mixed)) - 3.0)


def normal_correlation(rank: float) -> float:
    """The correlation at which ranks come out as wanted, by halving."""
    return float(optimize.brentq(lambda normal: rank_correlation(normal) - rank, -0.99, 0.99, xtol=1e-13))


CHECKS = [
    Check(
        formula="normal_correlation", inputs={"rank_correlation": rank}, expected=normal_correlation(rank),
        key="own_computation", seen=OWN,
    )
    for rank in (0.6, -0.3)
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)

"""The normal quantile against two independent implementations."""

import statistics

import pytest
from scipy.special import ndtri

from millhand.solvers.sampling.normal import normal_quantile

SHARES = [1e-300, 1e-15, 1e-9, 0.001, 0.0749, 0.0751, 0.3, 0.5, 0.7, 0.9249, 0.9251, 0.999, 1 - 1e-9, 1 - 1e-15]


@pytest.mark.parametrize("share", SHARES)
def test_two_other_implementations_agree(share: float) -> None:
    """All three branches, to 1e-12 of the value."""
    value = normal_quantile(share)

    assert value == pytest.approx(statistics.NormalDist().inv_cdf(share), rel=1e-12, abs=1e-12)
    assert value == pytest.approx(float(ndtri(share)), rel=1e-12, abs=1e-12)

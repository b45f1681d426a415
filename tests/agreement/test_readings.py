"""Figures of stopwatch readings against a general-purpose library: quantiles, quartiles, distances, the best shape."""

import math
from statistics import fmean, stdev

import numpy as np
import pytest
from scipy import stats

from millhand.formulas.fitting import distance_limit, lognormal_distance, shape_of, triangular_distance
from millhand.formulas.timestudy import inner_fences_s, student_quantile
from tests.checks import OWN, Check, assert_holds

LOADING = [18.2, 21.5, 19.9, 24.1, 17.6, 20.3, 22.8, 19.1, 26.7, 20.9, 18.8, 21.1]


def lognormal_of(values: list[float]) -> float:
    """The library's distance to the lognormal of the same mean and variation."""
    sigma = math.sqrt(math.log1p((stdev(values) / fmean(values)) ** 2))
    scale = fmean(values) / math.exp(sigma**2 / 2.0)
    return float(stats.kstest(values, stats.lognorm(s=sigma, scale=scale).cdf).statistic)


def triangular_of(values: list[float]) -> float:
    """The library's distance to the triangular of the same ends and mean."""
    low, wide = min(values), max(values) - min(values)
    mode = 3.0 * fmean(values) - low - max(values)
    return float(stats.kstest(values, stats.triang(c=(mode - low) / wide, loc=low, scale=wide).cdf).statistic)


CHECKS = [
    Check(
        formula="lognormal_distance",
        inputs={"readings_s": LOADING},
        key="law2015",
        seen=OWN,
        expected=lambda: lognormal_of(LOADING),
    ),
    Check(
        formula="triangular_distance",
        inputs={"readings_s": LOADING},
        key="law2015",
        seen=OWN,
        expected=lambda: triangular_of(LOADING),
    ),
    Check(  # the triangular with this mode has the mean of the readings
        formula="triangular_mode_s",
        inputs={"readings_s": LOADING},
        pick=lambda mode: (min(LOADING) + mode + max(LOADING)) / 3.0,
        key="law2015",
        seen=OWN,
        expected=fmean(LOADING),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_distances(check: Check) -> None:
    """Our distance is the library's."""
    assert_holds(check)


@pytest.mark.parametrize("count", [2, 5, 25, 400])
def test_students_quantile_is_the_librarys(count: int) -> None:
    """Two-sided, one degree of freedom less than readings."""
    assert student_quantile(count, confidence=0.9) == pytest.approx(float(stats.t.ppf(0.95, count - 1)), rel=1e-9)


@pytest.mark.parametrize("count", [4, 5, 6, 7, 12, 31])
def test_fences_stand_on_the_quartiles_of_the_library(count: int) -> None:
    """Quartiles at (N + 1) / 4: what the library calls the Weibull way."""
    values = [7.0 * math.sin(3.0 * i) + i for i in range(count)]
    first, third = np.quantile(values, [0.25, 0.75], method="weibull")

    assert inner_fences_s(values) == pytest.approx((first - 1.5 * (third - first), third + 1.5 * (third - first)))


@pytest.mark.parametrize("count", [10, 20, 40])
def test_one_right_sample_in_twenty_lies_beyond_the_limit(count: int) -> None:
    """Two thousand samples of a lognormal with a fifth of variation: between 3 and 7 in a hundred are refused."""
    random = np.random.default_rng(7)
    drawn = random.lognormal(3.0, 0.2, size=(2000, count))
    beyond = sum(lognormal_distance(row.tolist()) > distance_limit(count) for row in drawn)

    assert 0.03 <= beyond / len(drawn) <= 0.07


def test_the_shape_follows_the_readings() -> None:
    """Even quantiles of a shape are taken for that shape; two heaps are like neither and stand for themselves."""
    shares = [(i + 0.5) / 60 for i in range(60)]
    skewed = [float(stats.lognorm(s=0.7, scale=20.0).ppf(share)) for share in shares]
    straight = [float(stats.triang(c=0.95, loc=10.0, scale=20.0).ppf(share)) for share in shares]
    heaps = [10.0 + share for share in shares[:30]] + [40.0 + share for share in shares[:30]]

    assert [shape_of(each) for each in (skewed, straight, heaps, [5.0] * 9)] == [
        "lognormal", "triangular", "empirical", "constant",
    ]  # fmt: skip
    assert triangular_distance([1.0] * 30 + [2.0]) == 1.0

"""How long the work is that a moment falls into: the mean square of each distribution, against scipy."""

from typing import Any

import numpy as np
import pytest
from scipy import stats

from millhand.model.span import Span
from millhand.solvers.cycle.loads.fates import hit_s, mean_square_s2

LOGS = float(np.sqrt(np.log(1 + 0.4**2)))
SCALE_S = 30.0 / stats.weibull_min(1.7).mean()
SPANS = [
    (Span(dist="exponential", mean_s=30.0), stats.expon(scale=30.0)),
    (
        Span(dist="lognormal", mean_s=30.0, cv=0.4),
        stats.lognorm(LOGS, scale=30.0 / np.exp(LOGS**2 / 2)),
    ),
    (Span(dist="weibull", mean_s=30.0, shape=1.7), stats.weibull_min(1.7, scale=SCALE_S)),
    (Span(dist="uniform", mean_s=30.0, low_s=12.0, high_s=48.0), stats.uniform(12.0, 36.0)),
    (
        Span(dist="triangular", mean_s=30.0, low_s=10.0, mode_s=20.0, high_s=60.0),
        stats.triang((20.0 - 10.0) / 50.0, loc=10.0, scale=50.0),
    ),
]


@pytest.mark.parametrize(("span", "reference"), SPANS, ids=[span.dist for span, _ in SPANS])
def test_the_mean_square_of_a_time(span: Span, reference: Any) -> None:
    """Mean and mean square of the same distribution."""
    assert span.mean_s == pytest.approx(reference.mean())
    assert mean_square_s2(span) == pytest.approx(reference.moment(2))


def test_a_time_that_is_always_the_same_and_one_of_values() -> None:
    """Its own square; and the mean of the squares."""
    values = (20.0, 25.0, 45.0)
    measured = Span(dist="empirical", mean_s=30.0, values_s=values)

    assert mean_square_s2(Span(mean_s=30.0)) == 900.0
    assert mean_square_s2(measured) == pytest.approx(float(np.mean(np.square(values))))


def test_of_whole_trials_the_mean_square_is_never_taken_too_small() -> None:
    """A geometric number has less than twice the square of its mean: the load comes out smaller, not larger."""
    reference = stats.geom(1 / 30)
    assert mean_square_s2(Span(dist="geometric", mean_s=30.0)) > reference.moment(2)


def test_a_moment_falls_into_long_work_more_often() -> None:
    """Of two times as frequent as each other, 10 s and 50 s: the work it falls into is 43.3 s long on average."""
    dice = np.random.default_rng(1)
    lengths = dice.choice([10.0, 50.0], size=20_000)
    ends = np.cumsum(lengths)
    moments = dice.uniform(0.0, ends[-1], size=20_000)
    hit = lengths[np.searchsorted(ends, moments)]

    found = hit_s(Span(dist="empirical", mean_s=30.0, values_s=(10.0, 50.0)))
    assert found == pytest.approx(2600.0 / 60.0)
    assert found == pytest.approx(float(hit.mean()), rel=0.01)

"""Each distribution: its mean, its spread, its quantiles, and how a draw comes to the grid."""

import math

import pytest
from scipy import stats

from millhand.errors import InputError
from millhand.model.span import Span
from millhand.solvers.sampling.span_draw import half_up, span_value
from millhand.solvers.sampling.streams import stream_key, uniform

SPANS = {
    "constant": Span(mean_s=12.5),
    "exponential": Span(dist="exponential", mean_s=72_000),
    "lognormal": Span(dist="lognormal", mean_s=1200, cv=0.53),
    "weibull": Span(dist="weibull", mean_s=300, shape=2.0),
    "triangular": Span(dist="triangular", mean_s=40, low_s=20, mode_s=30, high_s=70),
    "uniform": Span(dist="uniform", mean_s=15, low_s=10, high_s=20),
    "empirical": Span(dist="empirical", mean_s=4, values_s=(7.0, 3.0, 2.0)),
    "geometric": Span(dist="geometric", mean_s=25),
}
SHARES = [1e-6, 0.03, 0.25, 0.5, 0.75, 0.97, 1 - 1e-6]
OTHERS = {  # the same quantile by a general library; exponential and geometric run the other way
    "exponential": lambda u: stats.expon(scale=72_000).isf(u),
    "lognormal": lambda u: stats.lognorm(math.sqrt(math.log1p(0.53**2)), scale=1200 / math.sqrt(1 + 0.53**2)).ppf(u),
    "weibull": lambda u: stats.weibull_min(2.0, scale=300 / math.gamma(1.5)).ppf(u),
    "triangular": lambda u: stats.triang(0.2, loc=20, scale=50).ppf(u),
    "uniform": lambda u: stats.uniform(10, 10).ppf(u),
}


@pytest.mark.parametrize("dist", SPANS)
def test_the_mean_of_many_draws_is_the_spans_mean(dist: str) -> None:
    """20 000 draws, within four standard errors of the mean."""
    key = stream_key(seed=3, source=1, replication=0, day=0)
    values = [span_value(SPANS[dist], uniform(key, n)) for n in range(20_000)]
    mean = math.fsum(values) / len(values)
    error = math.sqrt(math.fsum((value - mean) ** 2 for value in values)) / len(values)

    assert mean == pytest.approx(SPANS[dist].mean_s, abs=4 * error + 1e-9)


@pytest.mark.parametrize("dist", OTHERS)
@pytest.mark.parametrize("u", SHARES)
def test_a_general_library_has_the_same_quantiles(dist: str, u: float) -> None:
    """Nine digits."""
    assert span_value(SPANS[dist], u) == pytest.approx(float(OTHERS[dist](u)), rel=1e-9)


def test_an_empirical_span_gives_its_values_alike_often() -> None:
    """A third of the numbers each, in rising order."""
    drawn = [span_value(SPANS["empirical"], u) for u in (0.01, 0.33, 0.34, 0.66, 0.67, 0.99)]

    assert drawn == [2.0, 2.0, 3.0, 3.0, 7.0, 7.0]


def test_a_geometric_span_counts_tries() -> None:
    """With a mean of 25 the first try succeeds with 1 in 25; a mean of 1 always does."""
    assert span_value(SPANS["geometric"], 0.961) == 1.0
    assert span_value(SPANS["geometric"], 0.959) == 2.0
    assert span_value(Span(dist="geometric", mean_s=1), 1e-9) == 1.0


@pytest.mark.parametrize(("value", "steps"), [(0.0, 0), (0.4999, 0), (0.5, 1), (1.5, 2), (2.5, 3)])
def test_halves_go_up(value: float, steps: int) -> None:
    """Half up, and not to the even number."""
    assert half_up(value) == steps


def test_a_missing_parameter_is_named() -> None:
    """A lognormal span without its cv."""
    with pytest.raises(InputError, match="write cv, which this distribution needs"):
        span_value(Span(dist="lognormal", mean_s=3), 0.5)

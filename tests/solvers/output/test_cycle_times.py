"""Mean and quantiles out of log-spaced bins."""

import math
import random
from bisect import bisect_right

import pytest

from millhand.solvers.output.cycle_times import Bins, added, cycle_times, edges_s

BINS = Bins()


def counted(values: list[float], bins: Bins = BINS) -> list[int]:
    """A histogram as the kernel keeps it."""
    edges = edges_s(bins)
    counts = [0] * (len(edges) + 1)
    for value in values:
        counts[bisect_right(edges, value)] += 1
    return counts


def drawn(seed: int, count: int) -> list[float]:
    """Cycle times: mostly even, some with a stop in them."""
    chance = random.Random(seed)
    return [380.0 * chance.lognormvariate(0.0, 0.1) + (chance.random() < 0.02) * 1200.0 for _ in range(count)]


@pytest.mark.parametrize("bins", [BINS, Bins(low_s=10.0, per_decade=8, decades=3)], ids=["fine", "coarse"])
@pytest.mark.parametrize("count", [1, 2, 9, 10, 11, 5000])
def test_mean_and_quantiles_lie_within_the_stated_error(count: int, bins: Bins) -> None:
    """Against the sample itself: its mean, and the smallest value with the share at or below."""
    values = sorted(drawn(1, count))

    found = cycle_times(counted(values, bins), bins=bins)

    true = [values[math.ceil(share * count) - 1] for share in (0.1, 0.5, 0.9)]
    assert found.count == count
    for given, sample in zip(
        (found.mean_s, found.p10_s, found.p50_s, found.p90_s), (math.fsum(values) / count, *true), strict=True
    ):
        assert given is not None
        assert abs(sample / given - 1.0) <= found.bin_error * (1.0 + 1e-9)


def test_the_error_is_what_the_ends_of_a_bin_are_off() -> None:
    """No more and no less: half a bin's width over its middle, 2.30 % with fifty bins a decade, at either end."""
    low, high = edges_s(BINS)[100:102]
    found = cycle_times(counted([low]), bins=BINS)

    assert found.p50_s is not None
    assert low / found.p50_s == pytest.approx(1.0 - found.bin_error)
    assert high / found.p50_s == pytest.approx(1.0 + found.bin_error)
    assert f"{found.bin_error:.4f}" == "0.0230"


def test_edges_belong_to_the_bin_above() -> None:
    """Each edge is counted once, and the decades are exact."""
    edges = edges_s(BINS)

    assert edges[0] == 1.0
    assert edges[50::50] == (10.0, 100.0, 1_000.0, 10_000.0, 100_000.0)
    assert counted(list(edges)) == [0] + [1] * len(edges)


def test_runs_are_added_up_in_any_order() -> None:
    """Whole counts: the sum is that of all values together."""
    one, two = drawn(1, 100), drawn(2, 150)

    assert added([counted(one), counted(two)]) == added([counted(two), counted(one)]) == tuple(counted(one + two))


def test_what_lies_in_an_open_bin_is_not_told() -> None:
    """A value beyond the last edge may be anything: no mean, and no quantile that falls on it."""
    found = cycle_times(counted([60.0] * 8 + [0.01, 1e9]), bins=BINS)

    assert found.mean_s is None
    assert found.p10_s is None
    assert found.p50_s == pytest.approx(60.0, rel=0.024)
    assert found.p90_s == pytest.approx(60.0, rel=0.024)
    assert cycle_times(counted([1e9] * 3), bins=BINS).p50_s is None


def test_nothing_counted_has_no_summary() -> None:
    """A station that finished no two parts."""
    found = cycle_times(counted([]), bins=BINS)

    assert (found.count, found.mean_s, found.p10_s, found.p50_s, found.p90_s) == (0, None, None, None, None)


def test_counts_must_fit_the_edges() -> None:
    """One count more than edges."""
    with pytest.raises(ValueError, match="3 counts for 251 edges; it takes one more"):
        cycle_times([0, 1, 0], bins=BINS)

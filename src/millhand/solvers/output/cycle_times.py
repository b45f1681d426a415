"""Mean and quantiles of cycle times from a histogram of log-spaced bins with whole counts.

Counts of any runs may be added up in any order and give the same bytes. Equal ratios r between the edges make the
error of a bin the same share of every value: a value is told by the middle of its bin, and lies within
(r - 1) / (r + 1) of it. Source: own computation.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Bins:
    """Bins with edges at low_s, low_s x ratio, ...; one open bin below them and one above."""

    low_s: float = 1.0
    per_decade: int = 50  # a ratio of 10^(1/50) = 1.047: no value is off by more than 2.4 %
    decades: int = 5

    @property
    def ratio(self) -> float:
        """One edge over the edge before."""
        return math.pow(10.0, 1.0 / self.per_decade)


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleTimes:
    """Cycle times of one station; None where the value lies in an open bin."""

    count: int
    mean_s: float | None
    p10_s: float | None
    p50_s: float | None
    p90_s: float | None
    bin_error: float  # each true value of the sample lies within this share of the one given


def edges_s(bins: Bins) -> tuple[float, ...]:
    """The edges, lowest first. A value belongs to bin `bisect_right(edges, value)`, 0 being the open one below."""
    steps = bins.per_decade * bins.decades
    return tuple(bins.low_s * math.pow(10.0, at / bins.per_decade) for at in range(steps + 1))


def added(counts: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """The counts of several runs together."""
    return tuple(sum(each) for each in zip(*counts, strict=True))


def cycle_times(counts: Sequence[int], *, bins: Bins) -> CycleTimes:
    """Summary of the times between successive finished parts, one more count than there are edges.

    A quantile is the smallest value of the sample with at least its share at or below, as in the summary of times
    alone; its bin is found exactly. The mean adds up the bins' middles.
    """
    edges = edges_s(bins)
    if len(counts) != len(edges) + 1:
        raise ValueError(f"{len(counts)} counts for {len(edges)} edges; it takes one more")
    total = sum(counts)
    middles = [(low + high) / 2.0 for low, high in pairwise(edges)]
    closed = total > 0 and counts[0] == counts[-1] == 0
    weighed = math.fsum(count * middle for count, middle in zip(counts[1:-1], middles, strict=True))
    return CycleTimes(
        count=total,
        mean_s=weighed / total if closed else None,
        p10_s=_quantile_s(counts, middles, share=0.1),
        p50_s=_quantile_s(counts, middles, share=0.5),
        p90_s=_quantile_s(counts, middles, share=0.9),
        bin_error=(bins.ratio - 1.0) / (bins.ratio + 1.0),
    )


def _quantile_s(counts: Sequence[int], middles: Sequence[float], *, share: float) -> float | None:
    """Middle of the bin that holds the value of this rank; None in an open bin, and without any value."""
    rank = max(1, math.ceil(share * sum(counts)))
    below = 0
    for at, count in enumerate(counts):
        below += count
        if below >= rank:
            return middles[at - 1] if 0 < at <= len(middles) else None
    return None

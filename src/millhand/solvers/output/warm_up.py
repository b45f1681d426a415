"""Where the transient at the start of a run ends: the marginal standard error rule, MSER-5.

White, An effective truncation heuristic for bias reduction in simulation output, 1997 (white1997); Franklin and White,
Stationarity tests and MSER-5, 2008 (franklin2008). That the last five batches are never left alone, and that a cut in
the second half means a run too short, follows Hoad, Robinson and Davies, 2010 (hoad2010).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

BATCH = 5  # observations averaged into one: the 5 of MSER-5
LEFT = 5  # batches that a cut must leave: with fewer the rule meets small values by chance


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmUp:
    """Where to cut a series, and whether the rest is long enough to trust the cut."""

    cut: int  # observations at the start to leave out
    batches: int  # the same in batches
    statistic: float  # the marginal standard error, squared, at the cut
    long_enough: bool  # False: run too short, the cut is no warm-up
    mean: float  # of the whole batches after the cut


def averaged(runs: Sequence[Sequence[float]]) -> tuple[float, ...]:
    """The mean over replications, observation by observation, as far as the shortest goes (Welch's averages)."""
    return tuple(
        math.fsum(each) / len(runs) for each in zip(*(run[: min(map(len, runs))] for run in runs), strict=True)
    )


def warm_up(series: Sequence[float], *, batch: int = BATCH) -> WarmUp:
    """The cut that makes the mean of the rest most certain: least sum of squared deviations over squared count.

    An incomplete last batch is left out. Of equal cuts the first counts, so a series without a transient is not cut.
    Too short is a run whose best cut lies beyond its first half, or that has no batches for two such halves.
    """
    means = [math.fsum(series[at : at + batch]) / batch for at in range(0, len(series) - batch + 1, batch)]
    if len(means) < 2 * LEFT:
        mean = math.fsum(means) / len(means) if means else math.nan
        return WarmUp(cut=0, batches=0, statistic=math.nan, long_enough=False, mean=mean)
    found = marginal_errors(means)[: len(means) - LEFT + 1]
    at = min(range(len(found)), key=found.__getitem__)
    rest = means[at:]
    return WarmUp(
        cut=at * batch,
        batches=at,
        statistic=found[at],
        long_enough=2 * at <= len(means),
        mean=math.fsum(rest) / len(rest),
    )


def marginal_errors(values: Sequence[float]) -> list[float]:
    """For each number of values cut off at the start, from none on: squared deviations of the rest over count squared.

    One pass from the end (Welford's update), exact for values that are all the same.
    """
    errors: list[float] = []
    mean = deviations = 0.0
    for count, value in enumerate(reversed(values), start=1):
        off = value - mean
        mean += off / count
        deviations += off * (value - mean)
        errors.append(deviations / count**2)
    return errors[::-1]

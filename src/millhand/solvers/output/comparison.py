"""Two concepts under common random numbers: the difference with its interval, and what the common numbers saved."""

from collections.abc import Sequence

from millhand.formulas.statistics import common_numbers_ratio
from millhand.model.performance import Figure
from millhand.solvers.output.interval import LEVEL, mean_interval


def paired_difference(a: Sequence[float], b: Sequence[float], *, level: float = LEVEL) -> Figure:
    """Mean of a less b with its interval (paired t), replication by replication (law2015, sec. 10.2.1).

    It holds whether the numbers were common or not; where they were, it is the narrower for it. An interval that
    holds nothing leaves open which of the two is greater.
    """
    return mean_interval([x - y for x, y in zip(a, b, strict=True)], level=level)


def common_numbers_gain(a: Sequence[float], b: Sequence[float]) -> float:
    """How many times as many replications the same interval would have taken with independent runs.

    1 where the common numbers changed nothing, below 1 where they did harm; without end where the difference does not
    spread at all.
    """
    return common_numbers_ratio(a, others=b)

"""The interval of a mean that may well lie on both sides of nothing, such as a difference."""

import math
from collections.abc import Sequence

from millhand.formulas.statistics import mean_half_width
from millhand.model.performance import Figure

LEVEL = 0.95  # of every interval of a Figure


def mean_interval(values: Sequence[float], *, level: float = LEVEL) -> Figure:
    """Mean with its interval by Student's t; of one value the interval is the value itself.

    Unlike the interval of a count it may reach below nothing although every value lies above.
    """
    mean = math.fsum(values) / len(values)
    half = half_width(values, level=level)
    return Figure(mean=mean, low=mean - half, high=mean + half)


def half_width(values: Sequence[float], *, level: float = LEVEL) -> float:
    """Half the interval of the mean; of one value, which shows no spread, nothing."""
    return mean_half_width(values, confidence=level) if len(values) > 1 else 0.0

"""Which distribution readings are drawn from: how far each lies from them, and how far it may lie."""

import math
from collections.abc import Callable, Sequence
from statistics import NormalDist, fmean, stdev

from millhand.formulas.register import formula

STANDARD = NormalDist()


@formula(source="law2015, ch. 6, Kolmogorov-Smirnov distance", unit="1")
def lognormal_distance(readings_s: Sequence[float]) -> float:
    """Greatest distance between the steps of the readings and the lognormal of the same mean and variation [0..1].

    Source: law2015, ch. 6.  Valid for readings above zero that are not all the same.
    """
    mean, spread = fmean(readings_s), stdev(readings_s)
    variance = math.log1p((spread / mean) ** 2)
    middle = math.log(mean) - variance / 2.0
    return _distance(readings_s, lambda value: STANDARD.cdf((math.log(value) - middle) / math.sqrt(variance)))


@formula(source="law2015, ch. 6, triangular from ends and mean", unit="s")
def triangular_mode_s(readings_s: Sequence[float]) -> float:
    """Most likely value of the triangular with the least, the greatest and the mean reading, 3 m - a - b [s].

    Source: law2015, ch. 6.  Valid where it lies between the ends: no triangular has this mean otherwise.
    """
    return 3.0 * fmean(readings_s) - min(readings_s) - max(readings_s)


@formula(source="law2015, ch. 6, Kolmogorov-Smirnov distance", unit="1")
def triangular_distance(readings_s: Sequence[float]) -> float:
    """Greatest distance between the steps of the readings and the triangular of the same ends and mean [0..1].

    1, the greatest there is, where no triangular has that mean.
    Source: law2015, ch. 6.  Valid for readings that are not all the same.
    """
    low, high, mode = min(readings_s), max(readings_s), triangular_mode_s(readings_s)
    if not low <= mode <= high:
        return 1.0

    def share_below(value: float) -> float:
        if value < mode:
            return (value - low) ** 2 / ((high - low) * (mode - low))
        return 1.0 - (high - value) ** 2 / ((high - low) * (high - mode)) if value < high else 1.0

    return _distance(readings_s, share_below)


@formula(source="molin2007, table for 5 %", unit="1", valid={"readings": (4.0, math.inf)})
def distance_limit(readings: float) -> float:
    """Distance that one sample in twenty exceeds although its distribution is right, 0.895 / (n' - 0.01 + 0.85 / n').

    n' is the root of the number of readings; two parameters were taken from the same readings [0..1].
    Source: molin2007; law2015, ch. 6.  Valid for a normal distribution, and about right for others.
    """
    root = math.sqrt(readings)
    return 0.895 / (root - 0.01 + 0.85 / root)


def shape_of(readings_s: Sequence[float]) -> str:
    """Constant, where all are the same; else the nearer of lognormal and triangular, beyond the limit empirical."""
    if stdev(readings_s) == 0.0:
        return "constant"
    distances = {"lognormal": lognormal_distance(readings_s), "triangular": triangular_distance(readings_s)}
    near = min(distances, key=lambda name: distances[name])
    return near if distances[near] <= distance_limit(len(readings_s)) else "empirical"


def _distance(readings_s: Sequence[float], share_below: Callable[[float], float]) -> float:
    """The greatest distance, above and below each step."""
    count = len(readings_s)
    shares = [share_below(value) for value in sorted(readings_s)]
    return max(max((i + 1) / count - share, share - i / count) for i, share in enumerate(shares))

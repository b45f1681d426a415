"""Plan geometry, coarse: coordinates from spacings, distances between spots, the way that somebody walks."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(source="own_computation, sum", unit="m", units={"lengths_m": "m"})
def sum_of_lengths_m(lengths_m: Sequence[float]) -> float:
    """Lengths in a row, one after the other [m].

    Source: own_computation, sum.  Valid for lengths along one line.

    >>> sum_of_lengths_m([1.5, 2.0])
    3.5
    """
    return math.fsum(lengths_m)


@formula(source="own_computation, difference")
def difference_m(length_m: float, *, less_m: float) -> float:
    """A coordinate or height less another, with its sign [m].

    Source: own_computation, difference.  Valid for coordinates along one line.
    """
    return length_m - less_m


@formula(source="own_computation, mean", unit="m", units={"lengths_m": "m"})
def mean_of_lengths_m(lengths_m: Sequence[float]) -> float:
    """The middle of several coordinates [m].

    Source: own_computation, mean.  Valid for at least one coordinate.

    >>> mean_of_lengths_m([0.0, 3.0])
    1.5
    """
    return math.fsum(lengths_m) / len(lengths_m)


@formula(source="own_computation, greatest of several", unit="m", units={"lengths_m": "m"})
def greatest_of_lengths_m(lengths_m: Sequence[float]) -> float:
    """The greatest of several lengths [m].

    Source: own_computation.  Valid for at least one length.

    >>> greatest_of_lengths_m([0.9, 1.4, 1.1])
    1.4
    """
    return max(lengths_m)


@formula(
    source="own_computation, share of an opening",
    valid={"load_height_m": NOT_NEGATIVE, "opening_m": NOT_NEGATIVE, "sill_share": SHARE},
)
def sill_height_m(load_height_m: float, *, opening_m: float, sill_share: float) -> float:
    """Height of a door's sill where the load position lies a share of the opening above it; never below the floor [m].

    Source: own_computation, share of an opening.  Valid where nobody measured the sill.
    """
    return max(0.0, load_height_m - sill_share * opening_m)


@formula(source="own_computation, right triangle")
def plan_distance_m(x_m: float, *, y_m: float, to_x_m: float, to_y_m: float) -> float:
    """Straight distance between two spots of the floor plan [m].

    Source: own_computation, right triangle.  Valid as the coarse way of an arm or a track; nothing stands between.

    >>> plan_distance_m(0.0, y_m=0.0, to_x_m=3.0, to_y_m=4.0)
    5.0
    """
    return math.hypot(to_x_m - x_m, to_y_m - y_m)


@formula(source="own_computation, speed times time", valid={"time_s": NOT_NEGATIVE, "speed_m_s": POSITIVE})
def walked_m(time_s: float, *, speed_m_s: float) -> float:
    """Way that somebody walks in a time [m].

    Source: own_computation, speed times time.  Valid for an even walk.

    >>> walked_m(5.0, speed_m_s=1.2)
    6.0
    """
    return time_s * speed_m_s

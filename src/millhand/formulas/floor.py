"""Floor that a cell takes."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import formula


@formula(
    source="common_practice, rectangles with half a walkway round each",
    valid={"walkway_m": NOT_NEGATIVE},
    units={"lengths_m": "m", "widths_m": "m"},
)
def floor_area_m2(lengths_m: Sequence[float], *, widths_m: Sequence[float], walkway_m: float) -> float:
    """Floor of several rectangles, each with half a walkway round it, so that neighbours share one [m2].

    Source: common_practice.  Valid for rectangles that do not overlap; escape routes are a matter of local codes.

    >>> floor_area_m2([2.0, 1.0], widths_m=[1.0, 1.0], walkway_m=1.0)
    10.0
    """
    return math.fsum(
        (length + walkway_m) * (width + walkway_m) for length, width in zip(lengths_m, widths_m, strict=True)
    )


@formula(
    source="own_computation, bounding rectangle",
    valid={"margin_m": NOT_NEGATIVE},
    units={"xs_m": "m", "ys_m": "m", "lengths_m": "m", "widths_m": "m"},
)
def enclosed_area_m2(
    xs_m: Sequence[float],
    *,
    ys_m: Sequence[float],
    lengths_m: Sequence[float],
    widths_m: Sequence[float],
    margin_m: float,
) -> float:
    """Floor inside one fence round several rectangles (middles x, y; length along x, width along y) [m2].

    A machine's door is a rectangle without extent: the fence reaches to it. margin_m keeps free on all four sides.
    Source: own_computation.  Valid for a fence along the axes of the plan; a real one follows the machines.

    >>> enclosed_area_m2([0.0, 2.0], ys_m=[0.0, 0.0], lengths_m=[0.0, 1.0], widths_m=[0.0, 1.0], margin_m=0.5)
    7.0
    """
    across = _extent(xs_m, lengths_m) + 2.0 * margin_m
    along = _extent(ys_m, widths_m) + 2.0 * margin_m
    return across * along


@formula(source="own_computation, difference", valid={"whole_m2": NOT_NEGATIVE, "outside_m2": NOT_NEGATIVE})
def area_inside_m2(whole_m2: float, *, outside_m2: float) -> float:
    """Floor of a shape less what is cut out of it, never below nothing [m2].

    Source: own_computation.  Valid for a cut that lies in the shape.

    >>> area_inside_m2(12.0, outside_m2=3.0)
    9.0
    """
    return max(0.0, whole_m2 - outside_m2)


@formula(source="own_computation, bounding rectangle", units={"middles_m": "m", "lengths_m": "m"})
def outline_m(middles_m: Sequence[float], *, lengths_m: Sequence[float]) -> float:
    """How far several pieces reach along one axis, from the lowest edge to the highest [m].

    Source: own_computation.  Valid for pieces along the axes of the plan; a point is a piece without length.

    >>> outline_m([0.0, 2.0], lengths_m=[1.0, 0.0])
    2.5
    """
    return _extent(middles_m, lengths_m)


def _extent(middles: Sequence[float], sizes: Sequence[float]) -> float:
    """From the lowest edge to the highest."""
    edges = [(middle - size / 2.0, middle + size / 2.0) for middle, size in zip(middles, sizes, strict=True)]
    return max(high for _, high in edges) - min(low for low, _ in edges)

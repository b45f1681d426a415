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

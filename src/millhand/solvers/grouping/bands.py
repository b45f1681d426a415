"""Bands of one measure, none wider than so much: the band that holds most weight first, then of what is left.

The way a shop buys finger sets: the first for what keeps the machines busy longest, the next for what is then left. It
depends on no order of the list. Taking the greatest first covers with any number of bands no less than 1 - 1/e of what
the best choice of so many covers (nemhauser1978).
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

NEAR = 1e-9  # of the width: lengths are decimals, which no float is


class Span(NamedTuple):
    """One thing: from where to where it needs the band, and what it weighs."""

    low: float
    high: float
    weight: float


def bands(spans: Sequence[Span], width: float) -> tuple[int, ...]:
    """The number of the band of each span, 0 being the one that holds most weight, each at most `width` wide.

    A span wider than a band is taken as if it ended where a band from its low end does. Of bands of equal weight the
    lowest comes first.

    >>> bands([Span(10, 10, 1.0), Span(14, 14, 5.0), Span(18, 18, 2.0), Span(40, 40, 3.0)], 5.0)
    (2, 0, 0, 1)
    """
    if not spans:
        return ()
    low = np.array([each.low for each in spans])
    near = NEAR * max(width, 1.0)
    high = np.minimum([each.high for each in spans], low + width)
    left = np.array([max(each.weight, 0.0) for each in spans])
    found = np.full(len(spans), -1)
    number = 0
    while (open_ := np.flatnonzero(found < 0)).size:
        starts = np.unique(low[open_])
        inside = (low[open_] >= starts[:, None] - near) & (high[open_] <= starts[:, None] + width + near)
        sums = inside @ left[open_]
        first = int(np.argmax(sums >= sums.max() * (1.0 - NEAR)))
        found[open_[inside[first]]] = number
        number += 1
    return tuple(int(each) for each in found)

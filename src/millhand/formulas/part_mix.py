"""Many parts beside a cell: shares of their machine hours, and changeovers between the families that share it."""

import math
from collections.abc import Sequence

from millhand.formulas.register import formula


@formula(source="own_computation, hours over hours", unit="1", units={"hours_h": "h/y", "whole_h": "h/y"})
def share_of_hours(hours_h: Sequence[float], *, whole_h: float) -> float:
    """What share of the machine hours some hours are; 0 where there are none at all [1].

    Source: own_computation.  Valid for hours that are all among the whole.

    >>> share_of_hours([20.0, 10.0], whole_h=40.0)
    0.75
    """
    return math.fsum(hours_h) / whole_h if whole_h > 0.0 else 0.0


@formula(
    source="own_computation, chance that the next lot is of another family", unit="1/week", units={"lots": "1/week"}
)
def changeovers_as_lots_come(lots: Sequence[float]) -> float:
    """Changeovers a week between families when lots come in any order [1/week].

    lots: of each family in a week. The next lot is of another family with the share of all others.
    Source: own_computation.  Valid for lots whose families follow each other by chance.

    >>> changeovers_as_lots_come([2.0, 2.0]), changeovers_as_lots_come([5.0])
    (2.0, 0.0)
    """
    whole = math.fsum(lots)
    return math.fsum(each * (whole - each) / whole for each in lots) if whole > 0.0 else 0.0


@formula(source="own_computation, each family once", unit="1/week", units={"lots": "1/week"})
def changeovers_sorted(lots: Sequence[float]) -> float:
    """Changeovers a week between families when the lots of each week are sorted by family [1/week].

    lots: of each family in a week; a family whose lots come more seldom than weekly comes as often as they do. The
    order of the families is the same each week. Nobody sorts where that asks for more than the lots as they come.
    Source: own_computation.  Valid for lots that may be moved about within their week.

    >>> changeovers_sorted([4.0, 0.5]), changeovers_sorted([4.0])
    (0.8888888888888888, 0.0)
    """
    return min(math.fsum(min(each, 1.0) for each in lots), changeovers_as_lots_come(lots))

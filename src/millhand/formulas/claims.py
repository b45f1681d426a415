"""Figures of somebody else's calculation worked out by its own logic, to set beside the honest ones."""

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import formula


@formula(
    source="own_computation, posts times hours",
    valid={"heads": NOT_NEGATIVE, "head_h_per_y": NOT_NEGATIVE},
    unit="h/y",
)
def claimed_h_per_y(heads: float, *, head_h_per_y: float) -> float:
    """Hours a year that so many posts work [h/y].

    Source: own_computation.  Valid for posts of one shift each.
    """
    return heads * head_h_per_y


@formula(
    source="own_computation, the day's rate all night",
    valid={"parts_per_h": NOT_NEGATIVE, "alone_s": NOT_NEGATIVE},
    units={"parts_per_h": "parts/h"},
    unit="parts",
)
def day_rate_parts(parts_per_h: float, *, alone_s: float) -> float:
    """Parts of a run alone if nothing ever stopped it: the rate with somebody there times the hours [parts].

    Source: own_computation.  Valid as the count that forgets that nobody is there to clear a stop.

    >>> day_rate_parts(15.0, alone_s=14400.0)
    60.0
    """
    return parts_per_h * alone_s / 3600.0


@formula(
    source="own_computation, orders less what is made today",
    valid={"orders_parts_per_y": NOT_NEGATIVE, "today_parts_per_y": NOT_NEGATIVE},
    unit="parts/y",
)
def unmet_parts_per_y(orders_parts_per_y: float, *, today_parts_per_y: float) -> float:
    """Parts a year that are ordered and not made today; never below zero [parts/y].

    Source: own_computation.  Valid for orders that may be made at any time of the year.

    >>> unmet_parts_per_y(60000.0, today_parts_per_y=52500.0)
    7500.0
    """
    return max(0.0, orders_parts_per_y - today_parts_per_y)

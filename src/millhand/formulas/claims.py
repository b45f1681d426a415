"""Figures of somebody else's calculation worked out by its own logic, to set beside the honest ones."""

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import formula


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

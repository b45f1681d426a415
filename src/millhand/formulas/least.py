"""The least of several figures, whatever their unit, and what counts for no more than the whole."""

from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE
from millhand.formulas.register import SAME, formula


@formula(source="own_computation, least of several", unit=SAME, units={"values": SAME})
def least(values: Sequence[float]) -> float:
    """The least of several figures of one unit: the limit that comes first, the slowest speed [as its inputs].

    Source: own_computation, least of several.  Valid when every one that counts stands in the list.

    >>> least([96.0, 40.0])
    40.0
    """
    return min(values)


@formula(source="own_computation, no more than the whole", unit="1", valid={"share": NOT_NEGATIVE})
def capped_share(share: float) -> float:
    """A share that counts for no more than the whole [0..1].

    Source: own_computation.  Valid where more than the whole is refused by another check.

    >>> capped_share(1.2), capped_share(0.4)
    (1.0, 0.4)
    """
    return min(share, 1.0)

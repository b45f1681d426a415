"""What becomes of freed hours: each fate takes its share, and together they take no more than there is."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="own_computation, shares of the hours there are",
    valid={"share": SHARE},
    units={"shares": "1"},
)
def fate_h_per_y(freed_h_per_y: float, *, share: float, shares: Sequence[float]) -> float:
    """Freed hours of a year that meet with one fate; nought where nothing comes free [h/y].

    shares: of all fates, this one among them; where they add up to more than one each takes less in proportion.
    Source: own_computation.  Valid for shares of the same hours.

    >>> fate_h_per_y(1000.0, share=0.5, shares=[0.5, 0.25]), fate_h_per_y(1000.0, share=0.75, shares=[0.75, 0.75])
    (500.0, 500.0)
    """
    return max(0.0, freed_h_per_y) * share / max(1.0, math.fsum(shares))


@formula(
    source="common_practice, posts that stay open",
    valid={"open_h_per_y": NOT_NEGATIVE, "head_h_per_y": POSITIVE},
)
def whole_heads_h_per_y(open_h_per_y: float, *, head_h_per_y: float) -> float:
    """Hours of a year of the whole posts that need not be filled: nobody hires part of a person less [h/y].

    Source: common_practice.  Valid for hours of the same year.

    >>> whole_heads_h_per_y(3100.0, head_h_per_y=1500.0), whole_heads_h_per_y(1400.0, head_h_per_y=1500.0)
    (3000.0, 0.0)
    """
    return math.floor(open_h_per_y / head_h_per_y + 1e-9) * head_h_per_y


@formula(
    source="own_computation, hours at what one of them is worth",
    valid={"fate_h_per_y": NOT_NEGATIVE, "wage_money_per_h": NOT_NEGATIVE, "worth_share": NOT_NEGATIVE},
)
def fate_money_per_y(fate_h_per_y: float, *, wage_money_per_h: float, worth_share: float) -> float:
    """What hours of one fate are worth in a year [money/y].

    worth_share: of such an hour against what an hour worked at the machines costs; an hour of overtime is dearer.
    Source: own_computation.  Valid for hours that somebody pays less for, or uses.

    >>> fate_money_per_y(100.0, wage_money_per_h=40.0, worth_share=1.25)
    5000.0
    """
    return fate_h_per_y * wage_money_per_h * worth_share


@formula(
    source="own_computation, sum over fates",
    valid={"wage_money_per_h": NOT_NEGATIVE},
    units={"amounts_money": "money/y"},
)
def labour_of_fates_money_per_y(
    freed_h_per_y: float, *, wage_money_per_h: float, amounts_money: Sequence[float]
) -> float:
    """What the freed hours are worth by their fates; hours on top of today cost in full [money/y].

    Source: own_computation.  Valid for fates that share the same hours.

    >>> labour_of_fates_money_per_y(900.0, wage_money_per_h=40.0, amounts_money=[20000.0, 5000.0])
    25000.0
    >>> labour_of_fates_money_per_y(-100.0, wage_money_per_h=40.0, amounts_money=[0.0])
    -4000.0
    """
    return math.fsum(amounts_money) if freed_h_per_y > 0.0 else freed_h_per_y * wage_money_per_h

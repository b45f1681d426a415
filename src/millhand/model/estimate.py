"""What a concept costs to buy, line by line."""

from dataclasses import dataclass
from typing import Literal

from millhand.model.fact import Fact

Group = Literal["equipment", "work", "contingency", "own"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """One line: an amount with its range, in the inquiry's currency. 'own' lines are what the shop provides itself."""

    id: str
    words: str
    group: Group
    amount: Fact
    internal: bool = False  # left out of a customer's copy


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """All lines of one concept; the sums are fact ids."""

    concept: str
    currency: str
    lines: tuple[PriceLine, ...]
    equipment: str
    installed: str  # equipment, work and contingency: what is paid before hand-over
    order_to_hand_over_s: str
    estimate_class: str  # words: class and usual accuracy
    excluded: tuple[str, ...] = ()
    own: str = ""  # fact id: what the shop provides itself, on top of `installed`
    worked_hour: str = ""  # fact id [money/h]: what one hour worked at the machines costs
    material_per_part: str = ""  # fact id [money/part]: what a raw part costs, on average
    cost: str = ""  # fact id: what it costs who builds it; internal, left out of a customer's copy
    margin: str = ""  # fact id: installed price less that cost; internal as well
    past: str = ""  # words: what past jobs of whoever builds it say of such a sum; internal as well
    prices_of: str = ""  # words: the year in which the catalogue's prices were gathered
    price_factor: str = ""  # fact id: the inquiry's money for one unit of the catalogue's

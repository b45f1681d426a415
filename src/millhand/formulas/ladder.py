"""The amounts of a steady year, and the steps from the count across the table to the honest one."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, SHARE
from millhand.formulas.register import formula


@formula(
    source="own_computation, hours today less hours still needed",
    unit="h/y",
    valid={"today_h_per_y": NOT_NEGATIVE, "still_h_per_y": NOT_NEGATIVE},
)
def freed_h_per_y(today_h_per_y: float, *, still_h_per_y: float) -> float:
    """Operator hours that a concept frees; below zero it needs more than today [h/y].

    Source: own_computation.  Valid for hours of the same people at the same machines: never more than today's.

    >>> freed_h_per_y(3000.0, still_h_per_y=800.0)
    2200.0
    """
    return today_h_per_y - still_h_per_y


@formula(
    source="common_practice, freed hours of real value",
    unit="money/y",
    valid={"wage_money_per_h": NOT_NEGATIVE, "usable_share": SHARE},
)
def labour_money_per_y(freed_h_per_y: float, *, wage_money_per_h: float, usable_share: float) -> float:
    """What the freed hours are worth: only the usable share counts, while hours on top of today cost in full [money/y].

    Source: common_practice.  Valid for a share that somebody really pays less for, or uses.
    """
    return freed_h_per_y * wage_money_per_h * (usable_share if freed_h_per_y > 0.0 else 1.0)


@formula(
    source="common_practice, hours times wage",
    unit="money/y",
    valid={"worked_h_per_y": NOT_NEGATIVE, "wage_money_per_h": NOT_NEGATIVE},
)
def wages_money_per_y(worked_h_per_y: float, *, wage_money_per_h: float) -> float:
    """What hours at the machines cost in a year [money/y].

    Source: common_practice.  Valid for the cost of the same kind of hour: worked or paid.
    """
    return worked_h_per_y * wage_money_per_h


@formula(
    source="common_practice, only what is ordered",
    unit="parts/y",
    valid={"orders_parts_per_y": NOT_NEGATIVE, "capacity_parts_per_y": NOT_NEGATIVE, "today_parts_per_y": NOT_NEGATIVE},
)
def extra_parts_per_y(orders_parts_per_y: float, *, capacity_parts_per_y: float, today_parts_per_y: float) -> float:
    """Parts a year on top of today's that can be made and that somebody buys; never below zero [parts/y].

    Source: common_practice.  Valid for orders that may be made at any time of the year.

    >>> extra_parts_per_y(50000.0, capacity_parts_per_y=90000.0, today_parts_per_y=50000.0)
    0.0
    """
    return max(0.0, min(orders_parts_per_y, capacity_parts_per_y) - today_parts_per_y)


@formula(
    source="own_computation, orders that can no longer be met",
    unit="parts/y",
    valid={"orders_parts_per_y": NOT_NEGATIVE, "capacity_parts_per_y": NOT_NEGATIVE, "today_parts_per_y": NOT_NEGATIVE},
)
def lost_parts_per_y(orders_parts_per_y: float, *, capacity_parts_per_y: float, today_parts_per_y: float) -> float:
    """Parts a year that are made and sold today and that a slower concept cannot make; never below zero [parts/y].

    Source: own_computation.  Valid for orders that may be made at any time of the year.

    >>> lost_parts_per_y(60000.0, capacity_parts_per_y=45000.0, today_parts_per_y=50000.0)
    5000.0
    """
    return max(0.0, min(orders_parts_per_y, today_parts_per_y) - capacity_parts_per_y)


@formula(
    source="common_practice, only what is ordered",
    unit="parts/y",
    valid={"orders_parts_per_y": NOT_NEGATIVE, "capacity_parts_per_y": NOT_NEGATIVE},
)
def sold_parts_per_y(orders_parts_per_y: float, *, capacity_parts_per_y: float) -> float:
    """Parts a year that can be made and that somebody buys [parts/y].

    Source: common_practice.  Valid for orders that may be made at any time of the year.
    """
    return min(orders_parts_per_y, capacity_parts_per_y)


@formula(
    source="own_computation, rate times hours",
    unit="parts/y",
    valid={"rate_parts_per_h": NOT_NEGATIVE, "alone_h_per_y": NOT_NEGATIVE},
)
def alone_parts_per_y(rate_parts_per_h: float, *, alone_h_per_y: float) -> float:
    """Parts a year that are made with nobody there [parts/y].

    Source: own_computation.  Valid for the mean rate over all hours alone, those in which it stands counted.
    """
    return rate_parts_per_h * alone_h_per_y


@formula(
    source="own_computation, parts on top that would be missing without hours alone",
    unit="parts/y",
    valid={
        "extra_parts_per_y": NOT_NEGATIVE,
        "alone_parts_per_y": NOT_NEGATIVE,
        "capacity_parts_per_y": NOT_NEGATIVE,
        "today_parts_per_y": NOT_NEGATIVE,
    },
)
def extra_alone_parts_per_y(
    extra_parts_per_y: float, *, alone_parts_per_y: float, capacity_parts_per_y: float, today_parts_per_y: float
) -> float:
    """Of the parts on top of today's, those that would be missing without the hours with nobody there [parts/y].

    What people make while they are there goes first: capacity less what is made alone, as far as it is more than today.
    Source: own_computation.  Valid where nobody runs alone today.

    >>> extra_alone_parts_per_y(
    ...     3000.0, alone_parts_per_y=10000.0, capacity_parts_per_y=19000.0, today_parts_per_y=8000.0
    ... )
    2000.0
    """
    there = max(0.0, capacity_parts_per_y - alone_parts_per_y - today_parts_per_y)
    return max(0.0, extra_parts_per_y - there)


@formula(
    source="own_computation, what is left of parts",
    unit="parts/y",
    valid={"whole_parts_per_y": NOT_NEGATIVE, "taken_parts_per_y": NOT_NEGATIVE},
)
def less_parts_per_y(whole_parts_per_y: float, *, taken_parts_per_y: float) -> float:
    """Parts a year that are left when some of them are counted elsewhere; never below zero [parts/y].

    Source: own_computation.  Valid for parts that are counted once.
    """
    return max(0.0, whole_parts_per_y - taken_parts_per_y)


@formula(source="own_computation, sum of orders", unit="parts/y")
def total_parts_per_y(orders_parts_per_y: Sequence[float]) -> float:
    """Orders of all part families together [parts/y].

    Source: own_computation.  Valid for families that share the machines.

    >>> total_parts_per_y([100.0, 50.0])
    150.0
    """
    return math.fsum(orders_parts_per_y)


@formula(
    source="own_computation, what a fall leaves",
    valid={"orders_parts_per_y": NOT_NEGATIVE, "fall_share": SHARE},
)
def fewer_parts_per_y(orders_parts_per_y: float, *, fall_share: float) -> float:
    """Orders of a year after they fell by a share [parts/y].

    Source: own_computation.  Valid for a fall that meets all families alike.

    >>> fewer_parts_per_y(60_000.0, fall_share=0.25)
    45000.0
    """
    return orders_parts_per_y * (1.0 - fall_share)


@formula(
    source="own_computation, mean weighted by orders",
    unit="money/part",
    units={"amounts_per_part": "money/part", "orders_parts_per_y": "parts/y"},
)
def mean_money_per_part(amounts_per_part: Sequence[float], *, orders_parts_per_y: Sequence[float]) -> float:
    """What a part leaves, or costs, on average when the families are made as they are ordered [money/part].

    Source: own_computation.  Valid for families that share the machines.

    >>> mean_money_per_part([2.0, 4.0], orders_parts_per_y=[300.0, 100.0])
    2.5
    """
    orders = math.fsum(orders_parts_per_y)
    worth = math.fsum(one * count for one, count in zip(amounts_per_part, orders_parts_per_y, strict=True))
    return worth / orders if orders > 0.0 else 0.0


@formula(
    source="common_practice, parts times contribution",
    unit="money/y",
    valid={"changed_parts_per_y": NOT_NEGATIVE},
    units={"contribution_per_part": "money/part", "changed_parts_per_y": "parts/y"},
)
def output_money_per_y(changed_parts_per_y: float, *, contribution_per_part: float) -> float:
    """What parts more, or parts less, are worth in a year [money/y].

    Source: common_practice.  Valid for parts whose material and direct cost are taken off.
    """
    return changed_parts_per_y * contribution_per_part


@formula(
    source="common_practice, upkeep by price",
    unit="money/y",
    valid={"price_money": NOT_NEGATIVE, "upkeep_share": SHARE},
)
def upkeep_money_per_y(price_money: float, *, upkeep_share: float) -> float:
    """Upkeep and spares of a year, as an amount [money/y].

    Source: common_practice.  Valid until a maintenance offer is there.
    """
    return price_money * upkeep_share


@formula(
    source="common_practice, hours of programming",
    unit="money/y",
    valid={"families_per_y": NOT_NEGATIVE, "programming_h": NOT_NEGATIVE, "stands_share": SHARE},
    units={"families_per_y": "1/y"},
)
def programming_money_per_y(
    families_per_y: float, *, programming_h: float, stands_share: float, wage_money_per_h: float
) -> float:
    """Programming and proving of families new to the cell: the hours, and somebody who loads while it stands [money/y].

    Source: common_practice.  Valid for programming by the shop's own people.
    """
    return families_per_y * programming_h * (1.0 + stands_share) * wage_money_per_h


@formula(
    source="common_practice, fingers of new families",
    unit="money/y",
    valid={"families_per_y": NOT_NEGATIVE, "set_money": NOT_NEGATIVE, "price_factor": NOT_NEGATIVE},
    units={"families_per_y": "1/y"},
)
def fingers_money_per_y(families_per_y: float, *, set_money: float, price_factor: float) -> float:
    """Finger sets for families new to the cell [money/y].

    Source: common_practice.  Valid for one set a family.
    """
    return families_per_y * set_money * price_factor


@formula(
    source="common_practice, price over yearly saving",
    unit="months",
    valid={"outlay_money": NOT_NEGATIVE},
)
def steady_payback_months(outlay_money: float, *, gain_money_per_y: float) -> float:
    """Months of a gain that is the same from the first day on; infinite when nothing is gained [months].

    Source: common_practice.  Valid as a step of the ladder: no ramp-up, no growth.

    >>> steady_payback_months(60000.0, gain_money_per_y=90000.0)
    8.0
    """
    return 12.0 * outlay_money / gain_money_per_y if gain_money_per_y > 0.0 else math.inf


@formula(source="own_computation, sum", unit="money/y", units={"amounts_money": "money/y"})
def total_money_per_y(amounts_money: Sequence[float]) -> float:
    """Yearly amounts added up [money/y].

    Source: own_computation.  Valid for amounts of one currency.

    >>> total_money_per_y([1.0, 2.5])
    3.5
    """
    return math.fsum(amounts_money)

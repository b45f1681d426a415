"""What an hour at the machines costs: premiums of the shifts, on-cost, and hours that are paid but not worked."""

import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, PART_OF_ONE, POSITIVE
from millhand.formulas.register import formula


@formula(
    source="own_computation, heads times hours",
    unit="h",
    units={"lengths_s": "s", "days": "d"},
)
def head_h_per_week(heads: Sequence[float], *, lengths_s: Sequence[float], days: Sequence[float]) -> float:
    """Hours a week of all heads together: of shifts from coming to going, or of the breaks in them [h].

    Source: own_computation.  Valid for shifts, or breaks, that are listed with their heads and days a week.

    >>> head_h_per_week([1.0, 2.0], lengths_s=[28800.0, 14400.0], days=[5.0, 5.0])
    80.0
    """
    return math.fsum(head * length * day for head, length, day in zip(heads, lengths_s, days, strict=True)) / 3600.0


@formula(
    source="own_computation, mean weighted by hours",
    valid={"present_h": NOT_NEGATIVE},
    units={"premiums": "1", "premium_h": "h"},
)
def mean_premium_share(premiums: Sequence[float], *, premium_h: Sequence[float], present_h: float) -> float:
    """Premium on an average hour, when only some of the hours present carry one [share of the wage].

    Source: own_computation.  Valid for hours of the same week.

    >>> mean_premium_share([0.2], premium_h=[40.0], present_h=80.0)
    0.1
    """
    paid = math.fsum(share * hours for share, hours in zip(premiums, premium_h, strict=True))
    return paid / present_h if present_h > 0.0 else 0.0


@formula(
    source="common_practice, premium on the wage",
    unit="money/h",
    valid={"wage_money_per_h": NOT_NEGATIVE, "premium_share": (0.0, 1.5)},
)
def wage_with_premium_per_h(wage_money_per_h: float, *, premium_share: float) -> float:
    """Wage of an average hour with its premiums, before on-cost [money/h].

    Source: common_practice.  Valid for premiums that are a share of the wage.
    """
    return wage_money_per_h * (1.0 + premium_share)


@formula(
    source="own_computation, paid over worked hours",
    valid={
        "present_h": NOT_NEGATIVE,
        "breaks_h": NOT_NEGATIVE,
        "unpaid_breaks_h": NOT_NEGATIVE,
        "absence_share": PART_OF_ONE,
    },
)
def paid_per_worked(present_h: float, *, breaks_h: float, unpaid_breaks_h: float, absence_share: float) -> float:
    """Hours that are paid for one hour that is worked at the machine, from 1 up [1].

    Paid breaks and days of absence are paid and not worked; unpaid breaks are neither. Paid, present and worked hours
    are three numbers.
    Source: own_computation.  Valid for breaks that are shorter than the shifts.

    >>> paid_per_worked(40.0, breaks_h=2.5, unpaid_breaks_h=2.5, absence_share=0.0)
    1.0
    """
    return (present_h - unpaid_breaks_h) / ((present_h - breaks_h) * (1.0 - absence_share))


@formula(
    source="own_computation, paid over worked hours",
    unit="money/h",
    valid={"paid_hour_money_per_h": NOT_NEGATIVE, "paid_per_worked": FROM_ONE},
)
def worked_hour_money_per_h(paid_hour_money_per_h: float, *, paid_per_worked: float) -> float:
    """Cost of one hour worked at the machine, from the cost of one hour paid [money/h].

    Source: own_computation.  Valid where the on-cost is meant per paid hour.
    """
    return paid_hour_money_per_h * paid_per_worked


@formula(
    source="common_practice, hours times cost over parts",
    unit="money/part",
    valid={"h_per_y": NOT_NEGATIVE, "money_per_h": NOT_NEGATIVE, "parts_per_y": POSITIVE},
    units={"h_per_y": "h/y", "money_per_h": "money/h", "parts_per_y": "parts/y"},
)
def labour_money_per_part(h_per_y: float, *, money_per_h: float, parts_per_y: float) -> float:
    """What people's time costs a part [money/part].

    Source: common_practice.  Valid for hours and parts of the same year; the machine's own cost is not in it.
    """
    return h_per_y * money_per_h / parts_per_y


@formula(
    source="common_practice, hours, running cost and outlay over parts",
    valid={"h_per_y": NOT_NEGATIVE, "money_per_h": NOT_NEGATIVE, "parts_per_y": POSITIVE},
    units={"yearly_money": "money/y", "h_per_y": "h/y"},
)
def loading_money_per_part(
    h_per_y: float, *, money_per_h: float, yearly_money: Sequence[float], parts_per_y: float
) -> float:
    """What loading one part costs: people, running cost, and what was paid spread over the years [money/part].

    Source: common_practice.  Valid for the cost of tending alone: the machine and its tools are not in it.

    >>> loading_money_per_part(1000.0, money_per_h=30.0, yearly_money=[6000.0, 14000.0], parts_per_y=50000.0)
    1.0
    """
    return (h_per_y * money_per_h + math.fsum(yearly_money)) / parts_per_y if parts_per_y > 0.0 else math.inf


@formula(
    source="own_computation, hours beyond what is ordered",
    valid={"orders_parts_per_y": NOT_NEGATIVE, "capacity_parts_per_y": POSITIVE},
    units={"running_h_per_y": "h/y", "machines": "1"},
    unit="h/y",
)
def freed_machine_h_per_y(
    orders_parts_per_y: float,
    *,
    capacity_parts_per_y: float,
    running_h_per_y: Sequence[float],
    machines: Sequence[float],
) -> float:
    """Machine hours a year that are left when all that is ordered is made; nought where more is ordered [h/y].

    Source: own_computation.  Valid for machines that all take part in every load.

    >>> freed_machine_h_per_y(30000.0, capacity_parts_per_y=40000.0, running_h_per_y=[4000.0], machines=[2.0])
    2000.0
    """
    left = max(0.0, 1.0 - orders_parts_per_y / capacity_parts_per_y) if capacity_parts_per_y > 0.0 else 0.0
    return left * math.fsum(running_h_per_y) * math.fsum(machines)

"""What a concept earns against today, and how soon, how much and at which rate the money comes back.

`yearly_money` is always the same three amounts of a steady year at the first year's prices: what labour is worth, what
the change of output is worth, and the running cost. Labour and running cost grow with the wages, output does not; the
first months bring only the shares in `ramp_up` of the gains, while running cost comes in full from the first day.
"""

import math
from collections.abc import Sequence

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.money import time_of_recovery
from millhand.formulas.rates import internal_rate
from millhand.formulas.register import formula

LONGEST_Y = 50  # years after which a payback counts as never
MONTH_S = 365.25 / 12.0 * 86_400.0
FLOWS = {"yearly_money": "money/y", "ramp_up": "1"}
GROWTH = {"growth": (-0.2, 0.3)}
RATE = {"rate": (-0.5, 1.0)}
HORIZON = {"horizon_y": (1.0, 30.0)}


def ramped(amount: float, share: float) -> float:
    """A gain, of which a month of ramp-up brings a share; a loss comes in full."""
    return amount * share if amount > 0.0 else amount


def months_money(yearly_money: Sequence[float], *, ramp_up: Sequence[float], growth: float, months: int) -> list[float]:
    """What each month after hand-over brings [money]."""
    labour, output, running = yearly_money
    flows: list[float] = []
    for year in range(math.ceil(months / 12)):
        grown = (1.0 + growth) ** year
        shares = [*ramp_up[12 * year : 12 * year + 12], *[1.0] * 12][:12]
        by_share = {
            share: (ramped(labour * grown, share) + ramped(output, share) - running * grown) / 12.0
            for share in set(shares)
        }
        flows += [by_share[share] for share in shares]
    return flows[:months]


def years_money(
    yearly_money: Sequence[float], *, ramp_up: Sequence[float], growth: float, horizon_y: float
) -> list[float]:
    """What each year after hand-over brings; of a last year that is no whole one, its share [money]."""
    years = math.ceil(horizon_y)
    flows = months_money(yearly_money, ramp_up=ramp_up, growth=growth, months=12 * years)
    whole = [math.fsum(flows[12 * year : 12 * year + 12]) for year in range(years)]
    return [amount * min(1.0, horizon_y - year) for year, amount in enumerate(whole)]


@formula(
    source="own_computation, balance by months",
    valid=GROWTH | {"months": (0.0, 360.0)},
    units=FLOWS | {"months": "months"},
)
def balance_money(
    outlay_money: float, *, yearly_money: Sequence[float], ramp_up: Sequence[float], growth: float, months: float
) -> float:
    """Money back less money out so many months after hand-over; below zero while the payback is still to come [money].

    Source: own_computation.  Valid for gains and costs that come evenly within a year.
    """
    whole = math.floor(months)
    flows = months_money(yearly_money, ramp_up=ramp_up, growth=growth, months=whole + 1)
    return math.fsum(flows[:whole]) + (months - whole) * flows[whole] - outlay_money


@formula(source="park2007, sec. 5.2, payback period, by months", valid=GROWTH, units=FLOWS)
def payback_months(
    outlay_money: float, *, yearly_money: Sequence[float], ramp_up: Sequence[float], growth: float
) -> float:
    """Simple payback from hand-over, interpolated inside the month; infinite when not within fifty years [months].

    The month from which the balance stays at or above zero: a later year of loss starts it anew.
    Source: park2007, sec. 5.2, with months for years.  Valid for gains and costs that come evenly within a year.
    """
    flows = months_money(yearly_money, ramp_up=ramp_up, growth=growth, months=12 * LONGEST_Y)
    months = time_of_recovery([-outlay_money, *flows])
    return math.inf if months is None else months


@formula(source="park2007, sec. 5.2, discounted payback period, by months", valid=GROWTH | RATE, units=FLOWS)
def discounted_payback_months(
    outlay_money: float, *, yearly_money: Sequence[float], ramp_up: Sequence[float], growth: float, rate: float
) -> float:
    """As payback_months, every month discounted to the day of hand-over; infinite when never [months].

    Source: park2007, sec. 5.2, with months for years.  Valid for a rate a year above -1.
    """
    flows = months_money(yearly_money, ramp_up=ramp_up, growth=growth, months=12 * LONGEST_Y)
    months = time_of_recovery(
        [-outlay_money, *(amount / (1.0 + rate) ** (month / 12.0) for month, amount in enumerate(flows, start=1))]
    )
    return math.inf if months is None else months


@formula(
    source="own_computation, calendar months",
    valid={"payback_months": NOT_NEGATIVE, "order_to_hand_over_s": NOT_NEGATIVE},
)
def payback_from_order_months(payback_months: float, *, order_to_hand_over_s: float) -> float:
    """Payback counted from the order, for money goes out before it comes in [months].

    Source: own_computation, a month of 365.25 / 12 days.  Valid for a price that is paid at the order.
    """
    return payback_months + order_to_hand_over_s / MONTH_S


@formula(source="newnan2004, ch. 5, present worth", valid=GROWTH | RATE | HORIZON, units=FLOWS)
def npv_money(
    outlay_money: float,
    *,
    yearly_money: Sequence[float],
    ramp_up: Sequence[float],
    growth: float,
    rate: float,
    horizon_y: float,
) -> float:
    """Present worth at hand-over of all years within the horizon, each at its end, less what is paid before [money].

    Source: newnan2004, ch. 5.  Valid for a rate a year above -1; nothing is left of the cell at the horizon.
    """
    years = years_money(yearly_money, ramp_up=ramp_up, growth=growth, horizon_y=horizon_y)
    return math.fsum(amount / (1.0 + rate) ** year for year, amount in enumerate(years, start=1)) - outlay_money


@formula(source="newnan2004, ch. 7 and 7A, internal rate of return", unit="1", valid=GROWTH | HORIZON, units=FLOWS)
def yearly_return(
    outlay_money: float, *, yearly_money: Sequence[float], ramp_up: Sequence[float], growth: float, horizon_y: float
) -> float:
    """Internal rate of return a year; -1 where nothing comes back, infinite where nothing is paid [1].

    With more than one change of sign among the years there may be several: the caller looks first.
    Source: newnan2004, ch. 7 and 7A.  Valid for flows that change sign once.
    """
    years = years_money(yearly_money, ramp_up=ramp_up, growth=growth, horizon_y=horizon_y)
    rate = internal_rate([-outlay_money, *years])
    if rate is not None:
        return rate
    return math.inf if outlay_money <= 0.0 and math.fsum(years) > outlay_money else -1.0


@formula(
    source="blank2018, incremental analysis, payback of the difference",
    valid=GROWTH,
    units={"outlays_money": "money", "yearly_money": "money/y", "other_money": "money/y", "ramp_up": "1"},
)
def incremental_payback_months(
    outlays_money: Sequence[float],
    *,
    yearly_money: Sequence[float],
    other_money: Sequence[float],
    ramp_up: Sequence[float],
    growth: float,
) -> float:
    """Payback of what one concept costs more than another one that takes effect at once; infinite when never [months].

    outlays_money: of the concept, of the other one; yearly_money is the concept's with its ramp_up, other_money the
    other's. A large earner may owe most of its gain to a cheap change that could be had alone.
    Source: blank2018, incremental analysis.  Valid for two concepts measured against the same today.
    """
    own = months_money(yearly_money, ramp_up=ramp_up, growth=growth, months=12 * LONGEST_Y)
    other = months_money(other_money, ramp_up=(), growth=growth, months=12 * LONGEST_Y)
    more = [one - two for one, two in zip(own, other, strict=True)]
    months = time_of_recovery([outlays_money[1] - outlays_money[0], *more])
    return math.inf if months is None else months


@formula(source="own_computation, years of ramp-up and after", valid={}, units={"ramp_up": "1"}, unit="money/y")
def first_year_money(amount_money: float, *, ramp_up: Sequence[float]) -> float:
    """What the first year brings of a yearly gain: its first months only in part; a loss comes in full [money/y].

    Source: own_computation.  Valid for a ramp-up of up to twelve months.

    >>> first_year_money(1200.0, ramp_up=[0.5])
    1150.0
    """
    shares = [*ramp_up[:12], *[1.0] * max(0, 12 - len(ramp_up))]
    return math.fsum(ramped(amount_money / 12.0, share) for share in shares)


@formula(source="own_computation, one year's growth", unit="money/y", valid=GROWTH)
def grown_money(amount_money: float, *, growth: float) -> float:
    """The same amount a year later [money/y].

    Source: own_computation.  Valid for amounts that follow the wages.
    """
    return amount_money * (1.0 + growth)


@formula(source="own_computation, sign of a cost", valid={"amount_money": NOT_NEGATIVE})
def spent_money(amount_money: float) -> float:
    """A cost as it stands in a table of flows: below zero [money].

    Source: own_computation.  Valid for costs.
    """
    return -amount_money


@formula(
    source="own_computation, gains less costs",
    unit="money/y",
    units={"gains_money": "money/y", "costs_money": "money/y"},
)
def net_money_per_y(gains_money: Sequence[float], *, costs_money: Sequence[float]) -> float:
    """Gains less costs of a year [money/y].

    Source: own_computation.  Valid for amounts of one currency.

    >>> net_money_per_y([10.0, 5.0], costs_money=[2.0])
    13.0
    """
    return math.fsum(gains_money) - math.fsum(costs_money)


@formula(source="own_computation, share by which a figure must move", valid={"present": POSITIVE})
def change_share(needed: float, *, present: float) -> float:
    """By which share a figure would have to rise (above 0) or fall (below 0) [1].

    Source: own_computation.  Valid for a present value above zero.
    """
    return needed / present - 1.0 if present > 0.0 else math.inf

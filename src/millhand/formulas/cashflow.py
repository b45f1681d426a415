"""What a concept earns against today, and how soon, how much and at which rate the money comes back.

`yearly_money` are the lines of a steady year at the first year's prices, gains above zero and costs below, and
`growths` says by which share each of them grows a year. The first months bring only the shares in `ramp_up` of the
gains, while costs come in full from the first day.
"""

import itertools
import math
import operator
from collections.abc import Sequence
from functools import lru_cache

from millhand.formulas.limits import NOT_NEGATIVE, POSITIVE
from millhand.formulas.money import annuity_factor, time_of_recovery
from millhand.formulas.rates import internal_rate
from millhand.formulas.register import formula

LONGEST_Y = 50  # years after which a payback counts as never
SPANS_Y = (10, LONGEST_Y)  # for how many years flows are worked out at once: most horizons, and a payback
MONTH_S = 365.25 / 12.0 * 86_400.0
FLOWS = {"yearly_money": "money/y", "growths": "1", "ramp_up": "1"}
GROWTH = {"growths": (-0.2, 0.3)}
RATE = {"rate": (-0.5, 1.0)}
HORIZON = {"horizon_y": (1.0, 30.0)}


def ramped(amount: float, share: float) -> float:
    """A gain, of which a month of ramp-up brings a share; a loss comes in full."""
    return amount * share if amount > 0.0 else amount


def months_money(
    yearly_money: Sequence[float], *, growths: Sequence[float], ramp_up: Sequence[float], months: int
) -> list[float]:
    """What each month after hand-over brings [money]."""
    # One case asks for the same flows a dozen times, each time for other months: they are worked out for whole spans.
    years = math.ceil(months / 12)
    span = next((each for each in SPANS_Y if years <= each), years)
    return list(_flows(tuple(yearly_money), tuple(growths), tuple(ramp_up), span)[: max(0, months)])


@lru_cache(maxsize=256)
def _flows(
    yearly_money: tuple[float, ...], growths: tuple[float, ...], ramp_up: tuple[float, ...], years: int
) -> tuple[float, ...]:
    """The months of so many years."""
    by_growth = {growth: [0.0, 0.0] for growth in growths}  # gains and costs of a month, lines that grow alike together
    for amount, growth in zip(yearly_money, growths, strict=True):
        by_growth[growth][0 if amount > 0.0 else 1] += amount / 12.0
    flows: list[float] = []
    for year in range(years):  # plain loops: this runs ten thousand times in a study
        gained = spent = 0.0
        for growth, sums in by_growth.items():
            gained += sums[0]
            spent += sums[1]
            sums[0] *= 1.0 + growth
            sums[1] *= 1.0 + growth
        shares = ramp_up[12 * year : 12 * year + 12]
        if shares:
            flows += [gained * share + spent for share in shares]
        flows += [gained + spent] * (12 - len(shares))
    return tuple(flows)


def years_money(
    yearly_money: Sequence[float], *, growths: Sequence[float], ramp_up: Sequence[float], horizon_y: float
) -> list[float]:
    """What each year after hand-over brings; of a last year that is no whole one, its share [money]."""
    years = math.ceil(horizon_y)
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=12 * years)
    whole = [math.fsum(flows[12 * year : 12 * year + 12]) for year in range(years)]
    return [amount * min(1.0, horizon_y - year) for year, amount in enumerate(whole)]


@formula(
    source="own_computation, balance by months",
    valid=GROWTH | {"months": (0.0, 360.0)},
    units=FLOWS | {"months": "months"},
)
def balance_money(
    outlay_money: float,
    *,
    yearly_money: Sequence[float],
    growths: Sequence[float],
    ramp_up: Sequence[float],
    months: float,
) -> float:
    """Money back less money out so many months after hand-over; below zero while the payback is still to come [money].

    Source: own_computation.  Valid for gains and costs that come evenly within a year.
    """
    whole = math.floor(months)
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=whole + 1)
    return math.fsum(flows[:whole]) + (months - whole) * flows[whole] - outlay_money


@formula(source="park2007, sec. 5.2, payback period, by months", valid=GROWTH, units=FLOWS)
def payback_months(
    outlay_money: float, *, yearly_money: Sequence[float], growths: Sequence[float], ramp_up: Sequence[float]
) -> float:
    """Simple payback from hand-over, interpolated inside the month; infinite when not within fifty years [months].

    The month from which the balance stays at or above zero: a later year of loss starts it anew.
    Source: park2007, sec. 5.2, with months for years.  Valid for gains and costs that come evenly within a year.
    """
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=12 * LONGEST_Y)
    months = time_of_recovery([-outlay_money, *flows])
    return math.inf if months is None else months


@formula(source="park2007, sec. 5.2, discounted payback period, by months", valid=GROWTH | RATE, units=FLOWS)
def discounted_payback_months(
    outlay_money: float,
    *,
    yearly_money: Sequence[float],
    growths: Sequence[float],
    ramp_up: Sequence[float],
    rate: float,
) -> float:
    """As payback_months, every month discounted to the day of hand-over; infinite when never [months].

    Source: park2007, sec. 5.2, with months for years.  Valid for a rate a year above -1.
    """
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=12 * LONGEST_Y)
    monthly = (1.0 + rate) ** (-1.0 / 12.0)
    worths = itertools.accumulate(itertools.repeat(monthly, len(flows)), operator.mul)
    months = time_of_recovery([-outlay_money, *map(operator.mul, flows, worths)])
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
    growths: Sequence[float],
    ramp_up: Sequence[float],
    rate: float,
    horizon_y: float,
) -> float:
    """Present worth at hand-over of all years within the horizon, each at its end, less what is paid before [money].

    Source: newnan2004, ch. 5.  Valid for a rate a year above -1; nothing is left of the cell at the horizon.
    """
    years = years_money(yearly_money, growths=growths, ramp_up=ramp_up, horizon_y=horizon_y)
    return math.fsum(amount / (1.0 + rate) ** year for year, amount in enumerate(years, start=1)) - outlay_money


@formula(source="newnan2004, ch. 7 and 7A, internal rate of return", unit="1", valid=GROWTH | HORIZON, units=FLOWS)
def yearly_return(
    outlay_money: float,
    *,
    yearly_money: Sequence[float],
    growths: Sequence[float],
    ramp_up: Sequence[float],
    horizon_y: float,
    residual_money: float,
) -> float:
    """Internal rate of return a year; -1 where nothing comes back, infinite where nothing is paid [1].

    With more than one change of sign among the years there may be several: the caller looks first.
    Source: newnan2004, ch. 7 and 7A.  Valid for flows that change sign once.
    """
    years = years_money(yearly_money, growths=growths, ramp_up=ramp_up, horizon_y=horizon_y)
    years[-1] += residual_money
    rate = internal_rate([-outlay_money, *years])
    if rate is not None:
        return rate
    return math.inf if outlay_money <= 0.0 and math.fsum(years) > outlay_money else -1.0


@formula(
    source="blank2018, incremental analysis, payback of the difference",
    valid=GROWTH,
    units={
        "outlays_money": "money", "yearly_money": "money/y", "growths": "1", "other_money": "money/y",
        "other_growths": "1", "ramp_up": "1",
    },
)  # fmt: skip
def incremental_payback_months(
    outlays_money: Sequence[float],
    *,
    yearly_money: Sequence[float],
    growths: Sequence[float],
    other_money: Sequence[float],
    other_growths: Sequence[float],
    ramp_up: Sequence[float],
) -> float:
    """Payback of what one concept costs more than another one that takes effect at once; infinite when never [months].

    outlays_money: of the concept, of the other one; yearly_money are the concept's lines with its ramp_up, other_money
    the other's. A large earner may owe most of its gain to a cheap change that could be had alone.
    Source: blank2018, incremental analysis.  Valid for two concepts measured against the same today.
    """
    own = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=12 * LONGEST_Y)
    other = months_money(other_money, growths=other_growths, ramp_up=(), months=12 * LONGEST_Y)
    more = [one - two for one, two in zip(own, other, strict=True)]
    months = time_of_recovery([outlays_money[1] - outlays_money[0], *more])
    return math.inf if months is None else months


@formula(source="own_computation, all lines of one year", unit="money", valid=GROWTH, units=FLOWS | {"year": "1"})
def year_money(
    yearly_money: Sequence[float], *, growths: Sequence[float], ramp_up: Sequence[float], year: float
) -> float:
    """What one year after hand-over brings, the first one counted as 1 [money].

    Source: own_computation.  Valid for whole years.

    >>> year_money([1200.0, -240.0], growths=[0.0, 0.0], ramp_up=[0.5], year=1.0)
    910.0
    """
    last = 12 * round(year)
    return math.fsum(months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=last)[last - 12 :])


@formula(
    source="own_computation, share of a year",
    unit="money",
    valid=HORIZON | {"year": (1.0, 30.0)},
    units={"year": "1"},
)
def part_of_year_money(amount_money: float, *, year: float, horizon_y: float) -> float:
    """What a year brings as far as it lies within the years that are counted [money].

    Source: own_computation.  Valid for amounts that come evenly within the year.

    >>> part_of_year_money(100.0, year=7.0, horizon_y=6.5), part_of_year_money(100.0, year=6.0, horizon_y=6.5)
    (50.0, 100.0)
    """
    return amount_money * max(0.0, min(1.0, horizon_y - (round(year) - 1)))


@formula(source="own_computation, sign changes of the balance", unit="1", valid=GROWTH, units=FLOWS)
def balance_crossings(
    outlay_money: float, *, yearly_money: Sequence[float], growths: Sequence[float], ramp_up: Sequence[float]
) -> float:
    """How often the balance comes up to zero from below within fifty years: above 1 there are several paybacks [1].

    Source: own_computation.  Valid for gains and costs that come evenly within a year.

    >>> balance_crossings(100.0, yearly_money=[120.0], growths=[0.0], ramp_up=[])
    1.0
    """
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=12 * LONGEST_Y)
    totals = list(itertools.accumulate([-outlay_money, *flows]))
    return float(sum(before < 0.0 <= after for before, after in itertools.pairwise(totals)))


@formula(source="blank2018, incremental analysis", valid={})
def difference_money(amount_money: float, *, other_money: float) -> float:
    """What one amount is more than another [money].

    Source: blank2018, incremental analysis.  Valid for worths against the same today.

    >>> difference_money(100.0, other_money=30.0)
    70.0
    """
    return amount_money - other_money


@formula(source="own_computation, sign of a cost", unit="money/y", units={"amount_money_per_y": "money/y"})
def spent_money_per_y(amount_money_per_y: float) -> float:
    """A yearly cost as it stands among flows: below zero [money/y].

    Source: own_computation.  Valid for costs; what saves cost, below zero, comes out above.
    """
    return 0.0 - amount_money_per_y


@formula(source="own_computation, sign of a cost", valid={"amount_money": NOT_NEGATIVE})
def spent_money(amount_money: float) -> float:
    """A cost as it stands in a table of flows: below zero [money].

    Source: own_computation.  Valid for costs.
    """
    return 0.0 - amount_money


@formula(source="own_computation, first time the balance reaches zero", valid=GROWTH, units=FLOWS)
def first_payback_months(
    outlay_money: float, *, yearly_money: Sequence[float], growths: Sequence[float], ramp_up: Sequence[float]
) -> float:
    """Months until the balance first comes up to zero, be it only for a while; infinite when never [months].

    Source: own_computation.  Valid for gains and costs that come evenly within a year.
    """
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=12 * LONGEST_Y)
    totals = list(itertools.accumulate([-outlay_money, *flows]))
    if totals[0] >= 0.0:
        return 0.0
    reached = next((month for month, total in enumerate(totals) if total >= 0.0), None)
    if reached is None:
        return math.inf
    return reached - 1 - totals[reached - 1] / (totals[reached] - totals[reached - 1])


@formula(source="own_computation, whole periods", valid={"payback_months": NOT_NEGATIVE})
def whole_payback_months(payback_months: float) -> float:
    """The payback in whole months: the first month at whose end all is back [months].

    Source: own_computation.  Valid for any payback.

    >>> whole_payback_months(17.2), whole_payback_months(18.0)
    (18.0, 18.0)
    """
    return float(math.ceil(payback_months)) if math.isfinite(payback_months) else payback_months


@formula(
    source="newnan2004, ch. 6, equivalent uniform annual worth",
    valid=RATE | HORIZON,
    units={"npv_money": "money"},
)
def annual_worth_of_money_per_y(npv_money: float, *, rate: float, horizon_y: float) -> float:
    """The same amount at the end of every year that is worth as much as a present worth [money/y].

    Source: newnan2004, ch. 6.  Valid for a rate a year above -1.
    """
    return npv_money / annuity_factor(rate, years=horizon_y)


@formula(source="newnan2004, ch. 9, present worth index", unit="1", valid={"outlay_money": POSITIVE})
def worth_per_outlay(npv_money: float, *, outlay_money: float) -> float:
    """Present worth of what comes back for each unit paid before: above 1 the present worth is above 0 [1].

    Source: newnan2004, ch. 9.  Valid for an outlay at hand-over.

    >>> worth_per_outlay(20.0, outlay_money=100.0)
    1.2
    """
    return 1.0 + npv_money / outlay_money if outlay_money > 0.0 else math.inf


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

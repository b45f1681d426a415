"""Time value of money: present worth, internal rate, paybacks, loans, depreciation.

A list of flows begins with the amount at t = 0 (a spreadsheet's NPV discounts its first value; ours does not).
"""

import itertools
import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE, POSITIVE
from millhand.formulas.rates import RATE
from millhand.formulas.register import formula

FIRST_YEAR_SHARES = {"half_year": 0.5, "quarter_1": 0.875, "quarter_2": 0.625, "quarter_3": 0.375, "quarter_4": 0.125}


@formula(source="newnan2004, ch. 5, present worth", unit="money", valid=RATE, units={"flows_money": "money"})
def present_worth(flows_money: Sequence[float], *, rate: float) -> float:
    """Present worth of flows at the ends of equal periods, the first at t = 0 [money].

    Source: newnan2004, ch. 5.  Valid for a rate per period above -1.
    """
    return math.fsum(amount / (1.0 + rate) ** period for period, amount in enumerate(flows_money))


@formula(source="newnan2004, ch. 4, P/A", unit="1", valid=RATE | {"years": NOT_NEGATIVE})
def annuity_factor(rate: float, *, years: float) -> float:
    """Present worth of 1 at the end of each year [1].

    Source: newnan2004, ch. 4 and tables, column P/A.  Valid for a rate above -1.
    """
    if rate == 0.0:
        return float(years)
    return -math.expm1(-years * math.log1p(rate)) / rate


@formula(source="own_computation, running total", unit="money")
def cumulative(flows_money: Sequence[float]) -> tuple[float, ...]:
    """Flows added up from the first on [money each].

    Source: own_computation, running total.  Valid for any flows.

    >>> cumulative([-85.0, 35.0, 45.0, 50.0])
    (-85.0, -50.0, -5.0, 45.0)
    """
    return tuple(itertools.accumulate(flows_money))


def time_of_recovery(flows: Sequence[float]) -> float:
    """Period, interpolated, from which the running total stays at or above zero; infinite if it never does."""
    totals = list(itertools.accumulate(flows))
    below = [period for period, total in enumerate(totals) if total < 0.0]
    if not below:
        return 0.0
    last = below[-1]
    if last == len(totals) - 1:
        return math.inf
    return last - totals[last] / (totals[last + 1] - totals[last])


@formula(source="park2007, sec. 5.2, payback period", unit="y")
def simple_payback_y(flows_money: Sequence[float]) -> float:
    """Time after which the flows have paid the outlay back for good, interpolated inside the period [y].

    Where a later outlay pushes the total below zero again, the last return counts. Infinite: never.
    Source: park2007, sec. 5.2.  Valid for yearly flows, the first at t = 0.

    >>> simple_payback_y([-85.0, 35.0, 45.0, 50.0])
    2.1
    """
    return time_of_recovery(flows_money)


@formula(source="park2007, sec. 5.2, discounted payback period", unit="y", valid=RATE)
def discounted_payback_y(flows_money: Sequence[float], *, rate: float) -> float:
    """As simple_payback_y, each flow discounted to t = 0 [y].

    Source: park2007, sec. 5.2.  Valid for yearly flows and a rate above -1.
    """
    return time_of_recovery([amount / (1.0 + rate) ** year for year, amount in enumerate(flows_money)])


@formula(
    source="newnan2004, ch. 4, A/P",
    unit="money",
    valid=RATE | {"principal_money": NOT_NEGATIVE, "periods": FROM_ONE},
)
def loan_payment(principal_money: float, *, rate: float, periods: float) -> float:
    """Equal payment at the end of each period that pays a loan off [money a period].

    Source: newnan2004, ch. 4; numpyfinancial, pmt.  Valid for a rate per period above -1.
    """
    return principal_money / annuity_factor(rate, years=periods)


@formula(
    source="newnan2004, ch. 11, straight line",
    unit="money/y",
    valid={"cost_money": NOT_NEGATIVE, "salvage_money": NOT_NEGATIVE, "years": POSITIVE},
)
def straight_line_depreciation(cost_money: float, *, salvage_money: float, years: float) -> float:
    """Equal yearly depreciation from cost down to salvage value [money/y].

    Source: newnan2004, ch. 11.  Valid for a life above zero.
    """
    return (cost_money - salvage_money) / years


@formula(
    source="irs946, appendix A, tables A-1 to A-5",
    unit="1",
    valid={"year": FROM_ONE, "life_y": (3.0, 10.0), "first_year_share": (0.125, 0.875)},
)
def macrs_share(year: float, *, life_y: float, first_year_share: float) -> float:
    """Share of the depreciable basis taken in one recovery year, computed by the rule [0..1].

    200 % declining balance, changing to straight line in the first year in which that gives as much. first_year_share:
    0.5 half-year; 0.875, 0.625, 0.375, 0.125 mid-quarter of quarters 1 to 4 (FIRST_YEAR_SHARES). The printed tables
    round so that a column adds to 100 %, so single entries differ in the last digit.
    Source: irs946, appendix A.  Valid for 3, 5, 7 and 10 year property; no tax advice.
    """
    left, elapsed, share = 1.0, 0.0, 0.0
    for number in range(1, round(year) + 1):
        held = first_year_share if number == 1 else min(1.0, life_y - elapsed)
        if held <= 0.0:
            return 0.0
        share = max(left * 2.0 / life_y * held, left * held / (life_y - elapsed))
        left, elapsed = left - share, elapsed + held
    return share

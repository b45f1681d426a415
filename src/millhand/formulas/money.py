"""Time value of money: present worth, annual worth, paybacks, loans.

A list of flows begins with the amount at t = 0 (a spreadsheet's NPV discounts its first value; ours does not).
"""

import itertools
import math
from collections.abc import Sequence

from millhand.formulas.limits import FROM_ONE, NOT_NEGATIVE
from millhand.formulas.rates import RATE
from millhand.formulas.register import formula


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
    last = bytes(map((0.0).__gt__, totals)).rfind(1)  # the last below zero, without a loop: a study asks very often
    if last < 0:
        return 0.0
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
    source="newnan2004, ch. 4, interest on what is left",
    unit="money",
    valid=RATE | {"principal_money": NOT_NEGATIVE, "periods": FROM_ONE, "period": FROM_ONE},
)
def loan_interest(principal_money: float, *, rate: float, periods: float, period: float) -> float:
    """Interest within the payment at the end of one period of a loan that equal payments pay off [money].

    What the payment holds beyond it goes to the principal.
    Source: newnan2004, ch. 4; numpyfinancial, ipmt.  Valid for a rate per period above -1 and a period of the loan.
    """
    payment, before = loan_payment(principal_money, rate=rate, periods=periods), period - 1.0
    grown = (1.0 + rate) ** before
    return rate * (principal_money * grown - payment * (grown - 1.0) / rate) if rate != 0.0 else 0.0


@formula(source="newnan2004, ch. 6, equivalent uniform annual worth", unit="money", valid=RATE)
def annual_worth(flows_money: Sequence[float], *, rate: float) -> float:
    """The same amount at the end of every period that is worth as much as the flows [money a period].

    Source: newnan2004, ch. 6.  Valid for a rate per period above -1 and one period or more after t = 0.
    """
    return present_worth(flows_money, rate=rate) / annuity_factor(rate, years=len(flows_money) - 1.0)


@formula(source="newnan2004, ch. 9, present worth index", unit="1", valid=RATE)
def profitability_index(flows_money: Sequence[float], *, rate: float) -> float:
    """Present worth of what comes after t = 0 for each unit paid at t = 0; above 1 the present worth is above 0 [1].

    Source: newnan2004, ch. 9.  Valid for a rate per period above -1 and an outlay at t = 0.

    >>> profitability_index([-100.0, 60.0, 60.0], rate=0.0)
    1.2
    """
    outlay, *later = flows_money
    return present_worth([0.0, *later], rate=rate) / -outlay

"""A loan or a lease beside the case: what it asks each month, what it costs, and how low the balance goes."""

import itertools
import math
from collections.abc import Sequence

from millhand.formulas.cashflow import months_money
from millhand.formulas.limits import NOT_NEGATIVE, SHARE
from millhand.formulas.money import annuity_factor, loan_payment
from millhand.formulas.register import formula


@formula(
    source="newnan2004, ch. 4, A/P by months",
    valid={"outlay_money": NOT_NEGATIVE, "share": SHARE, "loan_rate": (0.0, 1.0), "years": (0.25, 30.0)},
    unit="money",
)
def monthly_payment_money(outlay_money: float, *, share: float, loan_rate: float, years: float) -> float:
    """Equal payment at the end of each month that pays a loan on a share of the outlay off [money a month].

    Source: newnan2004, ch. 4, a twelfth of the yearly rate a month, as banks quote it.  Valid for whole months.
    """
    return loan_payment(outlay_money * share, rate=loan_rate / 12.0, periods=12.0 * years)


@formula(
    source="own_computation, a twelfth",
    valid={"payment_money_per_y": NOT_NEGATIVE},
    units={"payment_money_per_y": "money/y"},
    unit="money",
)
def month_of_year_money(payment_money_per_y: float) -> float:
    """What is paid a month of an amount a year [money a month].

    Source: own_computation.  Valid for equal months.
    """
    return payment_money_per_y / 12.0


@formula(
    source="newnan2004, ch. 5, present worth of payments",
    valid={"rate": (-0.5, 1.0), "payment_money": NOT_NEGATIVE, "lent_money": NOT_NEGATIVE, "end_money": NOT_NEGATIVE},
    unit="money",
)
def financing_cost_money(
    payment_money: float, *, years: float, rate: float, lent_money: float, end_money: float
) -> float:
    """Present worth, at the shop's own discount rate, of what financing costs beyond the money that it brings [money].

    Below zero where the shop discounts at more than the lender asks: then borrowing is worth something to it.
    Source: newnan2004, ch. 5.  Valid for equal payments at the ends of months.
    """
    monthly = math.expm1(math.log1p(rate) / 12.0)
    paid = payment_money * annuity_factor(monthly, years=12.0 * years) + end_money * (1.0 + rate) ** -years
    return float(paid) - lent_money


@formula(
    source="own_computation, lent share",
    valid={"outlay_money": NOT_NEGATIVE, "share": SHARE},
    unit="money",
)
def lent_money(outlay_money: float, *, share: float) -> float:
    """What is lent of what is paid before hand-over [money].

    Source: own_computation.  Valid for one loan at hand-over.
    """
    return outlay_money * share


@formula(
    source="own_computation, lowest balance",
    units={"yearly_money": "money/y", "growths": "1", "ramp_up": "1"},
    unit="money",
)
def lowest_balance_money(
    own_money: float,
    *,
    yearly_money: Sequence[float],
    growths: Sequence[float],
    ramp_up: Sequence[float],
    payment_money: float,
    years: float,
) -> float:
    """Lowest sum of all flows up to any month, with the payments of a loan or lease; from the start on [money].

    own_money: what is paid before hand-over out of the shop's own money.
    Source: own_computation.  Valid for whole months of payments.

    >>> lowest_balance_money(20.0, yearly_money=[120.0], growths=[0.0], ramp_up=[0.0], payment_money=5.0, years=1.0)
    -25.0
    """
    months = round(12.0 * years)
    flows = months_money(yearly_money, growths=growths, ramp_up=ramp_up, months=months)
    return min(itertools.accumulate([-own_money, *(flow - payment_money for flow in flows)]))

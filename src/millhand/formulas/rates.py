"""Rates of return: the internal rate with all its roots in sight, and the real rate.

The roots are found as sign changes of a polynomial, by way of the extremes that its derivative gives.
"""

import itertools
import math
from collections.abc import Sequence

from millhand.formulas.register import formula

RATE = {"rate": (-0.99, 10.0)}


def value_at(coefficients: Sequence[float], x: float) -> float:
    """Value of a polynomial given by its coefficients, lowest power first (Horner)."""
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def bisected(coefficients: Sequence[float], *, low: float, high: float) -> float:
    """The place between low and high where the sign changes, to the last bit that halving can give."""
    rises = value_at(coefficients, low) < value_at(coefficients, high)
    for _ in range(200):
        middle = (low + high) / 2.0
        if not low < middle < high:
            break
        if (value_at(coefficients, middle) < 0.0) == rises:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def roots_between(coefficients: Sequence[float], *, low: float, high: float) -> list[float]:
    """Ascending places in [low, high] where a polynomial, lowest power first, is zero and changes sign.

    Between two neighbouring extremes it is monotone, and the extremes are the roots of the derivative. Touching zero
    without crossing it does not count, except exactly at an end.
    """
    trimmed = list(coefficients)
    while trimmed and trimmed[-1] == 0.0:
        trimmed.pop()
    if len(trimmed) < 2:
        return []
    scale = max(abs(coefficient) for coefficient in trimmed)
    trimmed = [coefficient / scale for coefficient in trimmed]
    slope = [power * coefficient for power, coefficient in enumerate(trimmed)][1:]
    marks = [low, *roots_between(slope, low=low, high=high), high]
    found = [end for end in (low, high) if value_at(trimmed, end) == 0.0]
    for left, right in itertools.pairwise(marks):
        if value_at(trimmed, left) * value_at(trimmed, right) < 0.0:
            found.append(bisected(trimmed, low=left, high=right))
    return sorted(set(found))


@formula(source="newnan2004, ch. 7A, cash flow rule of signs", unit="1")
def sign_changes(flows_money: Sequence[float]) -> int:
    """How often the flows change sign; with more than one there may be several internal rates, or none.

    Source: newnan2004, ch. 7A.  Valid for any flows; zeros do not count.

    >>> sign_changes([-100.0, 230.0, 0.0, -132.0])
    2
    """
    signs = [amount > 0.0 for amount in flows_money if amount != 0.0]
    return sum(one != other for one, other in itertools.pairwise(signs))


@formula(source="newnan2004, ch. 7 and 7A, internal rate of return", unit="1")
def internal_rate(flows_money: Sequence[float]) -> float | None:
    """Rate per period at which the present worth is zero: the smallest one from 0 up [1].

    Where none is positive, the one nearest below zero (above -0.99); where there is none at all, None. Look at
    sign_changes beside it: with more than one, other rates may be as right.
    Source: newnan2004, ch. 7 and 7A.  Valid for flows of both signs.
    """
    rates = internal_rates(flows_money)
    from_nought = [rate for rate in rates if rate >= 0.0]
    return from_nought[0] if from_nought else (rates[-1] if rates else None)


@formula(source="newnan2004, ch. 7A, several internal rates", unit="1", units={"flows_money": "money"})
def internal_rates(flows_money: Sequence[float]) -> tuple[float, ...]:
    """Every rate per period above -0.99 at which the present worth is zero, ascending; empty where there is none [1].

    Source: newnan2004, ch. 7A.  Valid for flows of both signs; a rate at which the worth only touches zero is left out.

    >>> [round(rate, 9) for rate in internal_rates([-100.0, 230.0, -132.0])]
    [0.1, 0.2]
    """
    if sign_changes(flows_money) == 0:
        return ()
    above = [1.0 / each - 1.0 for each in roots_between(flows_money, low=0.0, high=1.0) if each > 1e-9]
    below = [each - 1.0 for each in roots_between(flows_money[::-1], low=0.01, high=1.0) if each < 1.0]
    return tuple(sorted({*above, *below}))


@formula(source="newnan2004, ch. 7A, internal rate where there is one", unit="1", units={"flows_money": "money"})
def sole_return(flows_money: Sequence[float]) -> float:
    """The internal rate of flows that have exactly one; -1 where nothing comes back at any rate [1].

    Source: newnan2004, ch. 7A.  Valid for flows with one internal rate: the caller looks first.

    >>> round(sole_return([-100.0, 110.0]), 9), sole_return([-100.0, -5.0])
    (0.1, -1.0)
    """
    rate = internal_rate(flows_money)
    return -1.0 if rate is None else rate


@formula(
    source="spreadsheet, modified internal rate",
    unit="1",
    valid={"finance_rate": RATE["rate"], "reinvest_rate": RATE["rate"]},
    units={"flows_money": "money"},
)
def modified_internal_rate(flows_money: Sequence[float], *, finance_rate: float, reinvest_rate: float) -> float:
    """The one rate that takes what is paid, at its present worth, to what comes in, invested anew to the end [1].

    Source: spreadsheet, MIRR.  Valid for flows of both signs and rates per period above -1.
    """
    last = len(flows_money) - 1
    paid = sum(-each / (1.0 + finance_rate) ** n for n, each in enumerate(flows_money) if each < 0.0)
    gained = sum(each * (1.0 + reinvest_rate) ** (last - n) for n, each in enumerate(flows_money) if each > 0.0)
    return float((gained / paid) ** (1.0 / last)) - 1.0 if paid > 0.0 else math.inf


@formula(
    source="own_computation, Fisher relation", unit="1", valid={"rate": (-0.99, 10.0), "escalation": (-0.99, 10.0)}
)
def real_rate(rate: float, *, escalation: float) -> float:
    """Rate over and above a yearly rise of prices [1].

    Source: own_computation, Fisher relation.  Valid for rates above -1.
    """
    return (1.0 + rate) / (1.0 + escalation) - 1.0

"""All measures of every draw: what the compiler is given as a whole."""

import math

from millhand.solvers.cashflow.balances import OUTLAY, RATE, Floats, payback, years_money
from millhand.solvers.cashflow.rates import internal_rate
from millhand.solvers.kernel.events.jit import entry, inner

PAYBACK, DISCOUNTED, NPV, IRR, RATES, MIRR, ANNUAL, INDEX = range(8)  # columns, in the order of the measures


@entry
def measure(once: Floats, flows: tuple[Floats, Floats, Floats], found: Floats, years: Floats, room: Floats) -> None:
    """Fill one row of `found` for each draw."""
    for i in range(once.shape[0]):
        monthly = (1.0 + once[i, RATE]) ** (-1.0 / 12.0)
        found[i, PAYBACK] = payback(i, once, flows, 1.0, room)
        found[i, DISCOUNTED] = payback(i, once, flows, monthly, room)
        count = years_money(i, once, flows, years, room)
        worths(i, once, found, years, count)
        rate, number = internal_rate(years, count, room)
        found[i, IRR], found[i, RATES] = rate, number


@inner
def worths(i: int, once: Floats, found: Floats, years: Floats, count: int) -> None:
    """Present worth, annual worth, profitability index and the modified rate."""
    yearly = 1.0 / (1.0 + once[i, RATE])
    worth, later, annuity, paid, gained = 1.0, 0.0, 0.0, 0.0, 0.0
    for year in range(count + 1):
        amount = years[year] * worth
        if year > 0:
            later += amount
            annuity += worth
        if amount < 0.0:
            paid -= amount
        else:
            gained += amount
        worth *= yearly
    outlay = once[i, OUTLAY]
    found[i, NPV] = later - outlay
    found[i, ANNUAL] = (later - outlay) / annuity
    found[i, INDEX] = later / outlay if outlay != 0.0 else math.nan
    found[i, MIRR] = (gained / paid) ** (1.0 / count) / yearly - 1.0 if paid > 0.0 else math.nan

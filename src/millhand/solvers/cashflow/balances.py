"""The month from which the money is back for good, and what each year brings: compiled for many draws of a case.

`once` holds in each row outlay, rate, horizon [y] and what is left at the horizon; `yearly` the signed lines of a
steady year and `growths` what each grows by in a year; `ramp` the shares of the first months. Same conventions as in
formulas/cashflow.py: a gain is cut by the ramp-up, a cost comes in full.
"""

import math
from typing import Any

from millhand.solvers.kernel.events.jit import inner

LONGEST_Y = 50  # years after which a payback counts as never
OUTLAY, RATE, HORIZON, RESIDUAL = range(4)
LINES = 0  # row of the room for numbers in between: the lines of one month as they have grown
Floats = Any  # an array of floats: one type for all of them, known to the compiler


@inner
def started(i: int, yearly: Floats, room: Floats) -> None:
    """The lines of a month in the first year, a twelfth of a year each."""
    for line in range(yearly.shape[1]):
        room[LINES, line] = yearly[i, line] / 12.0


@inner
def grown(i: int, growths: Floats, room: Floats) -> None:
    """The lines of a month one year on."""
    for line in range(growths.shape[1]):
        room[LINES, line] *= 1.0 + growths[i, line]


@inner
def month_money(lines: int, share: float, room: Floats) -> float:
    """What a month brings of which a gain comes only in part."""
    total = 0.0
    for line in range(lines):
        amount = room[LINES, line]
        total += amount * share if amount > 0.0 else amount
    return total


@inner
def share_of(i: int, month: int, ramp: Floats) -> float:
    """The share of the gains that a month brings, counted from 0."""
    return float(ramp[i, month]) if month < ramp.shape[1] else 1.0


@inner
def payback(i: int, once: Floats, flows: tuple[Floats, Floats, Floats], monthly: float, room: Floats) -> float:
    """Months from which the balance stays at or above zero, interpolated; infinite when not within fifty years.

    `monthly` is what money a month later is worth now: 1 for the simple payback. After the ramp-up the months of a year
    are alike, so that a year in which the balance does not turn is one step.
    """
    yearly, growths, ramp = flows
    total, back, worth, year_worth = -once[i, OUTLAY], 0.0, 1.0, 0.0
    whole = 1.0
    for _ in range(12):
        whole *= monthly
        year_worth += whole
    started(i, yearly, room)
    for year in range(LONGEST_Y):
        even = 12 * year >= ramp.shape[1]
        after = total + month_money(yearly.shape[1], 1.0, room) * worth * year_worth
        if even and (total >= 0.0 or after < 0.0):
            total, worth = after, worth * whole
        else:
            back = 12.0 * (year + 1) if even else back  # should the sum by months end a last bit below zero
            for month in range(12 * year, 12 * year + 12):
                worth *= monthly
                before = total
                total += month_money(yearly.shape[1], share_of(i, month, ramp), room) * worth
                if before < 0.0 <= total:
                    back = month - before / (total - before)
        grown(i, growths, room)
    return back if total >= 0.0 else math.inf


@inner
def years_money(i: int, once: Floats, flows: tuple[Floats, Floats, Floats], years: Floats, room: Floats) -> int:
    """Write what is paid before and what each year brings, what is left at the horizon in the last; tells how many."""
    yearly, growths, ramp = flows
    count: int = math.ceil(once[i, HORIZON])
    years[0] = -once[i, OUTLAY]
    started(i, yearly, room)
    for year in range(count):
        total = 0.0
        for month in range(12 * year, 12 * year + 12):
            total += month_money(yearly.shape[1], share_of(i, month, ramp), room)
        years[year + 1] = total * min(1.0, once[i, HORIZON] - year)
        grown(i, growths, room)
    years[count] += once[i, RESIDUAL]
    return count

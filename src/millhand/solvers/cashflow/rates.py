"""Internal rates of the years of one draw: the only one quickly, several by the extremes between them.

The same roots as formulas/rates.py finds: the places where the worth as a polynomial changes its sign, in the discount
factor for rates from 0 up, in the growth factor for those below.
"""

import math

from millhand.solvers.cashflow.balances import Floats
from millhand.solvers.kernel.events.jit import inner, seldom

LEAST_FACTOR, LEAST_GROWTH = 1e-9, 0.01  # a rate beyond is none: above 1e9, or below -0.99
TERMS, MARKS, FOUND = 1, 2, 3  # rows of the room for numbers in between


@inner
def sign_changes(years: Floats, count: int) -> int:
    """How often the years change their sign; zeros do not count."""
    changes, last = 0, 0.0
    for year in range(count + 1):
        if years[year] != 0.0:
            changes += 1 if years[year] * last < 0.0 else 0
            last = 1.0 if years[year] > 0.0 else -1.0
    return changes


@inner
def term(years: Floats, count: int, power: int, backwards: bool) -> float:
    """The coefficient of a power: the year itself, or the one as far from the end."""
    return float(years[count - power] if backwards else years[power])


@inner
def value_at(terms: Floats, degree: int, x: float) -> float:
    """Value of the polynomial in the row of terms, lowest power first (Horner)."""
    total = 0.0
    for step in range(degree + 1):
        total = total * x + terms[TERMS, degree - step]
    return total


@inner
def slope_at(terms: Floats, degree: int, x: float) -> float:
    """Slope of the polynomial in the row of terms."""
    total = 0.0
    for step in range(degree):
        total = total * x + terms[TERMS, degree - step] * (degree - step)
    return total


@inner
def crossed(room: Floats, degree: int, low: float, high: float) -> float:
    """The place between low and high where the sign changes: by tangents, halved where a tangent leads away."""
    rises = value_at(room, degree, low) < value_at(room, degree, high)
    x = (low + high) / 2.0
    for _ in range(200):
        value = value_at(room, degree, x)
        if (value < 0.0) == rises:
            low = x
        else:
            high = x
        slope = slope_at(room, degree, x)
        new = x - value / slope if slope != 0.0 else low
        if not low < new < high:
            new = (low + high) / 2.0
        if new == x or not low < new < high or math.fabs(new - x) <= 1e-16 * x:
            return new
        x = new
    return x


@inner
def derived(years: Floats, count: int, order: int, backwards: bool, room: Floats) -> int:
    """Write the terms of a derivative, scaled to a size near 1; tells its degree."""
    most = 0.0
    for power in range(count - order + 1):
        each = term(years, count, power + order, backwards)
        for factor in range(order):
            each *= (power + order - factor) / (count - factor)
        room[TERMS, power] = each
        most = max(most, math.fabs(each))
    degree = count - order
    for power in range(degree + 1):
        room[TERMS, power] /= most if most > 0.0 else 1.0
    while degree > 0 and room[TERMS, degree] == 0.0:
        degree -= 1
    return degree


@seldom
def all_crossings(years: Floats, count: int, low: float, backwards: bool, room: Floats) -> int:
    """Write every place in [low, 1] where the worth changes its sign, ascending; tells how many.

    Between two neighbouring extremes it does so once at most, and the extremes are where the slope does: from the last
    derivative up.
    """
    known = 0
    for step in range(count):
        degree = derived(years, count, count - 1 - step, backwards, room)
        room[MARKS, 0] = low
        for mark in range(known):
            room[MARKS, mark + 1] = room[FOUND, mark]
        room[MARKS, known + 1] = 1.0
        last, known = known + 1, 0
        if value_at(room, degree, low) == 0.0:
            room[FOUND, 0], known = low, 1
        for mark in range(last):
            left, right = room[MARKS, mark], room[MARKS, mark + 1]
            if value_at(room, degree, left) * value_at(room, degree, right) < 0.0:
                room[FOUND, known], known = crossed(room, degree, left, right), known + 1
        if value_at(room, degree, 1.0) == 0.0:
            room[FOUND, known], known = 1.0, known + 1
    return known


@inner
def one_rate(years: Floats, count: int, room: Floats) -> float:
    """The rate of years that change their sign once; not a number where it is beyond what counts."""
    degree = derived(years, count, 0, False, room)
    whole, near = value_at(room, degree, 1.0), value_at(room, degree, LEAST_FACTOR)
    if whole == 0.0:
        return 0.0
    if whole * near < 0.0:
        return 1.0 / crossed(room, degree, LEAST_FACTOR, 1.0) - 1.0
    degree = derived(years, count, 0, True, room)
    if value_at(room, degree, LEAST_GROWTH) * value_at(room, degree, 1.0) < 0.0:
        return crossed(room, degree, LEAST_GROWTH, 1.0) - 1.0
    return math.nan


@inner
def internal_rate(years: Floats, count: int, room: Floats) -> tuple[float, int]:
    """The smallest rate from 0 up, else the one nearest below; not a number where there is none. And how many."""
    changes = sign_changes(years, count)
    if changes == 0:
        return math.nan, 0
    if changes == 1:
        rate = one_rate(years, count, room)
        return rate, 0 if math.isnan(rate) else 1
    rate = math.nan
    number = 0
    below = all_crossings(years, count, LEAST_GROWTH, True, room)
    for at in range(below):
        if room[FOUND, at] < 1.0:
            rate, number = room[FOUND, at] - 1.0, number + 1
    above = all_crossings(years, count, 0.0, False, room)
    for at in range(above):
        if room[FOUND, at] > LEAST_FACTOR:
            rate, number = 1.0 / room[FOUND, at] - 1.0, number + 1  # the largest factor last: the smallest rate
    return rate, number

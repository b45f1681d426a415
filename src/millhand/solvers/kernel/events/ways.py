"""How long a way takes, at the speed that may be used now."""

import math

from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.traits import has_slowing


@inner
def way_steps(c: Record, k: Record, a: int, place: int) -> int:
    """Time from where the attendant is to a place, at the speed that it may use now; -1 where it cannot go."""
    here = k.a_place[a]
    if here == place:
        return 0
    table = c.a_slow[a] if has_slowing(c) and k.a_slowed[a] else c.a_full[a]
    return entry(c, k, a, table, here, place)


@inner
def entry(c: Record, k: Record, a: int, table: int, here: int, place: int) -> int:
    """One time of a table, loaded or empty, times the person's pace."""
    if table < 0:
        return 0
    steps = c.moves[table + (k.a_holds[a] > 0), here, place]
    if not has_slowing(c) or c.a_pace[a] == 1.0 or steps <= 0:
        return steps
    return whole(steps * c.a_pace[a] + 0.5)


@inner
def whole(value: float) -> int:
    """The whole number below."""
    return math.floor(value)


@seldom
def remember_way(c: Record, k: Record, a: int, place: int) -> None:
    """The way that begins now, at full and at slow speed, in case the speed changes under way."""
    here = k.a_place[a]
    if has_slowing(c) and c.a_slow[a] >= 0 and here != place:
        k.a_full_way[a] = entry(c, k, a, c.a_full[a], here, place)
        k.a_slow_way[a] = entry(c, k, a, c.a_slow[a], here, place)
    else:
        k.a_full_way[a] = 0

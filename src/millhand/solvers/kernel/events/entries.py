"""Rule `cycle`: in which order parts enter a station to which some come by themselves and others are brought.

Each row of a station's order is a part that enters it once a period. A part that comes by itself waits until all before
it have entered, or are on their way in somebody's hands; and nobody brings one before those that have to come by
themselves. A turn that is passed over counts as done, and what is scrapped counts as entered wherever it would have
come, so that nobody waits for a part that is lost. Where everything stands still all the same, the order is let go.
"""

from millhand.solvers.kernel.codes import NEVER, SUPPLY
from millhand.solvers.kernel.events.books import first_piece
from millhand.solvers.kernel.events.gone import is_gone, takes_number
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.traits import has_cycles


@inner
def has_entries(c: Record) -> bool:
    """True where some station has an order in which parts enter it."""
    return has_cycles(c) and c.entries > 0


@inner
def may_enter(c: Record, k: Record, u: int, s: int, g: int) -> bool:
    """True where the order lets a part come by itself from one station into another, to a step."""
    if not has_entries(c) or c.s_enters[s] < 0 or k.freed:
        return True
    r = row_of(c, k, u, s, g)
    return r < 0 or not is_before(c, k, s, r, next_period(c, k, r), 1)


@inner
def may_bring(c: Record, k: Record, o: int, period: int) -> bool:
    """True where nothing that comes by itself has to enter before what a turn brings."""
    if not has_entries(c) or c.op_enters[o] < 0 or k.freed:
        return True
    return not is_before(c, k, c.op_at[c.op_at_from[o]], c.op_enters[o], period, 0)


@seldom
def entered(c: Record, k: Record, u: int, s: int, g: int) -> None:
    """A part has come by itself."""
    r = row_of(c, k, u, s, g) if c.s_enters[s] >= 0 else -1
    if r >= 0:
        if k.gone and c.enter_op[r] < 0 and c.enter_came[r] >= 0 and c.s_kind[u] != SUPPLY:
            takes_number(c, k, first_piece(c, k, u), c.enter_came[r] + k.enter_done[r] * c.comings)
        k.enter_done[r] += 1


@seldom
def row_of(c: Record, k: Record, u: int, s: int, g: int) -> int:
    """Which part of the order comes next from one station into another to a step; -1 none."""
    e, found = c.s_enters[s], -1
    for r in range(c.row_from[e], c.row_to[e]):
        comes = c.enter_step[r] == g and comes_from(c, r, u)
        if comes and (found < 0 or next_period(c, k, r) < next_period(c, k, found)):
            found = r
    return found


@inner
def comes_from(c: Record, r: int, u: int) -> bool:
    """True where a part comes by itself from a station."""
    for x in range(c.enter_source_from[r], c.enter_source_to[r]):
        if c.enter_source[x] == u:
            return True
    return False


@inner
def next_period(c: Record, k: Record, r: int) -> int:
    """In which period a part of the order enters next; whoever is on the way with it has a place kept for it there."""
    if c.enter_op[r] < 0:
        while is_gone(c, k, c.enter_came[r], k.enter_done[r]):
            k.enter_done[r] += 1
        return c.enter_lap[r] + k.enter_done[r]
    a = c.enter_who[r]
    at = c.op_from[a] + k.a_op[a]
    over = c.enter_op[r] < at or (c.enter_op[r] == at and k.a_in_turn[a] > 0)
    return max(c.enter_lap[r], k.a_period[a] + over)


@seldom
def is_before(c: Record, k: Record, s: int, r: int, period: int, by_hand: int) -> bool:
    """True where another part has to enter first, of those that come by themselves or, if asked for, of all."""
    e = c.s_enters[s]
    for other in range(c.row_from[e], c.row_to[e]):
        if other == r or (c.enter_op[other] >= 0 and not by_hand):
            continue
        comes = next_period(c, k, other)
        if comes < period or (comes == period and other < r):
            return True
    return False


@seldom
def is_after_what_is_brought(c: Record, k: Record, a: int, s: int, r: int) -> bool:
    """True where a part that comes by itself has to enter after one that an attendant still has to bring."""
    if r < 0:
        return False
    e, period = c.s_enters[s], next_period(c, k, r)
    for other in range(c.row_from[e], c.row_to[e]):
        comes = next_period(c, k, other) if c.enter_op[other] >= 0 and c.enter_who[other] == a else NEVER
        if comes < period or (comes == period and other < r):
            return True
    return False


@seldom
def is_lost(c: Record, k: Record, g: int, s: int) -> None:
    """A part is scrapped in a station at a step: wherever it would have come by itself, it counts as entered."""
    step, u = g + 1, s
    while c.s_only_to[u] >= 0:
        u = c.s_only_to[u]
    while step < len(c.g_part) and c.g_part[step] == c.g_part[g]:
        for e in range(c.stations):
            r = first_to(c, k, e, step, u) if c.s_enters[e] == e else -1
            if r >= 0:
                k.enter_done[r] += 1
        step += 1


@inner
def first_to(c: Record, k: Record, e: int, step: int, u: int) -> int:
    """Which part of an order comes next to a step by itself, first from one station, then from wherever; -1 none."""
    found = row_of(c, k, u, e, step)
    if found >= 0:
        return found
    for r in range(c.row_from[e], c.row_to[e]):
        comes = c.enter_step[r] == step and c.enter_op[r] < 0
        if comes and (found < 0 or next_period(c, k, r) < next_period(c, k, found)):
            found = r
    return found

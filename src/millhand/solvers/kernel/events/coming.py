"""Whether a part will come to a station by itself: out of a machine that puts out, or into one that takes in."""

from millhand.solvers.kernel.codes import PROCESS
from millhand.solvers.kernel.events.books import first_piece, next_step
from millhand.solvers.kernel.events.entries import has_entries, is_after_what_is_brought, row_of
from millhand.solvers.kernel.events.in_line import has_next, has_order
from millhand.solvers.kernel.events.jit import Record, inner
from millhand.solvers.kernel.events.traits import has_self_moving


@inner
def is_coming(c: Record, k: Record, a: int, s: int) -> bool:
    """True where one is under way to the station, by one or two stations that hand on by themselves, and does not wait
    there for the attendant that asks to bring another first."""
    if not has_self_moving(c) or not c.self_moving:
        return False
    for u in range(c.stations):
        if not hands_on(c, u, s):
            continue
        if holds_some(c, k, u) and not waits_for(c, k, a, u, s):
            return True
        for v in range(c.stations):
            if hands_on(c, v, u) and holds_some(c, k, v):
                return True
    return False


@inner
def waits_for(c: Record, k: Record, a: int, u: int, s: int) -> bool:
    """True where the part that goes on next from one station to another has to wait for what an attendant brings."""
    if not has_entries(c) or c.s_enters[s] < 0:
        return False
    return is_after_what_is_brought(c, k, a, s, row_of(c, k, u, s, next_step(c, k, first_piece(c, k, u))))


@inner
def hands_on(c: Record, u: int, s: int) -> bool:
    """True where parts go from the one station to the other without anybody."""
    if not c.feeds[s, u] or not (c.s_self_out[u] or c.s_self_in[s]):
        return False
    return c.s_only_to[u] < 0 or c.s_only_to[u] == s


@inner
def holds_some(c: Record, k: Record, u: int) -> bool:
    """True where a part is there that goes on, and does not wait in line for another to be taken first."""
    if c.s_kind[u] == PROCESS:
        return k.s_inside[u] > 0
    return k.s_stock[u] > 0 and (not has_order(c, u) or has_next(c, k, u))

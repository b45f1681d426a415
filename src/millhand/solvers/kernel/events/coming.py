"""Whether a part will come to a station by itself: out of a machine that puts out, or into one that takes in."""

from millhand.solvers.kernel.codes import PROCESS
from millhand.solvers.kernel.events.in_line import has_next, has_order
from millhand.solvers.kernel.events.jit import Record, inner
from millhand.solvers.kernel.events.traits import has_self_moving


@inner
def is_coming(c: Record, k: Record, s: int) -> bool:
    """True where one is under way to the station, by one or two stations that hand on by themselves."""
    if not has_self_moving(c) or not c.self_moving:
        return False
    for u in range(c.stations):
        if not hands_on(c, u, s):
            continue
        if holds_some(c, k, u):
            return True
        for v in range(c.stations):
            if hands_on(c, v, u) and holds_some(c, k, v):
                return True
    return False


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

"""Supplies, stores and outfeeds that stop, wear or have hours of their own.

A load there is a part lifted out of a supply, or set down in a store or outfeed. Whoever has begun to lift or set down
ends it; then the stop comes. Nobody begins while it lasts, and whoever comes meanwhile chooses anew.
"""

from millhand.solvers.kernel.codes import LOAD, PICK, VISIT
from millhand.solvers.kernel.events.calls import due_of
from millhand.solvers.kernel.events.faults import come_due, fail, load_fails, wear_out
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.numbers import calendar_slot, kind_of
from millhand.solvers.kernel.events.traits import is_held, may_stand


@inner
def is_shut(c: Record, k: Record, s: int, now: int) -> bool:
    """True where nothing may be lifted or set down at a supply, store or outfeed; an interval ends before its end."""
    if is_held(c, k, s):
        return True
    return may_stand(c, s) and stands_now(c, k, s, now)


@seldom
def stands_now(c: Record, k: Record, s: int, now: int) -> bool:
    """The same for one with stops, wear or hours of its own."""
    if k.s_trouble[s]:
        return True
    calendar = c.s_calendar[s]
    return calendar >= 0 and due_of(k, calendar_slot(c) + calendar) == now


@inner
def gate_is_ready(c: Record, k: Record, u: int, now: int) -> bool:
    """A gate: the time since the last part was set down there is over, as it is at the very start."""
    since = k.s_set_down[c.s_twin[u]]
    return since < 0 or now >= since + c.s_turnaround[u]


@seldom
def is_visited(c: Record, k: Record, s: int) -> bool:
    """True while somebody lifts or sets down there."""
    for a in range(c.attendants):
        if k.a_mode[a] == VISIT and s == (k.a_source[a] if kind_of(k.a_visit[a]) == PICK else k.a_target[a]):
            return True
    return False


@inner
def visit_over(c: Record, k: Record, s: int, now: int) -> None:
    """Stops by the clock that fell into a visit come when nobody is there any more."""
    if may_stand(c, s) and not is_visited(c, k, s):
        come_due(c, k, s, now)


@inner
def counts_load(c: Record, k: Record, s: int, now: int) -> None:
    """One part more went through: what wears by it, and the stops that it brings."""
    if may_stand(c, s):
        one_more(c, k, s, now)


@seldom
def one_more(c: Record, k: Record, s: int, now: int) -> None:
    """Wear first, then stops; of two stops that one part brings the second comes after the first."""
    for u in range(c.u_from[s], c.u_to[s]):
        k.u_used[u] += 1
        if k.u_used[u] >= c.u_limit[u]:
            wear_out(c, k, u, now)
    for f in range(c.f_from[s], c.f_to[s]):
        if c.f_on[f] == LOAD and not k.f_open[f] and not k.f_due[f] and load_fails(c, k, f):
            if k.s_down[s]:
                k.f_due[f] = 1
            else:
                fail(c, k, f, now)

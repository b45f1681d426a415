"""Supplies, stores, outfeeds and gates that stop, wear or have hours of their own, and what lots a supply gives.

A load there is a part lifted out of a supply, or set down in a store, outfeed or gate; it is busy while somebody lifts
or sets down there. Whoever has begun that ends it; then the stop comes. Nobody begins while it lasts, and whoever comes
meanwhile chooses anew. A gate stands as a whole: its stops, wear and hours are those of its supply.
"""

from millhand.solvers.kernel.codes import BUSY, LOAD, PICK, VISIT
from millhand.solvers.kernel.events.calls import due_of
from millhand.solvers.kernel.events.faults import come_due, fail, load_fails, wear_out
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.numbers import calendar_slot, kind_of
from millhand.solvers.kernel.events.traits import has_gates, is_held, may_stand


@inner
def is_shut(c: Record, k: Record, s: int, now: int) -> bool:
    """True where nothing may be lifted or set down at a supply, store or outfeed; an interval ends before its end."""
    if is_held(c, k, s):
        return True
    return may_stand(c, s) and stands_now(c, k, owner_of(c, s), now)


@inner
def owner_of(c: Record, s: int) -> int:
    """The stock whose stops, wear and hours count: of a gate's outfeed the gate."""
    return c.s_gate[s] if has_gates(c) and c.s_gate[s] >= 0 else s


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
    """True while somebody lifts or sets down there; `s` as `owner_of` has it."""
    for a in range(c.attendants):
        if k.a_mode[a] == VISIT:
            at = k.a_source[a] if kind_of(k.a_visit[a]) == PICK else k.a_target[a]
            if at >= 0 and owner_of(c, at) == s:
                return True
    return False


@inner
def visit_over(c: Record, k: Record, s: int, now: int) -> None:
    """Stops by the clock that fell into a visit come when nobody is there any more."""
    if may_stand(c, s) and not is_visited(c, k, owner_of(c, s)):
        come_due(c, k, owner_of(c, s), now)


@inner
def counts_load(c: Record, k: Record, s: int, now: int) -> None:
    """One part more went through: what wears by it, and the stops that it brings. A gate counts what is set down."""
    if may_stand(c, s) and not (has_gates(c) and c.s_twin[s] >= 0):
        one_more(c, k, owner_of(c, s), now)


@seldom
def one_more(c: Record, k: Record, s: int, now: int) -> None:
    """Wear first, then stops; of two stops that one part brings the second comes after the first."""
    for u in range(c.u_from[s], c.u_to[s]):
        if c.u_loads[u]:
            uses(c, k, u, 1, now)
    for f in range(c.f_from[s], c.f_to[s]):
        if c.f_on[f] == LOAD and not k.f_open[f] and not k.f_due[f] and load_fails(c, k, f):
            stops_at(c, k, f, s, now)


@inner
def counts_busy(c: Record, k: Record, s: int, steps: int, now: int) -> None:
    """Somebody has lifted or set down for so many steps: what wears by it, and the stops that it brings."""
    if may_stand(c, s):
        so_long(c, k, owner_of(c, s), steps, now)


@seldom
def so_long(c: Record, k: Record, s: int, steps: int, now: int) -> None:
    """A stop that falls into the time comes at its end; what is beyond it does not count for the next one."""
    for u in range(c.u_from[s], c.u_to[s]):
        if not c.u_loads[u]:
            uses(c, k, u, steps, now)
    for f in range(c.f_from[s], c.f_to[s]):
        if c.f_on[f] == BUSY and not k.f_open[f] and not k.f_due[f]:
            k.f_left[f] -= steps
            if k.f_left[f] <= 0:
                stops_at(c, k, f, s, now)


@inner
def uses(c: Record, k: Record, u: int, more: int, now: int) -> None:
    """So much more is used up; at the limit a spare is taken, or somebody called."""
    k.u_used[u] += more
    if k.u_used[u] >= c.u_limit[u]:
        wear_out(c, k, u, now)


@inner
def stops_at(c: Record, k: Record, f: int, s: int, now: int) -> None:
    """A stop begins, or comes after the one that lasts."""
    if k.s_down[s]:
        k.f_due[f] = 1
    else:
        fail(c, k, f, now)


@seldom
def lot_gives(c: Record, k: Record, u: int) -> bool:
    """True where a lot of a supply has a part that nobody is on the way to, at whichever supply, and that this one need
    not keep for a later lot which only it gives."""
    at = k.lot_now[u]
    if at >= c.lot_to[u] or (c.s_capacity[u] >= 0 and k.s_stock[u] - k.s_claimed[u] <= c.lot_keeps[at]):
        return False
    left = k.lot_left[c.lot_first[at]]
    for other in range(c.stations):
        now = k.lot_now[other]
        if c.lot_from[other] <= now < c.lot_to[other] and c.lot_first[now] == c.lot_first[at]:
            left -= k.s_claimed[other]
    return left > 0

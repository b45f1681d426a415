"""The machines of a row during rounds: which comes first, what it has done meanwhile, when something unusual comes."""

from millhand.solvers.kernel.codes import (
    NEVER,
    S_HANDLED,
    S_WAITING,
    S_WORKING,
    SLOT_BITS,
    TAIL,
    WORK,
)
from millhand.solvers.kernel.events.calls import due_of
from millhand.solvers.kernel.events.jit import Record, inner, often
from millhand.solvers.kernel.events.numbers import fault_slot, station_slot
from millhand.solvers.kernel.events.tending_machines import load_begins, load_is_done, made, works_on
from millhand.solvers.kernel.events.tending_visits import span_steps
from millhand.solvers.kernel.events.traits import has_wear


@often
def comes_first(c: Record, k: Record) -> tuple[int, int]:
    """The machine that finished first, or else finishes first (-1: none works or has finished), and when the next one
    has finished or finishes."""
    first, second, found = NEVER, NEVER, -1
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        ends = NEVER if k.s_trouble[s] else k.s_end[s]
        second = min(second, max(first, ends))
        if ends < first:
            first, found = ends, s
    return found, second


@often
def unusual(c: Record, k: Record, s: int) -> int:
    """When the load under way does not just end: a fault comes before, or something is worn out with it."""
    due = due_of(k, station_slot(c) + s)
    if due != k.s_end[s]:
        return due
    if has_wear(c):
        for u in range(c.u_from[s], c.u_to[s]):
            if k.u_used[u] + (1 if c.u_loads[u] else k.s_left[s]) >= c.u_limit[u]:
                return due
    return NEVER


@inner
def trouble_after(c: Record, k: Record, s: int, start: int) -> int:
    """The same of a load that is still to begin: no later than this."""
    least = NEVER
    for f in range(c.f_from[s], c.f_to[s]):
        least = min(least, k.f_left[f])
    if has_wear(c):
        for u in range(c.u_from[s], c.u_to[s]):
            takes = 1 if c.u_loads[u] else c.t_takes[s]
            if takes < 0 or k.u_used[u] + takes >= c.u_limit[u]:
                return start
    return start + least


@inner
def tails_end(c: Record, k: Record, now: int, limit: int) -> int:
    """Loads begin where the tail of an exchange is over before now; the limit, with what they bring."""
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        if k.s_mode[s] == TAIL and due_of(k, station_slot(c) + s) < now:
            k.events += 1
            load_begins(c, k, s, due_of(k, station_slot(c) + s))
            limit = min(limit, unusual(c, k, s))
    return limit


@often
def takes_its_part(c: Record, k: Record, s: int, now: int) -> None:
    """The machine's part is made, if that was not booked before; the machine stood until now."""
    if k.s_mode[s] == WORK:
        k.events += 1
        ended, worked = k.s_end[s], k.s_left[s]
        made(c, k, s, ended, worked)
        if has_wear(c):
            for u in range(c.u_from[s], c.u_to[s]):
                k.u_used[u] += 1 if c.u_loads[u] else worked
        k.s_time[s, S_WORKING] += ended - k.s_since[s]
        k.s_time[s, S_WAITING] += now - ended
    else:
        k.s_done[s] = 0
        k.finished -= 1
        k.working |= 1 << s
        k.s_time[s, k.s_state[s]] += now - k.s_since[s]


@often
def goes_on_with(c: Record, k: Record, s: int, begun: int, now: int) -> int:
    """The exchange that has begun at a time is over: the next load begins, after the tail if there is one. When that
    brings something unusual."""
    visit = c.t_swap[s]
    tail = span_steps(c, k, c.v_tail_steps[visit], c.v_tail[visit])
    if tail:
        k.s_mode[s] = TAIL
        k.working &= ~(1 << s)
        k.s_end[s] = NEVER
        k.s_state[s] = S_HANDLED
        k.s_since[s] = begun
        slot = station_slot(c) + s
        k.due[slot] = ((now + tail) << SLOT_BITS) | slot
        return trouble_after(c, k, s, now + tail)
    k.s_time[s, S_HANDLED] += now - begun
    k.s_state[s] = S_WORKING
    k.s_since[s] = now
    works_on(c, k, s, now)
    return unusual(c, k, s)


@inner
def up_to(c: Record, k: Record, key: int) -> None:
    """Book what machines have done before an event and nobody has looked at yet."""
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        slot = station_slot(c) + s
        if k.s_trouble[s]:
            continue
        if k.s_mode[s] == TAIL and k.due[slot] < key:
            k.events += 1
            load_begins(c, k, s, due_of(k, slot))
        if k.s_mode[s] == WORK and (k.s_end[s] << SLOT_BITS) | slot < key:
            one_done(c, k, s)
    refresh_soon(c, k)


@inner
def one_done(c: Record, k: Record, s: int) -> None:
    """One load is done, at its own time."""
    k.events += 1
    slot = station_slot(c) + s
    k.due[slot] = (NEVER << SLOT_BITS) | slot
    load_is_done(c, k, s, k.s_end[s])


@inner
def refresh_soon(c: Record, k: Record) -> None:
    """The least time of all stations anew."""
    k.soon = k.due[station_slot(c)]
    for slot in range(station_slot(c), fault_slot(c)):
        k.soon = min(k.soon, k.due[slot])

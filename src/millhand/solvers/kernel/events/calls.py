"""Calls: who wants somebody, since when, and what triggers it."""

from millhand.solvers.kernel.codes import (
    C_CALLS,
    CALLS,
    CAUSE_EMPTY,
    CAUSE_SLOT,
    ENDS_NOTHING,
    ENDS_WEAR,
    LOG_CALL,
    NEVER,
    SLOT_BITS,
    SUPPLY,
)
from millhand.solvers.kernel.events.books import note
from millhand.solvers.kernel.events.draws import drawn_steps
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.numbers import clock_slot, fault_slot, station_slot
from millhand.solvers.kernel.events.traits import logs


@inner
def set_due(k: Record, slot: int, when: int) -> None:
    """When a slot's next event is due; the slot's number below the time settles ties."""
    k.due[slot] = (when << SLOT_BITS) | slot


@inner
def set_station_due(c: Record, k: Record, s: int, when: int) -> None:
    """The same for a station; the least of all stations is kept."""
    slot = station_slot(c) + s
    before = k.due[slot]
    set_due(k, slot, when)
    if k.due[slot] < k.soon:
        k.soon = k.due[slot]
    elif before == k.soon:
        first = station_slot(c)
        a, b = k.due[first], k.due[first + 1]  # two at a time: each comparison waits for the one before it
        for i in range(first + 2, fault_slot(c), 2):
            a = min(a, k.due[i])
            b = min(b, k.due[i + 1])
        k.soon = min(a, b)


@seldom
def set_rare_due(c: Record, k: Record, slot: int, when: int) -> None:
    """The same for clocks, faults and calendars, whose least is kept since it seldom changes."""
    set_due(k, slot, when)
    least = k.due[slot]
    for i in range(clock_slot(c), station_slot(c)):
        least = min(least, k.due[i])
    for i in range(fault_slot(c), len(k.due)):
        least = min(least, k.due[i])
    k.rare = least


@inner
def due_of(k: Record, slot: int) -> int:
    """The time of a slot's next event."""
    return k.due[slot] >> SLOT_BITS


@seldom
def call(c: Record, k: Record, slot: int, now: int) -> None:
    """Somebody is wanted; a call that waits or is being answered is not made twice, unless calls add up."""
    d = c.l_duty[slot]
    if c.d_stack[d] == 0 and (k.l_waiting[slot] or k.l_serving[slot]):
        return
    k.l_waiting[slot] += 1
    k.counts[C_CALLS] += 1
    k.waiting_calls += 1
    k.changed |= CALLS
    if k.l_waiting[slot] == 1:
        k.l_since[slot] = now
        k.l_ready[slot] = now + drawn_steps(c, k, c.l_response[slot])
    if c.l_kind[slot] != ENDS_NOTHING:
        needs_somebody(k, CAUSE_SLOT + slot, now)
    if logs(k):
        note(c, k, now, LOG_CALL, d, c.l_owner[slot])


@seldom
def needs_somebody(k: Record, cause: int, now: int) -> None:
    """Something stands until somebody comes: the first such need in an absence of all people, and the latest."""
    if k.away_open:
        k.away_open = 0
        k.away_until = now - k.here_since
        k.away_cause = cause
    k.need_cause = cause


@inner
def level_fell(c: Record, k: Record, s: int, now: int) -> None:
    """The stock of a supply or store has fallen: call where it is below a limit."""
    level = k.s_stock[s]
    if level == 0 and c.s_kind[s] == SUPPLY:
        needs_somebody(k, CAUSE_EMPTY + s, now)
    for x in range(c.level_from[s], c.level_to[s]):
        if level < c.level_below[x]:
            call(c, k, c.level_slot[x], now)


@inner
def part_left(c: Record, k: Record, s: int, now: int) -> None:
    """A part was taken out of a process station: duties every n parts count it."""
    for x in range(c.parts_from[s], c.parts_to[s]):
        trigger = c.parts_trigger[x]
        k.x_count[trigger] += 1
        if k.x_count[trigger] % c.x_every[trigger] == 0:
            call(c, k, c.parts_slot[x], now)


@seldom
def clock_rings(c: Record, k: Record, clock: int, now: int) -> None:
    """A duty's clock: it calls, and rings again. A duty that renews wear is called once for each wear in use."""
    d = c.clock_duty[clock]
    renews = False
    for slot in range(c.slots):
        if c.l_duty[slot] == d and c.l_kind[slot] == ENDS_WEAR:
            renews = True
            u = c.l_what[slot]
            if k.u_used[u] or k.u_spares[u] < c.u_spares[u]:
                call(c, k, slot, now)
    if not renews:
        call(c, k, c.d_own_slot[d], now)
    set_rare_due(c, k, clock_slot(c) + clock, next_ring(c, k, clock, now))


@inner
def next_ring(c: Record, k: Record, clock: int, now: int) -> int:
    """When a duty's clock rings next, after now."""
    if c.clock_span[clock] >= 0:
        return now + max(1, drawn_steps(c, k, c.clock_span[clock]))
    period = c.clock_period[clock]
    begin = now - now % period
    best = NEVER
    for x in range(c.clock_from[clock], c.clock_to[clock]):
        at = c.clock_times[x]
        ring = begin + at if begin + at > now else begin + period + at
        best = min(best, ring)
    return best

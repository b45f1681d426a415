"""A short cut through the loop: one attendant alone tends a row of like machines, and nothing else happens meanwhile.

Most cells are of this kind most of the time: raw parts from one supply, machines that do the same work, perhaps a gauge
for each n-th part, one outfeed. An event changes the same columns here as in the loop, but fewer questions are asked on
the way: nobody else need be woken, and what the attendant does next is found without comparing all that a route could
be. Whatever is out of the ordinary (a call that it may answer, a fault, a missed pick, a part for the gauge, a full
outfeed) is left to the loop, so both give the same bytes; the tests hold that against the plain twin.

The attendant is the first of the file, so its number is known when the loop is compiled. An event's function comes back
with False, and nothing changed, where the loop has to do it.
"""

from millhand.solvers.kernel.codes import (
    AT_ONCE,
    CALLS,
    DONE,
    IDLE,
    MOVE,
    NEVER,
    PICK,
    SLOT_BITS,
    SLOT_MASK,
    SWAP,
    TAIL,
    VISIT,
    WAIT,
    WORK,
)
from millhand.solvers.kernel.events.calls import set_station_due
from millhand.solvers.kernel.events.deciding import at_station
from millhand.solvers.kernel.events.hands import pick, put_down
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.machines import settle
from millhand.solvers.kernel.events.numbers import kind_of, station_slot
from millhand.solvers.kernel.events.rounds import rounds
from millhand.solvers.kernel.events.tending_choice import chooses, is_checked_next
from millhand.solvers.kernel.events.tending_ends import exchanged, lifted, put_away
from millhand.solvers.kernel.events.tending_machines import load_ends, settled
from millhand.solvers.kernel.events.tending_visits import begins_exchange, waits
from millhand.solvers.kernel.events.traits import is_halted, logs
from millhand.solvers.kernel.events.visits import let_go


@inner
def may_tend(c: Record, k: Record) -> bool:
    """True where the short cut may be tried: such a cell, its attendant at work, and no call that it might answer."""
    if not c.tended or k.changed or not k.a_on[0] or is_halted(c, k, 0) or logs(k):
        return False
    return k.waiting_calls == 0 or c.answer_to[0] == c.answer_from[0]


@seldom
def tend(c: Record, k: Record, horizon: int) -> bool:
    """One event after the other up to the first that is out of the ordinary; False where that is the very next one."""
    limit = nothing_before(c, k, horizon)
    begun = k.events
    while k.changed == 0 and k.at_once < AT_ONCE:
        key = min(k.due[0], k.soon)
        if key >= limit:
            break
        now, slot, before = key >> SLOT_BITS, key & SLOT_MASK, k.before
        if slot == 0 and at_supply(c, k) and rounds(c, k, now, limit >> SLOT_BITS):
            k.at_once = k.at_once + 1 if k.before == before else 0
            settled(c, k, k.before)
            continue
        if not (tender_event(c, k, now) if slot == 0 else machine_event(c, k, slot - station_slot(c), now)):
            break
        k.events += 1
        k.at_once = k.at_once + 1 if now == before else 0
        k.before = now
    return k.events > begun


@inner
def nothing_before(c: Record, k: Record, horizon: int) -> int:
    """The key up to which nobody else has an event, nor at the same moment a calendar, a clock or a fault."""
    limit = min(min(horizon, k.tomorrow), k.rare >> SLOT_BITS) << SLOT_BITS
    for other in range(1, len(c.a_arm)):
        limit = min(limit, k.due[other])
    return limit


@often
def at_supply(c: Record, k: Record) -> bool:
    """True where a raw part comes into the hand now, without a missed pick."""
    picks = k.a_mode[0] == VISIT and kind_of(k.a_visit[0]) == PICK
    return c.t_rounds != 0 and picks and k.a_source[0] == c.t_supply and k.a_misses[0] == 0


@often
def machine_event(c: Record, k: Record, s: int, now: int) -> bool:
    """A load or a tail is over; whoever waits there begins, whoever has nothing to do chooses."""
    mode = k.s_mode[s]
    if not (c.t_row >> s) & 1 or k.s_trouble[s]:
        return False
    if mode == WORK:
        if not load_ends(c, k, s, now):
            return False
    elif mode == TAIL:
        set_station_due(c, k, s, NEVER)
        settle(c, k, s, now)
    else:
        return False
    if k.changed & CALLS or k.s_trouble[s]:
        return True
    mode = k.a_mode[0]
    if mode == WAIT:
        if k.a_target[0] == s and kind_of(k.a_visit[0]) == SWAP and k.s_mode[s] == DONE:
            begins_exchange(c, k, s, now)
        else:
            at_station(c, k, 0, now)
    elif mode == IDLE:
        chooses(c, k, now)
    settled(c, k, now)
    return True


@often
def tender_event(c: Record, k: Record, now: int) -> bool:
    """The attendant has arrived at a machine or finished a visit."""
    mode, kind = k.a_mode[0], kind_of(k.a_visit[0])
    if mode == VISIT:
        if k.a_misses[0]:
            return False
        if kind == SWAP:
            return exchanged(c, k, now)
        if kind == PICK:
            return lifted(c, k, now) if k.a_source[0] == c.t_supply else took_out(c, k, now)
        return put_away(c, k, now) if k.a_target[0] == c.t_sink else put_in(c, k, now)
    if mode != MOVE:
        return False
    s = k.a_source[0] if kind == PICK else k.a_target[0]
    if not (c.t_row >> s) & 1 or k.s_trouble[s]:
        return False
    if kind == SWAP:
        if k.s_mode[s] == DONE:
            begins_exchange(c, k, s, now)
            return True
        if k.s_mode[s] == WORK and k.waiting_calls == 0 and c.a_calendar[0] < 0:
            waits(k, now)
            return True
    at_station(c, k, 0, now)
    settled(c, k, now)
    return True


@inner
def took_out(c: Record, k: Record, now: int) -> bool:
    """A finished part is in the only hand."""
    s, visit = k.a_source[0], k.a_visit[0]
    if not (c.t_row >> s) & 1 or k.s_trouble[s] or is_checked_next(c, k):
        return False
    pick(c, k, 0, s, now)
    k.a_lifted[0] = now
    let_go(c, k, s, visit, now)
    chooses(c, k, now)
    settled(c, k, now)
    return True


@inner
def put_in(c: Record, k: Record, now: int) -> bool:
    """A raw part lies in a machine that was empty."""
    s, visit = k.a_target[0], k.a_visit[0]
    if not (c.t_row >> s) & 1 or k.s_trouble[s]:
        return False
    put_down(c, k, 0, s, now)
    let_go(c, k, s, visit, now)
    chooses(c, k, now)
    settled(c, k, now)
    return True

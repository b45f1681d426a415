"""Whole rounds in one go: to the machine that finishes first, exchange, put away, lift the next raw part.

Between two events of anybody else an attendant with two hands goes round and round in front of its machines, and what
happens there can be told ahead: when a load ends is known when it begins, and nobody looks at the machine before the
attendant comes. So a round is worked out from one step to the next without an event of its own for each, and what a
machine has done meanwhile is booked when the attendant takes its part, at the time at which it was. The books are those
of the events (tending.py), in the same order for each machine and each stream of chance.

A round goes on as long as its next step lies before the `limit`: the next event of anybody else, the end of the day, a
fault, something worn out, the last raw part. There it is left in the middle, as events would have left it.
"""

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_HANDLING,
    A_TRAVELLING,
    A_WAITING,
    DONE,
    EMPTY,
    NEVER,
    S_HANDLED,
    S_STARVED,
    S_WAITING,
    S_WORKING,
    SLOT_BITS,
    STOCK,
    TAIL,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_station, stock_changes
from millhand.solvers.kernel.events.calls import due_of
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.machines import count_cycle
from millhand.solvers.kernel.events.numbers import fault_slot, row_of, station_slot
from millhand.solvers.kernel.events.parts import gauge, put_out
from millhand.solvers.kernel.events.tending_choice import brings, is_checked_next, otherwise, waits_longest
from millhand.solvers.kernel.events.tending_ends import raw_piece
from millhand.solvers.kernel.events.tending_machines import load_begins, load_is_done, made
from millhand.solvers.kernel.events.tending_visits import exchanges, lifts, phases, promised, puts, span_steps
from millhand.solvers.kernel.events.traits import has_slowing, has_wear
from millhand.solvers.kernel.events.visits import retries
from millhand.solvers.kernel.events.ways import remember_way


@seldom
def rounds(c: Record, k: Record, now: int, limit: int) -> bool:
    """From the moment at which a raw part comes into the hand up to the limit; False, and nothing done, where things
    are not as a round needs them. Each step says with -1 that it was left in the middle."""
    limit = ordinary_until(c, k, now, limit)
    if limit <= now or not enough(c, k):
        return False
    leaves_the_supply(c, k, now)
    while now >= 0:
        s, q, now, limit = exchange(c, k, now, limit)
        if s >= 0:
            s, now = brings_away(c, k, s, q, now, limit)
        if s < 0:
            return True
        now = lifts_next(c, k, s, now, limit)
    return True


@often
def exchange(c: Record, k: Record, now: int, limit: int) -> tuple[int, int, int, int]:
    """With a raw part to the machine that comes first, wait there and exchange: (machine, finished part, when it is
    over, the limit, with what the next load brings)."""
    raw = lifted_raw(c, k, now)
    if c.t_tails:
        limit = tails_end(c, k, now, limit)
    s, next_end = comes_first(c, k)
    if s < 0 or max(now + c.t_way_out[s], k.s_end[s]) >= limit:
        stops_with_raw(c, k, raw, now)
        return -1, -1, -1, limit
    at, visit = c.s_piece_from[s], c.t_swap[s]
    out, ended, arrives = k.piece[at], k.s_end[s], now + c.t_way_out[s]
    begins = max(arrives, ended)
    lead = span_steps(c, k, c.v_lead_steps[visit], c.v_lead[visit])
    if lead and c.v_on_finish[visit]:
        lead = max(0, ended + lead - begins)
    hold = span_steps(c, k, c.v_hold_steps[visit], c.v_hold[visit]) + c.a_turn[0]
    ends = begins + lead + hold
    k.a_time[0, A_CARRYING] += arrives - now
    k.a_time[0, A_WAITING] += begins - arrives
    if ends >= limit or ends == begins or (c.t_check >= 0 and k.q_settled[out] >= 0):
        stops_exchanging(c, k, s, raw, now)
        exchanges(c, k, s, begins, lead, hold)
        return -1, -1, -1, limit
    k.a_time[0, A_WAITING] += lead
    k.a_time[0, A_HANDLING] += hold
    takes_its_part(c, k, s, begins)
    k.piece[at] = raw
    k.q_since[raw] = ends
    k.q_step[out] = c.t_out
    if is_checked_next(c, k):
        k.q_step[out] = c.t_check
        k.g_until[c.t_check] = c.g_every[c.t_check]
        enter_station(c, k, c.t_gauge, S_WAITING, ends)
    elif c.t_check >= 0:
        k.g_until[c.t_check] -= 1
        enter_station(c, k, c.t_gauge, S_WAITING if k.finished or next_end < ends else S_STARVED, ends)
    k.events += 2  # arrived, exchanged
    return s, out, ends, goes_on_with(c, k, s, ends, limit)


@often
def brings_away(c: Record, k: Record, s: int, q: int, now: int, limit: int) -> tuple[int, int]:
    """The finished part into the outfeed, first to the gauge if it is meant for it: (where it is left from, when)."""
    if k.q_step[q] == c.t_check:
        if not may_check(c, s, limit - now):
            stops_before_gauge(c, k, s, q, now)
            return -1, -1
        now = checks(c, k, s, q, now)
        s = c.t_gauge
        if k.q_step[q] == c.t_check:  # scrapped there
            return s, now
    way = c.t_way_home[s]
    lead = span_steps(c, k, c.v_lead_steps[c.t_put], c.v_lead[c.t_put])
    hold = span_steps(c, k, c.v_hold_steps[c.t_put], c.v_hold[c.t_put])
    put = now + way + lead + hold
    if put >= limit:
        stops_with_finished(c, k, s, q, now)
        puts(c, k, now, way, lead, hold)
        return -1, -1
    k.a_time[0, A_CARRYING] += way
    k.a_time[0, A_WAITING] += lead
    k.a_time[0, A_HANDLING] += hold
    put_out(c, k, q, c.t_sink, put)
    k.events += 1
    return c.t_sink, put


@often
def lifts_next(c: Record, k: Record, s: int, now: int, limit: int) -> int:
    """Back to the supply: when the next raw part is in the hand."""
    way = c.t_way_back[s]
    lead = span_steps(c, k, c.v_lead_steps[c.t_pick], c.v_lead[c.t_pick])
    hold = span_steps(c, k, c.v_hold_steps[c.t_pick], c.v_hold[c.t_pick])
    if c.r_miss_p[row_of(c.t_pick)] > 0.0:
        hold += retries(c, k, 0, row_of(c.t_pick))
    lifted = now + way + lead + hold
    if lifted >= limit or (s == c.t_gauge and lifted == now) or k.a_misses[0] or not enough(c, k):
        stops_with_nothing(c, k, s, now)
        lifts(c, k, now, way, lead, hold)
        return -1
    k.a_time[0, A_TRAVELLING] += way
    k.a_time[0, A_WAITING] += lead
    k.a_time[0, A_HANDLING] += hold
    return lifted


@often
def lifted_raw(c: Record, k: Record, now: int) -> int:
    """The raw part that comes into the hand."""
    k.a_lifted[0] = now
    k.events += 1
    if c.s_capacity[c.t_supply] >= 0:
        stock_changes(c, k, c.t_supply, -1, now)
    return raw_piece(c, k)


@inner
def may_check(c: Record, s: int, time: int) -> bool:
    """True where gauging the part of a machine takes less than some time, which is known ahead."""
    return c.t_check_rounds != 0 and c.t_way_check[s] + c.t_checking < time


@seldom
def stops_before_gauge(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """Left at a machine with a part in hand that goes to the gauge."""
    stops_with_finished(c, k, s, q, now)
    k.a_last[0] = s
    k.a_picked_last[0] = 0
    otherwise(c, k, now)
    k.changed |= STOCK


@seldom
def checks(c: Record, k: Record, s: int, q: int, now: int) -> int:
    """To the gauge with the part, wait there, and out with it again; the time at which the attendant leaves. Of a part
    that is scrapped there the step stays that of the gauge."""
    u, visit = c.t_gauge, c.t_check_place
    lead, hold = c.v_lead_steps[visit], c.v_hold_steps[visit]
    arrives = now + c.t_way_check[s]
    if lead and c.v_on_finish[visit]:
        lead = max(0, k.s_ready[u] + lead - arrives)
    enter_station(c, k, u, S_HANDLED, arrives)
    placed = arrives + lead + hold
    k.q_since[q] = placed
    k.s_checking[k.q_maker[q]] = k.q_number[q]
    enter_station(c, k, u, S_WORKING, placed)
    done = placed + c.t_check_takes
    k.a_time[0, A_CARRYING] += arrives - now
    k.a_time[0, A_WAITING] += lead + c.t_check_takes
    k.a_time[0, A_HANDLING] += hold
    k.s_ready[u] = k.s_end[u] = k.s_since_work[u] = k.s_stood[u] = done
    up_to(c, k, gauge_key(c, done))  # parts made since the last check may be marked where they lie
    scrapped = gauge(c, k, q, c.t_check, u, done)
    count_cycle(c, k, u, done)
    k.events += 3  # arrived, put in, done
    if scrapped:
        enter_station(c, k, u, S_WAITING if k.finished else S_STARVED, done)
        return done
    visit = c.t_check_pick
    picked = done + c.v_lead_steps[visit] + c.v_hold_steps[visit]
    k.a_time[0, A_WAITING] += c.v_lead_steps[visit]
    k.a_time[0, A_HANDLING] += c.v_hold_steps[visit]
    enter_station(c, k, u, S_HANDLED, done)
    k.s_ready[u] = k.s_end[u] = picked
    k.a_lifted[0] = picked
    k.q_step[q] = c.t_out
    k.events += 1
    key = left_key(c, u, picked)
    enter_station(c, k, u, S_WAITING if finished_before(c, k, key) else S_STARVED, picked)
    return picked


@inner
def gauge_key(c: Record, now: int) -> int:
    """The event of the gauge at a time."""
    return (now << SLOT_BITS) | (station_slot(c) + c.t_gauge)


@inner
def left_key(c: Record, s: int, now: int) -> int:
    """The event up to which all has happened when the attendant leaves a station: its own, but where it takes no time
    to take the part out of the gauge (or it was scrapped) that of the gauge."""
    pick = c.t_check_pick
    if s == c.t_gauge and (c.v_lead_steps[pick] + c.v_hold_steps[pick] == 0):
        return gauge_key(c, now)
    return now << SLOT_BITS


@often
def enough(c: Record, k: Record) -> bool:
    """True where the supply calls nobody when one part more is lifted."""
    u = c.t_supply
    return c.s_capacity[u] < 0 or k.s_stock[u] > c.t_level


@inner
def ordinary_until(c: Record, k: Record, now: int, limit: int) -> int:
    """The time up to which nothing but rounds happens; `now` itself where a machine or the gauge is not as usual."""
    if not c.t_rounds or k.waiting_calls or k.a_holds[0] or (has_slowing(c) and k.a_slowed[0]):
        return now
    if c.t_gauge >= 0 and (k.s_mode[c.t_gauge] != EMPTY or k.s_trouble[c.t_gauge]):
        return now
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        mode = k.s_mode[s]
        if k.s_trouble[s]:
            limit = min(limit, due_of(k, station_slot(c) + s))
        elif mode == WORK:
            limit = min(limit, unusual(c, k, s))
        elif (mode != DONE and mode != TAIL) or k.s_end[s] == now or k.s_inside[s] != 1:
            return now
        elif mode == TAIL:
            limit = min(limit, trouble_after(c, k, s, due_of(k, station_slot(c) + s)))
    return limit


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
def leaves_the_supply(c: Record, k: Record, now: int) -> None:
    """The pick is over; what it was meant for is chosen anew."""
    phases(k, now, 0, 0, now)
    k.s_claimed[c.t_supply] -= 1
    k.a_source[0] = -1
    if k.a_target[0] >= 0:
        k.s_expected[k.a_target[0]] -= 1
        k.a_target[0] = -1


@often
def comes_first(c: Record, k: Record) -> tuple[int, int]:
    """The machine that finished first, or else finishes first (-1: none works or has finished), and when the next one
    has finished or finishes."""
    first, second, found = NEVER, NEVER, -1
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        ends = NEVER if k.s_mode[s] == TAIL or k.s_trouble[s] else k.s_end[s]
        second = min(second, max(first, ends))
        if ends < first:
            first, found = ends, s
    return found, second


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
    """The machine's part is made, if that was not booked before; the machine stood until now and is handled."""
    if k.s_mode[s] == WORK:
        k.events += 1
        ended, worked = k.s_end[s], k.s_left[s]
        made(c, k, s, ended, worked)
        if has_wear(c):
            for u in range(c.u_from[s], c.u_to[s]):
                k.u_used[u] += 1 if c.u_loads[u] else worked
        k.s_time[s, k.s_state[s]] += ended - k.s_since[s]
        k.s_time[s, S_WAITING] += now - ended
    else:
        k.s_done[s] = 0
        k.finished -= 1
        k.s_time[s, k.s_state[s]] += now - k.s_since[s]
    k.s_state[s] = S_HANDLED
    k.s_since[s] = now


@often
def goes_on_with(c: Record, k: Record, s: int, now: int, limit: int) -> int:
    """The exchange is over: the next load begins, after the tail if there is one; the limit, with what it brings."""
    visit = c.t_swap[s]
    tail = span_steps(c, k, c.v_tail_steps[visit], c.v_tail[visit])
    if tail:
        k.s_mode[s] = TAIL
        k.working &= ~(1 << s)
        slot = station_slot(c) + s
        k.due[slot] = ((now + tail) << SLOT_BITS) | slot
        return min(limit, trouble_after(c, k, s, now + tail))
    load_begins(c, k, s, now)
    return min(limit, unusual(c, k, s))


@inner
def finished_before(c: Record, k: Record, key: int) -> bool:
    """Whether a finished part lies in a machine at an event of the gauge, with those of the same time before it."""
    finished = k.finished > 0
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        slot = station_slot(c) + c.o_station[o]
        finished |= ((k.s_end[c.o_station[o]] << SLOT_BITS) | slot) < key
    return finished


@seldom
def stops_with_raw(c: Record, k: Record, raw: int, now: int) -> None:
    """Left with a raw part in hand, before it is brought anywhere."""
    k.before = now
    up_to(c, k, now << SLOT_BITS)
    holds(k, raw, c.t_step, now)
    k.a_place[0] = c.s_place[c.t_supply]
    k.a_last[0] = c.t_supply
    k.a_picked_last[0] = 1
    if k.waiting_calls or not brings(c, k, now):
        otherwise(c, k, now)


@seldom
def stops_exchanging(c: Record, k: Record, s: int, raw: int, now: int) -> None:
    """Left at a machine, at the moment at which the exchange begins."""
    arrives = now + c.t_way_out[s]
    begins = max(arrives, k.s_end[s])
    k.before = begins
    k.events += 1  # arrived
    waited = arrives <= k.s_end[s]  # then what had the same time and came before the machine's own event is over
    up_to(c, k, (begins << SLOT_BITS) | (station_slot(c) + s if waited else 0))
    if k.s_mode[s] == WORK:
        one_done(c, k, s)
        refresh_soon(c, k)
    holds(k, raw, c.t_step, begins)
    promised(k, s)
    k.a_which[0] = 0
    k.a_visit[0] = c.t_swap[s]
    k.a_place[0] = c.s_place[s]


@seldom
def stops_with_finished(c: Record, k: Record, s: int, out: int, now: int) -> None:
    """Left with a finished part in hand, on leaving the machine or the gauge."""
    k.before = now
    up_to(c, k, left_key(c, s, now))
    holds(k, out, k.q_step[out], now)
    k.a_place[0] = c.s_place[s]
    if has_slowing(c) and c.a_slow[0] >= 0:
        remember_way(c, k, 0, c.s_place[c.t_sink])


@seldom
def stops_with_nothing(c: Record, k: Record, s: int, now: int) -> None:
    """Left with empty hands, on leaving the outfeed, or the gauge where the part was scrapped."""
    k.before = now
    up_to(c, k, gauge_key(c, now) if s == c.t_gauge else now << SLOT_BITS)
    k.a_holds[0] = 0
    k.a_since[0] = now
    k.a_until_first[0] = k.a_until_second[0] = 0
    k.a_place[0] = c.s_place[s]
    _, wanted, _ = waits_longest(c, k, -1)
    if wanted >= 0:
        promised(k, wanted)
    if has_slowing(c) and c.a_slow[0] >= 0:
        remember_way(c, k, 0, c.s_place[c.t_supply])


@inner
def holds(k: Record, q: int, g: int, now: int) -> None:
    """One part in hand, on its way to a step; the books of the attendant are closed up to now."""
    k.a_hand[0, 0] = q
    k.a_holds[0] = 1
    k.g_in_hand[g] += 1
    k.a_since[0] = now
    k.a_until_first[0] = k.a_until_second[0] = 0


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

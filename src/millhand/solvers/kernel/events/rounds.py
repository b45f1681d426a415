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
    S_STARVED,
    S_WAITING,
    TAIL,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_station, stock_changes
from millhand.solvers.kernel.events.calls import due_of
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.numbers import row_of, station_slot
from millhand.solvers.kernel.events.parts import put_out
from millhand.solvers.kernel.events.rounds_gauge import checked_first
from millhand.solvers.kernel.events.rounds_machines import (
    comes_first,
    goes_on_with,
    tails_end,
    takes_its_part,
    trouble_after,
    unusual,
)
from millhand.solvers.kernel.events.rounds_stops import (
    stops_exchanging,
    stops_with_finished,
    stops_with_nothing,
    stops_with_raw,
)
from millhand.solvers.kernel.events.tending_ends import raw_piece
from millhand.solvers.kernel.events.tending_visits import exchanges, lifts, phases, puts, span_steps
from millhand.solvers.kernel.events.traits import has_slowing, is_held
from millhand.solvers.kernel.events.visits import retries


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
    k.events += 2  # arrived, exchanged
    limit = min(limit, goes_on_with(c, k, s, begins, ends))
    if c.t_check >= 0:
        k.g_until[c.t_check] -= 1
        if k.g_until[c.t_check] == 0:
            s, out, ends = checked_first(c, k, s, out, ends, limit)
        else:
            enter_station(c, k, c.t_gauge, S_WAITING if k.finished or next_end < ends else S_STARVED, ends)
    return s, out, ends, limit


@often
def brings_away(c: Record, k: Record, s: int, q: int, now: int, limit: int) -> tuple[int, int]:
    """The finished part into the outfeed, if it has not been scrapped: (where the attendant leaves then, when)."""
    if q < 0:
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


@often
def enough(c: Record, k: Record) -> bool:
    """True where the supply calls nobody when one part more is lifted."""
    u = c.t_supply
    return c.s_capacity[u] < 0 or k.s_stock[u] > c.t_level


@inner
def ordinary_until(c: Record, k: Record, now: int, limit: int) -> int:
    """The time up to which nothing but rounds happens; `now` itself where a station is not as usual."""
    if not c.t_rounds or k.waiting_calls or k.a_holds[0] or (has_slowing(c) and k.a_slowed[0]):
        return now
    if is_held(c, k, c.t_supply) or is_held(c, k, c.t_sink):
        return now
    if c.t_gauge >= 0 and (k.s_mode[c.t_gauge] != EMPTY or k.s_trouble[c.t_gauge]):
        return now
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        mode = k.s_mode[s]
        if c.t_check >= 0 and k.s_inside[s] and k.q_settled[k.piece[c.s_piece_from[s]]] >= 0:
            return now  # its part was meant to be taken out alone, to the gauge perhaps
        if k.s_trouble[s]:
            limit = min(limit, due_of(k, station_slot(c) + s))
        elif mode == WORK:
            limit = min(limit, unusual(c, k, s))
        elif (mode != DONE and mode != TAIL) or k.s_end[s] == now or k.s_inside[s] != 1:
            return now
        elif mode == TAIL:
            k.s_end[s] = NEVER  # of no account before its load begins
            limit = min(limit, trouble_after(c, k, s, due_of(k, station_slot(c) + s)))
    return limit


@inner
def leaves_the_supply(c: Record, k: Record, now: int) -> None:
    """The pick is over; what it was meant for is chosen anew."""
    phases(k, now, 0, 0, now)
    k.s_claimed[c.t_supply] -= 1
    k.a_source[0] = -1
    if k.a_target[0] >= 0:
        k.s_expected[k.a_target[0]] -= 1
        k.a_target[0] = -1

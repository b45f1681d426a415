"""How visits of an attendant begin that tends a row of like machines (visits.py, begin_visit and set_out)."""

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_HANDLING,
    A_SLOWED,
    A_TRAVELLING,
    A_WAITING,
    HANDLED,
    MOVE,
    NEVER,
    S_HANDLED,
    SLOT_BITS,
    VISIT,
    WAIT,
)
from millhand.solvers.kernel.events.books import enter_station
from millhand.solvers.kernel.events.draws import drawn_steps
from millhand.solvers.kernel.events.jit import Record, often
from millhand.solvers.kernel.events.numbers import row_of
from millhand.solvers.kernel.events.traits import has_slowing
from millhand.solvers.kernel.events.visits import retries
from millhand.solvers.kernel.events.ways import remember_way, way_steps


@often
def phases(k: Record, now: int, arrives: int, begins: int, ends: int) -> None:
    """Book what has ended (books.py, close_attendant: here nothing ends early) and begin way, wait and hold."""
    since = k.a_since[0]
    first = max(since, k.a_until_first[0])
    second = max(first, k.a_until_second[0])
    k.a_time[0, k.a_first[0]] += first - since
    k.a_time[0, k.a_second[0]] += second - first
    k.a_time[0, k.a_state[0]] += now - second
    k.a_since[0] = now
    k.a_until_first[0] = arrives
    k.a_second[0] = A_WAITING
    k.a_until_second[0] = begins
    k.a_state[0] = A_HANDLING
    k.due[0] = ends << SLOT_BITS


@often
def way_as(c: Record, k: Record, state: int) -> None:
    """The state of the way that has begun."""
    k.a_way_state[0] = state
    k.a_first[0] = A_SLOWED if has_slowing(c) and k.a_slowed[0] else state


@often
def way_to(c: Record, k: Record, place: int) -> int:
    """The time to a place; remembered where the speed may change under way."""
    way = way_steps(c, k, 0, place)
    if has_slowing(c) and c.a_slow[0] >= 0:
        remember_way(c, k, 0, place)
    return way


@often
def promised(k: Record, s: int) -> None:
    """The part in hand, or the next one, goes to this station."""
    before = k.a_target[0]
    if before >= 0:
        k.s_expected[before] -= 1
    k.a_target[0] = s
    k.s_expected[s] += 1


@often
def goes(c: Record, k: Record, s: int, visit: int, now: int) -> None:
    """To a machine with the raw part in hand; whether it is ready is seen there."""
    promised(k, s)
    k.a_which[0] = 0
    place = c.s_place[s]
    way = way_to(c, k, place)
    k.a_visit[0] = visit
    k.a_mode[0] = MOVE
    k.a_place[0] = place
    if way == 0:
        k.due[0] = now << SLOT_BITS
        return
    k.a_last[0] = -1
    phases(k, now, now + way, now + way, now + way)
    way_as(c, k, A_CARRYING)
    k.a_state[0] = A_CARRYING


@often
def span_steps(c: Record, k: Record, steps: int, span: int) -> int:
    """A duration that the visit's columns know, or that has to be drawn."""
    return steps if steps >= 0 else drawn_steps(c, k, span)


@often
def begins_exchange(c: Record, k: Record, s: int, now: int) -> None:
    """At a finished machine: out with its part and in with the raw one."""
    visit = k.a_visit[0]
    lead = span_steps(c, k, c.v_lead_steps[visit], c.v_lead[visit])
    if lead and c.v_on_finish[visit]:
        lead = max(0, k.s_ready[s] + lead - now)
    hold = span_steps(c, k, c.v_hold_steps[visit], c.v_hold[visit])
    if c.r_miss_p[row_of(visit)] > 0.0:
        hold += retries(c, k, 0, row_of(visit))
    exchanges(c, k, s, now, lead, hold + c.a_turn[0])


@often
def exchanges(c: Record, k: Record, s: int, now: int, lead: int, hold: int) -> None:
    """The exchange is under way."""
    k.a_picked_last[0] = 0
    k.a_mode[0] = VISIT
    k.a_last[0] = s
    phases(k, now, now, now + lead, now + lead + hold)
    way_as(c, k, A_CARRYING)
    k.s_mode[s] = HANDLED
    enter_station(c, k, s, S_HANDLED, now)


@often
def begins_lift(c: Record, k: Record, s: int, now: int) -> None:
    """To the supply for a raw part, which is meant for a machine (-1: for the next exchange)."""
    visit = c.t_pick
    way = way_to(c, k, c.s_place[c.t_supply])
    lead = span_steps(c, k, c.v_lead_steps[visit], c.v_lead[visit])
    hold = span_steps(c, k, c.v_hold_steps[visit], c.v_hold[visit])
    if c.r_miss_p[row_of(visit)] > 0.0:
        hold += retries(c, k, 0, row_of(visit))
    if s >= 0:
        promised(k, s)
    lifts(c, k, now, way, lead, hold)


@often
def lifts(c: Record, k: Record, now: int, way: int, lead: int, hold: int) -> None:
    """The visit to the supply is under way."""
    u = c.t_supply
    k.a_source[0] = u
    k.s_claimed[u] += 1
    k.a_want[0] = 0
    k.a_picked_last[0] = 1
    visits(c, k, u, c.t_pick)
    phases(k, now, now + way, now + way + lead, now + way + lead + hold)
    way_as(c, k, A_TRAVELLING)


@often
def visits(c: Record, k: Record, s: int, visit: int) -> None:
    """Way and hold at a supply or outfeed are one."""
    k.a_visit[0] = visit
    k.a_mode[0] = VISIT
    k.a_place[0] = c.s_place[s]
    k.a_last[0] = s


@often
def begins_putting(c: Record, k: Record, now: int) -> None:
    """To the outfeed with a finished part."""
    visit = c.t_put
    way = way_to(c, k, c.s_place[c.t_sink])
    lead = span_steps(c, k, c.v_lead_steps[visit], c.v_lead[visit])
    hold = span_steps(c, k, c.v_hold_steps[visit], c.v_hold[visit])
    puts(c, k, now, way, lead, hold)


@often
def puts(c: Record, k: Record, now: int, way: int, lead: int, hold: int) -> None:
    """The visit to the outfeed is under way."""
    promised(k, c.t_sink)
    k.a_which[0] = 0
    k.a_picked_last[0] = 0
    visits(c, k, c.t_sink, c.t_put)
    phases(k, now, now + way, now + way + lead, now + way + lead + hold)
    way_as(c, k, A_CARRYING)


@often
def waits(k: Record, now: int) -> None:
    """At a machine that still works."""
    k.a_mode[0] = WAIT
    phases(k, now, 0, 0, NEVER)
    k.a_state[0] = A_WAITING

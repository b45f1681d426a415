"""A part of a round that goes to the gauge, where the attendant stays."""

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_HANDLING,
    A_WAITING,
    S_HANDLED,
    S_STARVED,
    S_WAITING,
    S_WORKING,
    SLOT_BITS,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_station
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.machines import count_cycle
from millhand.solvers.kernel.events.numbers import station_slot
from millhand.solvers.kernel.events.parts import gauge
from millhand.solvers.kernel.events.rounds_machines import (
    up_to,
)
from millhand.solvers.kernel.events.rounds_stops import gauge_key, left_key, stops_before_gauge


@seldom
def checked_first(c: Record, k: Record, s: int, q: int, now: int, limit: int) -> tuple[int, int, int]:
    """With the finished part to the gauge: (gauge, part or -1 if it was scrapped there, when the attendant leaves)."""
    k.g_until[c.t_check] = c.g_every[c.t_check]
    k.q_step[q] = c.t_check
    enter_station(c, k, c.t_gauge, S_WAITING, now)
    if not c.t_check_rounds or now + c.t_way_check[s] + c.t_checking >= limit:
        stops_before_gauge(c, k, s, q, now)
        return -1, -1, -1
    now = checks(c, k, s, q, now)
    return c.t_gauge, -1 if k.q_step[q] == c.t_check else q, now


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
def finished_before(c: Record, k: Record, key: int) -> bool:
    """Whether a finished part lies in a machine at an event, also one that nobody has booked yet."""
    finished = k.finished > 0
    for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
        s = c.o_station[o]
        works = k.s_mode[s] == WORK and not k.s_trouble[s]
        finished |= works and ((k.s_end[s] << SLOT_BITS) | (station_slot(c) + s)) < key
    return finished

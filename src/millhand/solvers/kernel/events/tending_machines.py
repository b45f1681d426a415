"""The machines of a row that one attendant tends: loads that end and begin, and why those stand that could work."""

from millhand.solvers.kernel.codes import (
    CALLS,
    DONE,
    EMPTY,
    NEVER,
    S_BLOCKED,
    S_STARVED,
    S_WAITING,
    S_WORKING,
    SLOT_BITS,
    STOCK,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_station, show, standing_state, station_state
from millhand.solvers.kernel.events.calls import set_station_due
from millhand.solvers.kernel.events.draws import drawn_steps, next_uniform
from millhand.solvers.kernel.events.faults import wear_out
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.machines import count_cycle
from millhand.solvers.kernel.events.numbers import station_slot
from millhand.solvers.kernel.events.traits import has_hours, has_warming, has_wear
from millhand.solvers.kernel.events.visits import let_go


@often
def load_ends(c: Record, k: Record, s: int, now: int) -> bool:
    """A load is done (machines.py, stop_work and finish), at the time that its event is due."""
    if k.s_left[s] != now - k.s_since_work[s] or k.s_inside[s] != 1:
        return False
    set_station_due(c, k, s, NEVER)
    load_is_done(c, k, s, now)
    return True


@often
def load_is_done(c: Record, k: Record, s: int, now: int) -> None:
    """Its part is made, and why the machine stands now."""
    worked = k.s_left[s]
    k.s_left[s] = 0
    k.s_since_work[s] = k.s_ready[s] = k.s_end[s] = now
    k.s_mode[s] = DONE
    k.working &= ~(1 << s)
    k.s_done[s] = 1
    k.finished += 1
    made(c, k, s, now, worked)
    if has_wear(c):
        wears(c, k, s, worked, now)
    if k.s_trouble[s]:
        show(c, k, s, now)
    else:
        enter_station(c, k, s, standing(c, k, s), now)


@often
def made(c: Record, k: Record, s: int, now: int, worked: int) -> None:
    """One part more: what counts on the time of work, its quality, its number, the time since the one before."""
    if has_warming(c):
        k.s_stood[s] = now
    f = c.f_from[s]
    if f < c.f_to[s]:
        k.f_left[f] -= worked
        if f + 1 < c.f_to[s]:
            others_count(c, k, s, worked)
    q = k.piece[c.s_piece_from[s]]
    good = c.g_good[c.t_step]
    if good < 1.0 and next_uniform(c, k, c.s_good_stream[s]) >= good:
        k.q_bad[q] = 1
    k.q_maker[q] = s
    k.s_made[s] += 1
    k.q_number[q] = k.s_made[s]
    count_cycle(c, k, s, now)


@often
def wears(c: Record, k: Record, s: int, worked: int, now: int) -> None:
    """What the load has used up."""
    for u in range(c.u_from[s], c.u_to[s]):
        k.u_used[u] += 1 if c.u_loads[u] else worked
        if k.u_used[u] >= c.u_limit[u]:
            wear_out(c, k, u, now)


@seldom
def others_count(c: Record, k: Record, s: int, worked: int) -> None:
    """Further faults that count on the time of work."""
    for f in range(c.f_from[s] + 1, c.f_to[s]):
        k.f_left[f] -= worked


@seldom
def least_left(c: Record, k: Record, s: int) -> int:
    """The least time of work up to one of the further faults."""
    least = NEVER
    for f in range(c.f_from[s] + 1, c.f_to[s]):
        least = min(least, k.f_left[f])
    return least


@often
def starts(c: Record, k: Record, s: int, visit: int, now: int) -> None:
    """After an exchange: where there is no tail the load begins at once (machines.py, start_load)."""
    if c.v_tail_steps[visit] or (has_warming(c) and c.s_warm_after[s] >= 0):
        let_go(c, k, s, visit, now)
        return
    load_begins(c, k, s, now)
    k.soon = min(k.soon, k.due[station_slot(c) + s])  # no event of this station was due
    k.changed |= STOCK


@often
def load_begins(c: Record, k: Record, s: int, now: int) -> None:
    """A load is begun, and whether it ends or a fault comes before is settled; `soon` is left to the caller."""
    k.working |= 1 << s
    works_on(c, k, s, now)
    enter_station(c, k, s, S_WORKING, now)


@often
def works_on(c: Record, k: Record, s: int, now: int) -> None:
    """The same for a machine that is known to work, in the books too."""
    takes = c.t_takes[s]
    if takes < 0:
        takes = drawn_steps(c, k, c.g_time[c.t_step, s])
    k.s_mode[s] = WORK
    k.s_left[s] = takes
    k.s_since_work[s] = k.s_ready[s] = now
    k.s_end[s] = now + takes
    f = c.f_from[s]
    if f < c.f_to[s]:
        takes = min(takes, k.f_left[f])
        if f + 1 < c.f_to[s]:
            takes = min(takes, least_left(c, k, s))
    slot = station_slot(c) + s
    k.due[slot] = ((now + takes) << SLOT_BITS) | slot


@often
def settled(c: Record, k: Record, now: int) -> None:
    """What has changed concerns nobody but the stations that stand, unless somebody is called."""
    if k.changed & CALLS:
        return
    if k.changed & STOCK:
        refresh_row(c, k, now)
    k.changed = 0


@often
def refresh_row(c: Record, k: Record, now: int) -> None:
    """Settle anew why machines and gauge stand."""
    if c.t_gauge >= 0:
        refresh_gauge(c, k, now)
    if c.t_row & ~k.working:
        for o in range(c.o_from[0, c.t_step], c.o_to[0, c.t_step]):
            s = c.o_station[o]
            if k.s_mode[s] <= DONE:
                plain = k.s_trouble[s] == 0 and not (has_hours(c) and k.s_off[s])
                enter_station(c, k, s, standing(c, k, s) if plain else station_state(c, k, s), now)


@often
def refresh_gauge(c: Record, k: Record, now: int) -> None:
    """The same of the gauge alone: a part that may come to it lies finished in a machine, or is in the hand."""
    s = c.t_gauge
    if k.s_mode[s] == EMPTY and k.s_trouble[s] == 0 and not (has_hours(c) and k.s_off[s]) and k.s_inside[s] == 0:
        at_hand = k.finished > 0 or k.g_in_hand[c.t_check] > 0
        enter_station(c, k, s, S_WAITING if at_hand else S_STARVED, now)
    elif k.s_mode[s] <= DONE:
        enter_station(c, k, s, station_state(c, k, s), now)


@inner
def is_raw_at_hand(c: Record, k: Record) -> bool:
    """True where a raw part lies in the supply or is in the hand."""
    u = c.t_supply
    return c.s_capacity[u] < 0 or k.s_stock[u] > 0 or k.g_in_hand[c.t_step] > 0


@often
def standing(c: Record, k: Record, s: int) -> int:
    """Why a machine of the row stands (books.py, standing_state)."""
    if k.s_mode[s] == EMPTY:
        return S_WAITING if k.s_inside[s] == 0 and is_raw_at_hand(c, k) else S_STARVED
    if c.t_check >= 0 and (k.g_until[c.t_check] == 1 or k.q_settled[k.piece[c.s_piece_from[s]]] >= 0):
        return standing_apart(c, k, s)
    out = c.t_sink
    if c.s_capacity[out] >= 0 and k.s_stock[out] >= c.s_capacity[out]:
        return S_BLOCKED
    return S_WAITING if not c.s_swap_only[s] or is_raw_at_hand(c, k) else S_STARVED


@seldom
def standing_apart(c: Record, k: Record, s: int) -> int:
    """The same where its part goes to the gauge."""
    return standing_state(c, k, s, DONE)

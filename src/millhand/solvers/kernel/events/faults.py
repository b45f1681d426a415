"""What stops a station or an attendant: faults, wear, and whatever holds it from outside."""

from millhand.solvers.kernel.codes import (
    A_FAILED,
    BUSY,
    CAUSE_NOBODY,
    CLOCK,
    EMPTY,
    LOAD,
    LOG_FAILS,
    NEVER,
    PARTS,
    PROCESS,
    S_FAILED,
    STOCK,
    WARM,
    WORK,
)
from millhand.solvers.kernel.events.books import note, show
from millhand.solvers.kernel.events.calls import call, due_of, needs_somebody, set_rare_due, set_station_due
from millhand.solvers.kernel.events.draws import drawn_steps, next_uniform
from millhand.solvers.kernel.events.halting import halt
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.numbers import fault_slot, station_slot
from millhand.solvers.kernel.events.parts import scrap
from millhand.solvers.kernel.events.traits import has_halts, has_moments, has_warming, has_wear, logs


@inner
def load_fails(c: Record, k: Record, f: int) -> bool:
    """True where this load brings the fault."""
    if c.f_every[f] < 0:
        return next_uniform(c, k, c.f_stream[f]) < c.f_p[f]
    k.f_left[f] -= 1
    return k.f_left[f] <= 0


@often
def stop_work(c: Record, k: Record, s: int, now: int) -> None:
    """Book the work done so far to the load, the faults that count on it, and wear."""
    worked = now - k.s_since_work[s]
    k.s_left[s] -= worked
    k.s_since_work[s] = now
    k.s_stood[s] = now
    set_station_due(c, k, s, NEVER)
    for f in range(c.f_from[s], c.f_to[s]):
        if not has_moments(c) or c.f_on[f] == BUSY:
            k.f_left[f] -= worked
    for u in range(c.u_from[s], c.u_to[s] if has_wear(c) else c.u_from[s]):
        if not c.u_loads[u]:
            k.u_used[u] += worked


@seldom
def wear_out(c: Record, k: Record, u: int, now: int) -> None:
    """The limit is reached: take a spare, else stand until somebody renews it."""
    if k.u_spares[u] > 0:
        k.u_spares[u] -= 1
        k.u_used[u] = 0
        return
    if k.u_worn_out[u]:
        return
    k.u_worn_out[u] = 1
    owner = c.u_owner[u]
    if owner < c.stations:
        k.s_worn[owner] += 1
        k.s_trouble[owner] += 1
    else:
        halt(c, k, owner - c.stations, A_FAILED, now)
    if c.u_slot[u] >= 0:
        call(c, k, c.u_slot[u], now)
    else:
        needs_somebody(k, CAUSE_NOBODY, now)


@seldom
def come_due(c: Record, k: Record, s: int, now: int) -> bool:
    """Faults whose clock rang while the station could not stop come now; True where one did."""
    for f in range(c.f_from[s], c.f_to[s]):
        if k.f_due[f] and not k.s_down[s]:
            k.f_due[f] = 0
            fail(c, k, f, now)
            return True
    return False


@seldom
def fail(c: Record, k: Record, f: int, now: int) -> None:
    """A fault begins."""
    owner = c.f_owner[f]
    k.f_open[f] = 1
    k.changed |= PARTS | STOCK
    if not has_halts(c) or owner < c.stations:
        pause(c, k, owner, now)
        k.s_down[owner] += 1
        k.s_trouble[owner] += 1
        k.s_end[owner] = NEVER
        if c.s_kind[owner] == PROCESS:
            if not c.f_keeps[f] and not k.s_done[owner]:
                lose_load(c, k, owner, now)
            show(c, k, owner, now)
    else:
        halt(c, k, owner - c.stations, A_FAILED, now)
    if logs(k):
        note(c, k, now, LOG_FAILS, -1, owner)
    for x in range(c.stop_from[f], c.stop_to[f] if has_halts(c) else c.stop_from[f]):
        other = c.stop[x]
        if other < c.stations:
            hold(c, k, other, S_FAILED, now)
        else:
            halt(c, k, other - c.stations, A_FAILED, now)
    if c.f_slot[f] >= 0:
        call(c, k, c.f_slot[f], now)
    elif c.f_self_end[f] >= 0:
        set_rare_due(c, k, fault_slot(c) + f, now + drawn_steps(c, k, c.f_self_end[f]))
    else:
        needs_somebody(k, CAUSE_NOBODY, now)


@seldom
def lose_load(c: Record, k: Record, s: int, now: int) -> None:
    """The fault spoils what is inside."""
    for i in range(k.s_inside[s]):
        scrap(c, k, k.piece[c.s_piece_from[s] + k.s_head[s] + i], s, now)
    k.s_inside[s] = 0
    k.s_left[s] = 0
    k.s_mode[s] = EMPTY
    k.working &= ~(1 << s)
    k.s_ready[s] = now


@seldom
def draw_fault(c: Record, k: Record, f: int, now: int) -> None:
    """When the fault comes next: busy steps, loads, or a time of the clock."""
    span = c.f_every[f]
    if span < 0:
        return
    steps = drawn_steps(c, k, span)
    if c.f_on[f] == CLOCK:
        set_rare_due(c, k, fault_slot(c) + f, now + steps)
    else:
        k.f_left[f] = max(1, steps) if c.f_on[f] == LOAD else steps


@inner
def pause(c: Record, k: Record, s: int, now: int) -> None:
    """Work or warming that is under way stops; what is left is kept."""
    due = due_of(k, station_slot(c) + s)
    if due == NEVER:
        return
    if k.s_mode[s] == WORK:
        stop_work(c, k, s, now)
    elif has_warming(c) and k.s_mode[s] == WARM:
        k.s_since_work[s] = due - now
        set_station_due(c, k, s, NEVER)


@seldom
def hold(c: Record, k: Record, s: int, as_state: int, now: int) -> None:
    """Stopped from outside: another's fault, a duty, the end of its hours."""
    if c.s_kind[s] == PROCESS:
        pause(c, k, s, now)
    k.s_held[s] += 1
    k.s_trouble[s] += 1
    k.s_held_as[s] = as_state
    k.changed |= PARTS
    if c.s_kind[s] == PROCESS:
        show(c, k, s, now)

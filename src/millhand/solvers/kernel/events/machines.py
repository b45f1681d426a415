"""Process stations: loads that start, work and finish, and go on after a stop."""

from millhand.solvers.kernel.codes import (
    BUSY,
    DONE,
    EMPTY,
    HANDLED,
    LOAD,
    LOG_FINISHED,
    NEVER,
    PARTS,
    PROCESS,
    S_WORKING,
    STOCK,
    TAIL,
    WARM,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_station, first_piece, note, show, stock_changes
from millhand.solvers.kernel.events.calls import due_of, level_fell, set_rare_due, set_station_due
from millhand.solvers.kernel.events.draws import drawn_steps
from millhand.solvers.kernel.events.faults import come_due, draw_fault, fail, load_fails, stop_work, wear_out
from millhand.solvers.kernel.events.halting import thaw
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.numbers import calendar_slot, fault_slot, station_slot
from millhand.solvers.kernel.events.parts import inspect
from millhand.solvers.kernel.events.stocks import is_visited, visit_over
from millhand.solvers.kernel.events.traits import (
    has_gates,
    has_halts,
    has_hours,
    has_moments,
    has_uses,
    has_warming,
    has_wear,
    logs,
    may_stand,
)


@often
def settle(c: Record, k: Record, s: int, now: int) -> None:
    """Handling is over or trouble has ended: start a full load, else stand empty or done."""
    k.changed |= PARTS | STOCK
    k.s_mode[s] = DONE if k.s_done[s] else EMPTY
    k.s_ready[s] = now
    k.s_end[s] = now
    if has_moments(c) and c.f_to[s] > c.f_from[s] and come_due(c, k, s, now):
        return
    if k.s_inside[s] == c.s_batch[s] and not k.s_done[s] and may_start(c, k, s, now):
        start_load(c, k, s, now)
    else:
        show(c, k, s, now)


@often
def may_start(c: Record, k: Record, s: int, now: int) -> bool:
    """Nothing keeps the station from being served or started; the end of an interval is exclusive."""
    if k.s_trouble[s]:
        return False
    if not has_hours(c):
        return True
    calendar = c.s_calendar[s]
    return calendar < 0 or due_of(k, calendar_slot(c) + calendar) != now


@often
def start_load(c: Record, k: Record, s: int, now: int) -> None:
    """Draw how long the load takes, use what it uses up, warm up where it stood too long, and begin."""
    g = k.q_step[first_piece(c, k, s)]
    if has_uses(c) and c.uses_to[g] > c.uses_from[g] and not takes_its_pieces(c, k, s, g, now):
        show(c, k, s, now)
        return
    span = c.g_time[g, s]
    k.s_left[s] = drawn_steps(c, k, span) if span >= 0 else 0
    after = c.s_warm_after[s]
    if has_warming(c) and after >= 0 and now - k.s_stood[s] >= after:
        k.s_mode[s] = WARM
        k.s_end[s] = now + c.s_warm_takes[s] + k.s_left[s]
        set_station_due(c, k, s, now + c.s_warm_takes[s])
        show(c, k, s, now)
        return
    brought = -1
    for f in range(c.f_from[s], c.f_to[s] if has_moments(c) else c.f_from[s]):
        if c.f_on[f] == LOAD and load_fails(c, k, f):
            if brought < 0:
                brought = f
            else:
                k.f_due[f] = 1
    if brought < 0:
        take_up_work(c, k, s, now)
        return
    works(k, s)
    k.s_since_work[s] = now
    k.s_stood[s] = now
    fail(c, k, brought, now)


@inner
def works(k: Record, s: int) -> None:
    """A load is begun; also as a bit, so that whoever looks for a station sees all that work at once."""
    k.s_mode[s] = WORK
    k.working |= 1 << s


@seldom
def takes_its_pieces(c: Record, k: Record, s: int, g: int, now: int) -> bool:
    """What the parts of a load use up is taken from its stations; False, and nothing taken, where one is short."""
    parts = c.s_batch[s]
    for x in range(c.uses_from[g], c.uses_to[g]):
        u = c.uses_at[x]
        if c.s_capacity[u] >= 0 and k.s_stock[u] - k.s_claimed[u] < parts * c.uses_pieces[x]:
            return False
    for x in range(c.uses_from[g], c.uses_to[g]):
        u = c.uses_at[x]
        if c.s_capacity[u] >= 0:
            stock_changes(c, k, u, -parts * c.uses_pieces[x], now)
            k.changed |= STOCK
            level_fell(c, k, u, now)
    return True


@often
def take_up_work(c: Record, k: Record, s: int, now: int) -> None:
    """Work or go on working: whether the load ends or a fault comes before is settled here. A fault that falls on the
    end of a load counts for the next one."""
    works(k, s)
    ends = k.s_left[s]
    k.s_since_work[s] = now
    k.s_end[s] = now + ends
    for f in range(c.f_from[s], c.f_to[s]):
        if not has_moments(c) or c.f_on[f] == BUSY:
            ends = min(ends, k.f_left[f])
    set_station_due(c, k, s, now + ends)
    enter_station(c, k, s, S_WORKING, now)


@inner
def station_event(c: Record, k: Record, s: int, now: int) -> None:
    """A tail, a warm-up, a load or the work up to a fault is over."""
    mode = k.s_mode[s]
    if has_gates(c) and c.s_kind[s] != PROCESS:  # a gate whose turn is over
        set_station_due(c, k, s, NEVER)
        k.changed |= PARTS
        return
    if mode == WORK:
        stop_work(c, k, s, now)
        if k.s_left[s] > 0:
            for f in range(c.f_from[s], c.f_to[s]):
                if (not has_moments(c) or c.f_on[f] == BUSY) and k.f_left[f] == 0:
                    fail(c, k, f, now)
                    return
        finish(c, k, s, now)
        return
    set_station_due(c, k, s, NEVER)
    if mode == TAIL:
        settle(c, k, s, now)
    elif has_warming(c) and mode == WARM:
        take_up_work(c, k, s, now)


@often
def finish(c: Record, k: Record, s: int, now: int) -> None:
    """The load is done: quality, gauge, wear."""
    k.changed |= PARTS
    k.s_mode[s] = DONE
    k.working &= ~(1 << s)
    k.s_ready[s] = now
    k.s_end[s] = now
    kept, inside, base, head = 0, k.s_inside[s], c.s_piece_from[s], k.s_head[s]
    for i in range(inside):
        q = k.piece[base + head + i]
        if not inspect(c, k, q, s, now):
            k.piece[base + head + kept] = q
            kept += 1
    k.s_inside[s] = kept
    k.s_done[s] = kept
    k.finished += kept
    count_cycle(c, k, s, now)
    if logs(k):
        note(c, k, now, LOG_FINISHED, -1, s)
    for u in range(c.u_from[s], c.u_to[s] if has_wear(c) else c.u_from[s]):
        k.u_used[u] += c.u_loads[u]
        if k.u_used[u] >= c.u_limit[u]:
            wear_out(c, k, u, now)
    if kept:
        show(c, k, s, now)
    else:
        settle(c, k, s, now)


@often
def count_cycle(c: Record, k: Record, s: int, now: int) -> None:
    """The time since the last load was finished, into its bin; the search begins at the bin of the one before."""
    if k.s_finished[s] >= 0:
        took, b = now - k.s_finished[s], k.s_bin[s]
        while took < c.bin_edge[b]:
            b -= 1
        while took >= c.bin_edge[b + 1]:
            b += 1
        k.s_bin[s] = b
        k.s_cycles[s, b] += 1
    k.s_finished[s] = now


@inner
def renew(c: Record, k: Record, u: int, now: int) -> None:
    """As new, all spares there."""
    k.u_used[u] = 0
    k.u_spares[u] = c.u_spares[u]
    if not k.u_worn_out[u]:
        return
    k.u_worn_out[u] = 0
    owner = c.u_owner[u]
    if owner < c.stations:
        k.s_worn[owner] -= 1
        k.s_trouble[owner] -= 1
        go_on(c, k, owner, now)
    else:
        thaw(c, k, owner - c.stations, now)


@seldom
def fault_event(c: Record, k: Record, f: int, now: int) -> None:
    """A fault's own time: it ends by itself, or its clock rings."""
    set_rare_due(c, k, fault_slot(c) + f, NEVER)
    if k.f_open[f]:
        end_fault(c, k, f, now)
        return
    owner = c.f_owner[f]
    if owner < c.stations and (k.s_mode[owner] == HANDLED or k.s_mode[owner] == TAIL or k.s_down[owner]):
        k.f_due[f] = 1
        return
    if owner < c.stations and may_stand(c, owner) and is_visited(c, k, owner):
        k.f_due[f] = 1
        return
    fail(c, k, f, now)


@seldom
def end_fault(c: Record, k: Record, f: int, now: int) -> None:
    """The fault is over: what it stopped goes on, and the next one is drawn."""
    owner = c.f_owner[f]
    k.f_open[f] = 0
    draw_fault(c, k, f, now)
    if not has_halts(c) or owner < c.stations:
        k.s_down[owner] -= 1
        k.s_trouble[owner] -= 1
        k.s_served[owner] = 0
        go_on(c, k, owner, now)
    else:
        thaw(c, k, owner - c.stations, now)
    for x in range(c.stop_from[f], c.stop_to[f] if has_halts(c) else c.stop_from[f]):
        other = c.stop[x]
        if other < c.stations:
            release(c, k, other, now)
        else:
            thaw(c, k, other - c.stations, now)


@seldom
def go_on(c: Record, k: Record, s: int, now: int) -> None:
    """One trouble less: where none that stops work is left, go on with what was stopped or start what waits."""
    k.changed |= PARTS | STOCK
    if c.s_kind[s] != PROCESS:
        visit_over(c, k, s, now)
        return
    stands = due_of(k, station_slot(c) + s) == NEVER
    if k.s_down[s] or k.s_held[s] or k.s_worn[s]:
        show(c, k, s, now)
    elif has_moments(c) and come_due(c, k, s, now):
        return
    elif k.s_mode[s] == WORK:
        if stands:
            take_up_work(c, k, s, now)
    elif has_warming(c) and k.s_mode[s] == WARM:
        if stands:
            set_station_due(c, k, s, now + k.s_since_work[s])
            k.s_end[s] = now + k.s_since_work[s] + k.s_left[s]
        show(c, k, s, now)
    elif k.s_mode[s] == EMPTY and k.s_inside[s] == c.s_batch[s] and may_start(c, k, s, now):
        start_load(c, k, s, now)
    else:
        show(c, k, s, now)


@seldom
def release(c: Record, k: Record, s: int, now: int) -> None:
    """What stopped it from outside is over."""
    k.s_held[s] -= 1
    k.s_trouble[s] -= 1
    go_on(c, k, s, now)

"""Duties: who answers a call, the way there, the work, and what is restored when it ends."""

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_FAILED,
    A_IDLE,
    A_IN_REPAIR,
    A_ON_DUTY,
    A_STOPPED,
    A_TRAVELLING,
    CALLS,
    EMPTY,
    ENDS_CHANGE,
    ENDS_FAULT,
    ENDS_MISS,
    ENDS_NOTHING,
    ENDS_WEAR,
    HOLDS_ARM,
    HOLDS_STATION,
    IDLE,
    LOG_BEGINS,
    LOG_ENDS,
    NEVER,
    ON_DUTY,
    PARTS,
    PROCESS,
    S_SETUP,
    STOCK,
    TO_DUTY,
)
from millhand.solvers.kernel.events.books import enter_attendant, enter_way, note, show, stock_changes
from millhand.solvers.kernel.events.calls import due_of, set_due
from millhand.solvers.kernel.events.choice import free_claims
from millhand.solvers.kernel.events.draws import drawn_steps
from millhand.solvers.kernel.events.faults import hold
from millhand.solvers.kernel.events.halting import change_speed, halt, halted_as, put_off, thaw
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.machines import end_fault, go_on, release, renew
from millhand.solvers.kernel.events.stocks import is_shut
from millhand.solvers.kernel.events.tracks import may_set_out
from millhand.solvers.kernel.events.traits import (
    has_halts,
    has_lots,
    has_rails,
    has_uses,
    has_windows,
    is_halted,
    logs,
    may_stand,
)
from millhand.solvers.kernel.events.visits import begin_visit
from millhand.solvers.kernel.events.ways import remember_way, way_steps


@inner
def duty_place(c: Record, k: Record, slot: int, a: int) -> int:
    """Where a call is answered: the duty's place, else the caller's station, else where the attendant stands."""
    d, owner = c.l_duty[slot], c.l_owner[slot]
    if c.d_place[d] >= 0:
        return c.d_place[d]
    if 0 <= owner < c.stations:
        return c.s_place[owner]
    return k.a_place[a]


@seldom
def best_call(c: Record, k: Record, a: int, now: int) -> tuple[int, int]:
    """The slot of the call that the attendant should answer now (-1 none), and when else to look again."""
    best_priority, best_since, best_slot, again = NEVER, NEVER, -1, NEVER
    for x in range(c.answer_from[a], c.answer_to[a]):
        slot = c.answer[x]
        if not k.l_waiting[slot]:
            continue
        d = c.l_duty[slot]
        if c.a_hands[a] - k.a_holds[a] < c.d_needs[d]:
            continue
        priority, since = c.d_priority[d], k.l_since[slot]
        if priority > best_priority or (priority == best_priority and since >= best_since):
            continue
        place = duty_place(c, k, slot, a)
        if place != k.a_place[a] and k.l_ready[slot] > now:
            leave = k.l_ready[slot] - max(0, way_steps(c, k, a, place))
            if leave > now:
                again = min(again, leave)
                continue
        best_priority, best_since, best_slot = priority, since, slot
    return best_slot, again


@seldom
def take_call(c: Record, k: Record, a: int, now: int) -> bool:
    """Answer the first call, if there is one; otherwise be woken when the next response time is over."""
    slot, again = best_call(c, k, a, now)
    if slot < 0:
        set_due(k, a, again)
        return False
    k.a_in_turn[a] = 0
    answers(c, k, a, slot, duty_place(c, k, slot, a), now)
    return True


@seldom
def answers(c: Record, k: Record, a: int, slot: int, place: int, now: int) -> None:
    """Go where the call is answered, and begin there; or wait for the rail, and the call for whoever does."""
    way = max(0, way_steps(c, k, a, place))
    k.a_waits_since[a] = -1
    if has_rails(c) and c.tracks and way > 0 and c.a_track[a] >= 0 and not may_set_out(c, k, a, place, way, now):
        return
    free_claims(c, k, a)
    k.l_waiting[slot] -= 1
    k.waiting_calls -= 1
    k.l_serving[slot] += 1
    k.a_slot[a] = slot
    k.a_last[a] = -1
    if (way == 0 and k.l_ready[slot] <= now) or place == k.a_place[a]:
        k.a_place[a] = place
        begin_duty(c, k, a, now)
        return
    arrival = max(now + way, k.l_ready[slot])
    remember_way(c, k, a, place)
    k.a_place[a] = place
    k.a_mode[a] = TO_DUTY
    set_due(k, a, arrival)
    state = A_CARRYING if k.a_holds[a] else A_TRAVELLING
    k.a_way_state[a] = state
    enter_way(c, k, a, state, arrival - now, 0, A_IDLE, now)


@seldom
def give_back(k: Record, a: int) -> None:
    """Not begun before the shift ended: the call waits again."""
    slot = k.a_slot[a]
    k.l_waiting[slot] += 1
    k.waiting_calls += 1
    k.l_serving[slot] -= 1
    k.a_slot[a] = -1
    k.a_in_turn[a] = 0
    k.changed |= CALLS


@seldom
def begin_duty(c: Record, k: Record, a: int, now: int) -> None:
    """The work itself begins; what the duty holds is held from now on."""
    slot = k.a_slot[a]
    d, owner = c.l_duty[slot], c.l_owner[slot]
    takes = k.l_left[slot]
    if takes == 0:
        takes = drawn_steps(c, k, c.l_takes[slot])
    k.l_left[slot] = 0
    k.a_mode[a] = ON_DUTY
    if has_windows(c) and k.a_in_turn[a]:
        k.a_hold_began[a] = now
    set_due(k, a, now + takes)
    enter_attendant(c, k, a, A_ON_DUTY, now)
    k.d_time[d] -= now
    if logs(k):
        note(c, k, now, LOG_BEGINS + d, a, owner)
    serve(c, k, slot, True, now)
    stand_in_the_way(c, k, a, d, now)


@inner
def stand_in_the_way(c: Record, k: Record, a: int, d: int, now: int) -> None:
    """Arms that the duty holds or whose zone the person enters."""
    if has_halts(c) and c.d_holds[d] == HOLDS_ARM:
        for other in range(c.attendants):
            if c.a_arm[other] and other != a:
                halt(c, k, other, A_STOPPED, now)
    for x in range(c.zone_from[d], c.zone_to[d] if has_halts(c) else c.zone_from[d]):
        zone(c, k, x, 1, now)


@inner
def step_back(c: Record, k: Record, a: int, d: int, now: int) -> None:
    """What stood because of the duty goes on."""
    if has_halts(c) and c.d_holds[d] == HOLDS_ARM:
        for other in range(c.attendants):
            if c.a_arm[other] and other != a:
                thaw(c, k, other, now)
    for x in range(c.zone_from[d], c.zone_to[d] if has_halts(c) else c.zone_from[d]):
        zone(c, k, x, -1, now)


@seldom
def interrupted(c: Record, k: Record, a: int, now: int) -> bool:
    """Leave a duty that may be interrupted for a call of higher priority; its rest waits as a call."""
    slot = k.a_slot[a]
    d = c.l_duty[slot]
    if not c.d_interruptible[d]:
        return False
    other, _ = best_call(c, k, a, now)
    if other < 0 or c.d_priority[c.l_duty[other]] >= c.d_priority[d]:
        return False
    k.l_left[slot] = max(1, due_of(k, a) - now)
    k.d_time[d] += now
    serve(c, k, slot, False, now)
    step_back(c, k, a, d, now)
    give_back(k, a)
    return True


@seldom
def serve(c: Record, k: Record, slot: int, begins: bool, now: int) -> None:
    """The caller while somebody is at it: in repair, or held."""
    kind, owner, what = c.l_kind[slot], c.l_owner[slot], c.l_what[slot]
    broken = kind == ENDS_FAULT or (kind == ENDS_WEAR and k.u_worn_out[what] > 0)
    if broken and (not has_halts(c) or owner < c.stations):
        k.s_served[owner] = begins
        if c.s_kind[owner] == PROCESS:
            show(c, k, owner, now)
    elif broken:
        halted_as(c, k, owner - c.stations, A_IN_REPAIR if begins else A_FAILED, now)
    elif kind == ENDS_MISS:
        enter_attendant(c, k, owner - c.stations, A_IN_REPAIR if begins else A_FAILED, now)
    elif not has_halts(c):
        return
    elif kind == ENDS_CHANGE or (0 <= owner < c.stations and c.d_holds[c.l_duty[slot]] == HOLDS_STATION):
        if begins:
            hold(c, k, owner, S_SETUP, now)
        else:
            release(c, k, owner, now)


@inner
def zone(c: Record, k: Record, x: int, more: int, now: int) -> None:
    """A person steps into a zone (1) or out of it (-1)."""
    other = c.zone_attendant[x]
    if c.zone_slow[x]:
        change_speed(c, k, other, more, now)
    elif more > 0:
        halt(c, k, other, A_STOPPED, now)
    else:
        thaw(c, k, other, now)


@seldom
def end_duty(c: Record, k: Record, a: int, now: int) -> None:
    """The work is done: what was called for is in order again."""
    slot = k.a_slot[a]
    d = c.l_duty[slot]
    k.a_slot[a] = -1
    k.l_serving[slot] -= 1
    k.d_time[d] += now
    k.d_ended[d] += 1
    k.changed |= PARTS | CALLS
    if logs(k):
        note(c, k, now, LOG_ENDS + d, a, c.l_owner[slot])
    step_back(c, k, a, d, now)
    end_call(c, k, slot, now)
    for x in range(c.restore_from[d], c.restore_to[d]):
        restore(c, k, c.restore[x], c.restore_full[x], now)


@inner
def end_call(c: Record, k: Record, slot: int, now: int) -> None:
    """End the fault, the wear, the miss or the changeover that called."""
    kind, owner, what = c.l_kind[slot], c.l_owner[slot], c.l_what[slot]
    if kind == ENDS_FAULT:
        end_fault(c, k, what, now)
    elif kind == ENDS_WEAR:
        if k.u_worn_out[what]:
            if owner < c.stations:
                k.s_served[owner] = 0
        else:
            serve(c, k, slot, False, now)
        renew(c, k, what, now)
    elif kind == ENDS_MISS:
        stuck = owner - c.stations
        at = k.a_source[stuck] if k.a_source[stuck] >= 0 else k.a_target[stuck]
        if may_stand(c, at) and is_shut(c, k, at, now):  # it chooses anew as soon as it is woken
            k.a_mode[stuck] = IDLE
            return
        begin_visit(c, k, stuck, at, 0, now)
        if is_halted(c, k, stuck):  # stopped for another reason meanwhile
            put_off(c, k, stuck, now)
    elif has_lots(c) and kind == ENDS_CHANGE:
        k.s_family[owner] = k.s_next_family[owner]
        k.s_next_family[owner] = -1
        serve(c, k, slot, False, now)
    elif kind == ENDS_NOTHING:
        serve(c, k, slot, False, now)


@seldom
def restore(c: Record, k: Record, s: int, full: int, now: int) -> None:
    """A presenter is full or an outfeed empty again; loads that wait for pieces of it may begin."""
    capacity = c.s_capacity[s]
    if capacity < 0:
        return
    before = k.s_stock[s]
    stock_changes(c, k, s, (capacity if full else 0) - before, now)
    k.changed |= STOCK
    if has_uses(c) and c.any_uses:
        for other in range(c.stations):
            waits = c.s_kind[other] == PROCESS and k.s_mode[other] == EMPTY and k.s_inside[other] == c.s_batch[other]
            if waits:
                go_on(c, k, other, now)

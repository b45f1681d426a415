"""Duties: who answers a call, the way there, the work, and what is restored when it ends."""

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_FAILED,
    A_IDLE,
    A_IN_REPAIR,
    A_ON_DUTY,
    A_STOPPED,
    A_TRAVELLING,
    ENDS_FAULT,
    ENDS_MISS,
    ENDS_NOTHING,
    ENDS_WEAR,
    HOLDS_ARM,
    HOLDS_STATION,
    NEVER,
    ON_DUTY,
    S_SETUP,
    SUPPLY,
    TO_DUTY,
)
from tests.twin.books import enter_attendant, enter_phases
from tests.twin.calls import note
from tests.twin.chance import drawn_steps
from tests.twin.choice import free_claims
from tests.twin.flags import CALLS_CHANGED, DRY, PARTS_CHANGED, STOCK_CHANGED, WAITING_CALLS
from tests.twin.halting import change_speed, halt, halted_as, put_off, thaw
from tests.twin.machines import end_fault, hold, release, renew, show
from tests.twin.state import Run
from tests.twin.visits import begin_visit, remember_way, way_steps


def duty_place(k: Run, slot: int, a: int) -> int:
    """Where a call is answered: the duty's place, else the caller's station, else where the attendant stands."""
    d, owner = k.c.slots.duty[slot], k.c.slots.owner[slot]
    if k.c.duties.place[d] >= 0:
        return k.c.duties.place[d]
    if 0 <= owner < k.c.size.stations:
        return k.c.stations.place[owner]
    return k.at.place[a]


def best_call(k: Run, a: int, now: int) -> tuple[int, int]:
    """The slot of the call that the attendant should answer now (-1 none), and when else to look again."""
    duties, calls, at = k.c.duties, k.calls, k.at
    best, best_slot, again = (NEVER, NEVER), -1, NEVER
    for which in range(k.c.attendants.slot_from[a], k.c.attendants.slot_to[a]):
        slot = k.c.attendants.slot[which]
        if not calls.waiting[slot]:
            continue
        d = k.c.slots.duty[slot]
        if k.c.attendants.hands[a] - at.holds[a] < duties.needs[d]:
            continue
        found = (duties.priority[d], calls.since[slot])
        if found >= best:
            continue
        place = duty_place(k, slot, a)
        if place != at.place[a] and calls.ready[slot] > now:
            leave = calls.ready[slot] - max(0, way_steps(k, a, place))
            if leave > now:
                again = min(again, leave)
                continue
        best, best_slot = found, slot
    return best_slot, again


def take_call(k: Run, a: int, now: int) -> bool:
    """Answer the first call, if there is one; otherwise be woken when the next response time is over."""
    slot, again = best_call(k, a, now)
    if slot < 0:
        k.times[a] = again
        return False
    free_claims(k, a)
    k.calls.waiting[slot] -= 1
    k.flags[WAITING_CALLS] -= 1
    k.calls.serving[slot] += 1
    place = duty_place(k, slot, a)
    k.at.slot[a] = slot
    way = max(0, way_steps(k, a, place))
    k.at.last[a] = -1
    if (way == 0 and k.calls.ready[slot] <= now) or place == k.at.place[a]:
        begin_duty(k, a, now)
        return True
    arrival = max(now + way, k.calls.ready[slot])
    remember_way(k, a, place)
    k.at.place[a] = place
    k.at.mode[a] = TO_DUTY
    k.times[a] = arrival
    state = A_CARRYING if k.at.holds[a] else A_TRAVELLING
    k.by.way_state[a] = state
    enter_phases(k, a, (state, arrival - now), (state, 0), (A_IDLE, now))
    return True


def give_back(k: Run, a: int) -> None:
    """Not begun before the shift ended: the call waits again."""
    slot = k.at.slot[a]
    k.calls.waiting[slot] += 1
    k.flags[WAITING_CALLS] += 1
    k.calls.serving[slot] -= 1
    k.at.slot[a] = -1
    k.flags[CALLS_CHANGED] = 1


def begin_duty(k: Run, a: int, now: int) -> None:
    """The work itself begins; what the duty holds is held from now on."""
    slot = k.at.slot[a]
    d, owner = k.c.slots.duty[slot], k.c.slots.owner[slot]
    takes = k.calls.left[slot] or drawn_steps(k, k.c.slots.takes[slot], now)
    k.calls.left[slot] = 0
    k.at.mode[a] = ON_DUTY
    k.times[a] = now + takes
    enter_attendant(k, a, A_ON_DUTY, now)
    k.books.duty_time[d] -= now
    if k.logging:
        note(k, now, ("begins " + k.c.duty_names[d], a, owner if owner < k.c.size.stations else -1))
    _serve(k, slot, True, now)
    _stand_in_the_way(k, a, d, now)


def _stand_in_the_way(k: Run, a: int, d: int, now: int) -> None:
    """Arms that the duty holds or whose zone the person enters."""
    duties = k.c.duties
    if duties.holds[d] == HOLDS_ARM:
        for other in range(k.c.size.attendants):
            if k.c.attendants.arm[other] and other != a:
                halt(k, other, A_STOPPED, now)
    for at in range(duties.zone_from[d], duties.zone_to[d]):
        _zone(k, at, 1, now)


def _step_back(k: Run, a: int, d: int, now: int) -> None:
    """What stood because of the duty goes on."""
    duties = k.c.duties
    if duties.holds[d] == HOLDS_ARM:
        for other in range(k.c.size.attendants):
            if k.c.attendants.arm[other] and other != a:
                thaw(k, other, now)
    for at in range(duties.zone_from[d], duties.zone_to[d]):
        _zone(k, at, -1, now)


def interrupted(k: Run, a: int, now: int) -> bool:
    """Leave a duty that may be interrupted for a call of higher priority; its rest waits as a call."""
    slot = k.at.slot[a]
    d = k.c.slots.duty[slot]
    if not k.c.duties.interruptible[d]:
        return False
    other = best_call(k, a, now)[0]
    if other < 0 or k.c.duties.priority[k.c.slots.duty[other]] >= k.c.duties.priority[d]:
        return False
    k.calls.left[slot] = max(1, k.times[a] - now)
    k.books.duty_time[d] += now
    _serve(k, slot, False, now)
    _step_back(k, a, d, now)
    give_back(k, a)
    return True


def _serve(k: Run, slot: int, begins: bool, now: int) -> None:
    """The caller while somebody is at it: in repair, or held."""
    duties, stations = k.c.duties, k.c.size.stations
    kind, owner, what = k.c.slots.kind[slot], k.c.slots.owner[slot], k.c.slots.what[slot]
    broken = kind == ENDS_FAULT or (kind == ENDS_WEAR and k.calls.worn_out[what])
    if broken and owner < stations:
        k.st.served[owner] = int(begins)
        show(k, owner, now)
    elif broken:
        halted_as(k, owner - stations, A_IN_REPAIR if begins else A_FAILED, now)
    elif kind == ENDS_MISS:
        enter_attendant(k, owner - stations, A_IN_REPAIR if begins else A_FAILED, now)
    elif 0 <= owner < stations and duties.holds[k.c.slots.duty[slot]] == HOLDS_STATION:
        if begins:
            hold(k, owner, S_SETUP, now)
        else:
            release(k, owner, now)


def _zone(k: Run, at: int, more: int, now: int) -> None:
    """A person steps into a zone (1) or out of it (-1)."""
    other = k.c.duties.zone_attendant[at]
    if k.c.duties.zone_slow[at]:
        change_speed(k, other, more, now)
    elif more > 0:
        halt(k, other, A_STOPPED, now)
    else:
        thaw(k, other, now)


def end_duty(k: Run, a: int, now: int) -> None:
    """The work is done: what was called for is in order again."""
    duties, slot = k.c.duties, k.at.slot[a]
    d, kind, owner, what = (
        column[slot] for column in (k.c.slots.duty, k.c.slots.kind, k.c.slots.owner, k.c.slots.what)
    )
    k.at.slot[a] = -1
    k.calls.serving[slot] -= 1
    k.books.duty_time[d] += now
    k.books.duty_ended[d] += 1
    k.flags[PARTS_CHANGED] = k.flags[CALLS_CHANGED] = 1
    if k.logging:
        note(k, now, ("ends " + k.c.duty_names[d], a, owner if owner < k.c.size.stations else -1))
    _step_back(k, a, d, now)
    _end_call(k, (kind, owner, what, slot), now)
    for at in range(duties.restore_from[d], duties.restore_to[d]):
        restore(k, duties.restore[at], duties.restore_full[at], now)


def _end_call(k: Run, call: tuple[int, int, int, int], now: int) -> None:
    """End the fault, the wear or the miss that called."""
    kind, owner, what, slot = call
    stations = k.c.size.stations
    if kind == ENDS_FAULT:
        end_fault(k, what, now)
    elif kind == ENDS_WEAR:
        if k.calls.worn_out[what]:
            if owner < stations:
                k.st.served[owner] = 0
        else:
            _serve(k, slot, False, now)
        renew(k, what, now)
    elif kind == ENDS_MISS:
        stuck = owner - stations
        begin_visit(k, stuck, k.at.source[stuck] if k.at.source[stuck] >= 0 else k.at.target[stuck], 0, now)
        if k.at.halted[stuck]:
            put_off(k, stuck, now)
    elif kind == ENDS_NOTHING:
        _serve(k, slot, False, now)


def restore(k: Run, s: int, full: int, now: int) -> None:
    """A presenter is full or an outfeed empty again."""
    capacity = k.c.stations.capacity[s]
    if capacity < 0:
        return
    before = k.st.stock[s]
    k.st.stock[s] = capacity if full else 0
    if k.c.stations.kind[s] == SUPPLY:
        k.flags[DRY] += (k.st.stock[s] == 0) - (before == 0)
    k.flags[STOCK_CHANGED] = 1

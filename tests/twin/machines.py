"""Process stations: loads that start, work, stop and finish; faults and wear."""

from millhand.solvers.kernel.codes import (
    A_FAILED,
    BUSY,
    CLOCK,
    DONE,
    EMPTY,
    HANDLED,
    LOAD,
    NEVER,
    PROCESS,
    S_FAILED,
    S_WORKING,
    TAIL,
    WARM,
    WORK,
)
from tests.twin.books import enter_station, station_state
from tests.twin.calls import call, note
from tests.twin.chance import drawn_steps, next_uniform
from tests.twin.flags import PARTS_CHANGED, STOCK_CHANGED
from tests.twin.halting import halt, thaw
from tests.twin.pieces import inspect, scrap
from tests.twin.state import Run


def show(k: Run, s: int, now: int) -> None:
    """Book the station's state anew."""
    enter_station(k, s, station_state(k, s), now)


def settle(k: Run, s: int, now: int) -> None:
    """Handling is over or trouble has ended: start a full load, else stand empty or done."""
    st, flags = k.st, k.flags
    flags[PARTS_CHANGED] = flags[STOCK_CHANGED] = 1
    if st.done[s]:
        st.mode[s], st.ready[s], st.end[s] = DONE, now, now
    else:
        st.mode[s], st.ready[s], st.end[s] = EMPTY, now, now
    faults = k.c.stations.fault_to[s] - k.c.stations.fault_from[s]
    if faults and come_due(k, s, now):
        return
    if st.inside[s] == k.c.stations.batch[s] and not st.done[s] and may_start(k, s, now):
        start_load(k, s, now)
    else:
        show(k, s, now)


def may_start(k: Run, s: int, now: int) -> bool:
    """Nothing keeps the station from being served or started; the end of an interval is exclusive."""
    if k.st.trouble[s]:
        return False
    calendar = k.c.stations.calendar[s]
    return calendar < 0 or k.times[k.calendar_at + calendar] != now


def start_load(k: Run, s: int, now: int) -> None:
    """Draw how long the load takes, warm up where it stood too long, and begin."""
    st, c = k.st, k.c
    g = k.pieces.step[st.piece[c.stations.piece_from[s]]]
    span = c.steps.time[g * c.size.stations + s]
    st.left[s] = drawn_steps(k, span, now) if span >= 0 else 0
    after = c.stations.warm_after[s]
    if after >= 0 and now - st.stood[s] >= after:
        st.mode[s], st.end[s] = WARM, now + c.stations.warm_takes[s] + st.left[s]
        k.times[k.station_at + s] = now + c.stations.warm_takes[s]
        show(k, s, now)
        return
    st.mode[s] = WORK
    brought = [
        f
        for f in range(c.stations.fault_from[s], c.stations.fault_to[s])
        if c.troubles.on[f] == LOAD and _load_fails(k, f, now)
    ]
    for f in brought[1:]:
        k.calls.fault_due[f] = 1
    if not brought:
        take_up_work(k, s, now)
        return
    st.since_work[s] = st.stood[s] = now
    fail(k, brought[0], now)


def _load_fails(k: Run, f: int, now: int) -> bool:
    """True where this load brings the fault."""
    if k.c.troubles.every[f] < 0:
        return next_uniform(k, k.c.troubles.stream[f], now) < k.c.troubles.p[f]
    k.calls.fault_left[f] -= 1
    return k.calls.fault_left[f] <= 0


def take_up_work(k: Run, s: int, now: int) -> None:
    """Work or go on working: whether the load ends or a fault comes before is settled here. A fault that falls on the
    end of a load counts for the next one."""
    st, c = k.st, k.c
    st.mode[s] = WORK
    left = st.left[s]
    st.since_work[s], st.end[s] = now, now + left
    ends = left
    for f in range(c.stations.fault_from[s], c.stations.fault_to[s]):
        if c.troubles.on[f] == BUSY and k.calls.fault_left[f] < ends:
            ends = k.calls.fault_left[f]
    k.times[k.station_at + s] = now + ends
    enter_station(k, s, S_WORKING, now)


def stop_work(k: Run, s: int, now: int) -> None:
    """Book the work done so far to the load, the faults that count on it, and wear."""
    st, c = k.st, k.c
    worked = now - st.since_work[s]
    st.left[s] -= worked
    st.since_work[s] = st.stood[s] = now
    k.times[k.station_at + s] = NEVER
    for f in range(c.stations.fault_from[s], c.stations.fault_to[s]):
        if c.troubles.on[f] == BUSY:
            k.calls.fault_left[f] -= worked
    for w in range(c.stations.wear_from[s], c.stations.wear_to[s]):
        if not c.troubles.wear_loads[w]:
            k.calls.worn[w] += worked


def station_event(k: Run, s: int, now: int) -> None:
    """A tail, a warm-up, a load or the work up to a fault is over."""
    mode = k.st.mode[s]
    k.times[k.station_at + s] = NEVER
    if mode == TAIL:
        settle(k, s, now)
    elif mode == WARM:
        take_up_work(k, s, now)
    elif mode == WORK:
        stop_work(k, s, now)
        c = k.c
        for f in range(c.stations.fault_from[s], c.stations.fault_to[s]):
            if c.troubles.on[f] == BUSY and k.calls.fault_left[f] == 0 and k.st.left[s] > 0:
                fail(k, f, now)
                return
        finish(k, s, now)


def finish(k: Run, s: int, now: int) -> None:
    """The load is done: quality, gauge, wear."""
    st, c = k.st, k.c
    k.flags[PARTS_CHANGED] = 1
    st.mode[s], st.ready[s], st.end[s] = DONE, now, now
    base, kept = c.stations.piece_from[s], 0
    for i in range(st.inside[s]):
        piece = st.piece[base + i]
        if not inspect(k, piece, s, now):
            st.piece[base + kept] = piece
            kept += 1
    st.inside[s] = st.done[s] = kept
    if k.logging:
        note(k, now, ("finished", -1, s))
    for w in range(c.stations.wear_from[s], c.stations.wear_to[s]):
        k.calls.worn[w] += c.troubles.wear_loads[w]
        if k.calls.worn[w] >= c.troubles.wear_limit[w]:
            wear_out(k, w, now)
    if kept:
        show(k, s, now)
    else:
        settle(k, s, now)


def wear_out(k: Run, w: int, now: int) -> None:
    """The limit is reached: take a spare, else stand until somebody renews it."""
    calls, owner = k.calls, k.c.troubles.wear_owner[w]
    if calls.spares[w] > 0:
        calls.spares[w] -= 1
        calls.worn[w] = 0
        return
    if calls.worn_out[w]:
        return
    calls.worn_out[w] = 1
    if owner < k.c.size.stations:
        k.st.worn[owner] += 1
        k.st.trouble[owner] += 1
    else:
        halt(k, owner - k.c.size.stations, A_FAILED, now)
    call(k, k.c.troubles.wear_slot[w], now)


def renew(k: Run, w: int, now: int) -> None:
    """As new, all spares there."""
    calls, owner = k.calls, k.c.troubles.wear_owner[w]
    calls.worn[w], calls.spares[w] = 0, k.c.troubles.wear_spares[w]
    if not calls.worn_out[w]:
        return
    calls.worn_out[w] = 0
    if owner < k.c.size.stations:
        k.st.worn[owner] -= 1
        k.st.trouble[owner] -= 1
        go_on(k, owner, now)
    else:
        thaw(k, owner - k.c.size.stations, now)


def fault_event(k: Run, f: int, now: int) -> None:
    """A fault's own time: it ends by itself, or its clock rings."""
    k.times[k.fault_at + f] = NEVER
    if k.calls.fault_open[f]:
        end_fault(k, f, now)
        return
    owner = k.c.troubles.owner[f]
    if owner < k.c.size.stations and (k.st.mode[owner] in (HANDLED, TAIL) or k.st.down[owner]):
        k.calls.fault_due[f] = 1
        return
    fail(k, f, now)


def come_due(k: Run, s: int, now: int) -> bool:
    """Faults whose clock rang while the station could not stop come now; True where one did."""
    for f in range(k.c.stations.fault_from[s], k.c.stations.fault_to[s]):
        if k.calls.fault_due[f] and not k.st.down[s]:
            k.calls.fault_due[f] = 0
            fail(k, f, now)
            return True
    return False


def fail(k: Run, f: int, now: int) -> None:
    """A fault begins."""
    c, owner = k.c, k.c.troubles.owner[f]
    k.calls.fault_open[f] = 1
    k.flags[PARTS_CHANGED] = k.flags[STOCK_CHANGED] = 1
    if owner < c.size.stations:
        _station_fails(k, owner, now)
        if not c.troubles.keeps[f] and not k.st.done[owner]:
            _lose_load(k, owner, now)
        show(k, owner, now)
    else:
        halt(k, owner - c.size.stations, A_FAILED, now)
    if k.logging:
        note(k, now, ("fails", owner - c.size.stations, -1) if owner >= c.size.stations else ("fails", -1, owner))
    for other in c.troubles.stop[c.troubles.stop_from[f] : c.troubles.stop_to[f]]:
        if other < c.size.stations:
            hold(k, other, S_FAILED, now)
        else:
            halt(k, other - c.size.stations, A_FAILED, now)
    if c.troubles.slot[f] >= 0:
        call(k, c.troubles.slot[f], now)
    else:
        k.times[k.fault_at + f] = now + drawn_steps(k, c.troubles.self_end[f], now)


def _station_fails(k: Run, s: int, now: int) -> None:
    """The station stands from now on."""
    pause(k, s, now)
    k.st.down[s] += 1
    k.st.trouble[s] += 1
    k.st.end[s] = NEVER


def _lose_load(k: Run, s: int, now: int) -> None:
    """The fault spoils what is inside."""
    for i in range(k.st.inside[s]):
        scrap(k, k.st.piece[k.c.stations.piece_from[s] + i], s, now)
    k.st.inside[s] = k.st.left[s] = 0
    k.st.mode[s], k.st.ready[s] = EMPTY, now


def end_fault(k: Run, f: int, now: int) -> None:
    """The fault is over: what it stopped goes on, and the next one is drawn."""
    c, owner = k.c, k.c.troubles.owner[f]
    k.calls.fault_open[f] = 0
    draw_fault(k, f, now)
    if owner < c.size.stations:
        k.st.down[owner] -= 1
        k.st.trouble[owner] -= 1
        k.st.served[owner] = 0
        go_on(k, owner, now)
    else:
        thaw(k, owner - c.size.stations, now)
    for other in c.troubles.stop[c.troubles.stop_from[f] : c.troubles.stop_to[f]]:
        if other < c.size.stations:
            release(k, other, now)
        else:
            thaw(k, other - c.size.stations, now)


def draw_fault(k: Run, f: int, now: int) -> None:
    """When the fault comes next: busy steps, loads, or a time of the clock."""
    span = k.c.troubles.every[f]
    if span < 0:
        return
    drawn = drawn_steps(k, span, now)
    if k.c.troubles.on[f] == CLOCK:
        k.times[k.fault_at + f] = now + drawn
    else:
        k.calls.fault_left[f] = max(1, drawn) if k.c.troubles.on[f] == LOAD else drawn


def pause(k: Run, s: int, now: int) -> None:
    """Work or warming that is under way stops; what is left is kept."""
    st = k.st
    if k.times[k.station_at + s] == NEVER:
        return
    if st.mode[s] == WORK:
        stop_work(k, s, now)
    elif st.mode[s] == WARM:
        st.since_work[s] = k.times[k.station_at + s] - now
        k.times[k.station_at + s] = NEVER


def go_on(k: Run, s: int, now: int) -> None:
    """One trouble less: where none that stops work is left, go on with what was stopped or start what waits."""
    st = k.st
    k.flags[PARTS_CHANGED] = k.flags[STOCK_CHANGED] = 1
    if k.c.stations.kind[s] != PROCESS:
        return
    if st.down[s] or st.held[s] or st.worn[s]:
        show(k, s, now)
    elif come_due(k, s, now):
        return
    elif st.mode[s] == WORK:
        if k.times[k.station_at + s] == NEVER:
            take_up_work(k, s, now)
    elif st.mode[s] == WARM:
        if k.times[k.station_at + s] == NEVER:
            k.times[k.station_at + s] = now + st.since_work[s]
            st.end[s] = now + st.since_work[s] + st.left[s]
        show(k, s, now)
    elif st.mode[s] == EMPTY and st.inside[s] == k.c.stations.batch[s] and may_start(k, s, now):
        start_load(k, s, now)
    else:
        show(k, s, now)


def hold(k: Run, s: int, as_state: int, now: int) -> None:
    """Stopped from outside: another's fault, a duty, the end of its hours."""
    if k.c.stations.kind[s] == PROCESS:
        pause(k, s, now)
    k.st.held[s] += 1
    k.st.trouble[s] += 1
    k.st.held_as[s] = as_state
    k.flags[PARTS_CHANGED] = 1
    if k.c.stations.kind[s] == PROCESS:
        show(k, s, now)


def release(k: Run, s: int, now: int) -> None:
    """What stopped it from outside is over."""
    k.st.held[s] -= 1
    k.st.trouble[s] -= 1
    go_on(k, s, now)

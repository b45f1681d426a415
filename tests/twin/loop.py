"""The event loop: the next event of all slots, the function of its kind, then whoever may go on because of it."""

from millhand.errors import ToolError
from millhand.solvers.kernel.codes import (
    A_IDLE,
    A_WAITING,
    AWAY,
    DONE,
    EMPTY,
    HANDLED,
    IDLE,
    MOVE,
    NEVER,
    ON_DUTY,
    PICK,
    PLACE,
    PROCESS,
    STAY,
    STORE,
    SUPPLY,
    TAIL,
    TO_DUTY,
    VISIT,
    WAIT,
    WARM,
    WORK,
)
from tests.twin.books import close_attendant, enter_attendant, next_step, refresh_standing
from tests.twin.calls import clock_rings, level_fell, next_ring
from tests.twin.choice import ahead, deliver, fetch, free_claims, give_up_target, may_choose, more_here
from tests.twin.duties import begin_duty, best_call, end_duty, give_back, interrupted, take_call
from tests.twin.flags import (
    CALLS_CHANGED,
    DRY,
    EVENTS,
    HERE_SINCE,
    HERE_TIME,
    NOW,
    PARTS_CHANGED,
    PEOPLE_HERE,
    STOCK_CHANGED,
    WAITING_CALLS,
)
from tests.twin.flow import self_moves
from tests.twin.guards import (
    EVENTS_AT_ONE_TIME,
    EVENTS_PER_SIMULATED_HOUR,
    check_deadlock,
    stop_endless,
    who_waits,
)
from tests.twin.hours import calendar_at, calendar_event, count_people, goes_away, is_here, station_hours
from tests.twin.machines import draw_fault, fault_event, show, station_event
from tests.twin.state import STATION_KINDS_OF_TIME, Run
from tests.twin.visits import begin_visit, end_visit, stays


def run_to(k: Run, horizon: int) -> None:
    """Simulate from time 0 up to the horizon; events at the horizon itself do not count."""
    begin(k)
    times, flags = k.times, k.flags
    self_moving = any(k.c.stations.self_in) or any(k.c.stations.self_out)
    before, at_once = -1, 0
    most = EVENTS_AT_ONE_TIME + EVENTS_PER_SIMULATED_HOUR * (horizon * k.c.grid_s / 3600 + 1)
    while True:
        now = min(times)
        if now >= horizon:
            break
        if now == before:
            at_once += 1
            if at_once > EVENTS_AT_ONE_TIME:
                stop_endless(k, now)
        else:
            before, at_once = now, 0
        flags[NOW] = now
        flags[EVENTS] += 1
        slot = times.index(now)
        event(k, slot, now)
        if self_moving and flags[PARTS_CHANGED]:
            self_moves(k, now)
        if flags[PARTS_CHANGED] or flags[CALLS_CHANGED]:
            wake(k, now)
        if flags[STOCK_CHANGED]:
            flags[STOCK_CHANGED] = 0
            refresh_standing(k, now)
        if slot >= k.calendar_at:
            check_deadlock(k, now)
        if flags[EVENTS] > most:
            raise ToolError(f"More than {most:.0f} events. {who_waits(k)}", code="no_progress")
    close(k, horizon)


def begin(k: Run) -> None:
    """Time 0: first faults, clocks and calendars; then everybody chooses."""
    c, times = k.c, k.times
    k.flags[DRY] = sum(c.stations.kind[s] == SUPPLY and c.stations.capacity[s] == 0 for s in range(c.size.stations))
    for f in range(len(c.troubles.owner)):
        draw_fault(k, f, 0)
    for clock in range(len(c.triggers.clock_duty)):
        times[k.duty_at + clock] = next_ring(k, clock, -1 if c.triggers.clock_span[clock] < 0 else 0)
    for a in range(c.size.attendants):
        k.at.on[a] = int(c.attendants.calendar[a] < 0 or calendar_at(k, c.attendants.calendar[a], 0)[0])
        if k.at.on[a] and not c.attendants.arm[a]:
            count_people(k, 1, 0)
    if k.flags[PEOPLE_HERE] == 0 and 0 in c.attendants.arm:
        k.calls.away_open[0] = 1
    for calendar in range(len(c.calendars.period)):
        on, times[k.calendar_at + calendar], _ = calendar_at(k, calendar, 0)
        for s in range(c.size.stations):
            if c.stations.calendar[s] == calendar and not on:
                station_hours(k, s, False, 0)
    for s in range(c.size.stations):
        if c.stations.kind[s] in (SUPPLY, STORE) and c.stations.capacity[s] >= 0:
            level_fell(k, s, 0)
        if c.stations.kind[s] == PROCESS:
            show(k, s, 0)
    k.flags[PARTS_CHANGED] = k.flags[CALLS_CHANGED] = 1
    if any(c.stations.self_in):
        self_moves(k, 0)
    wake(k, 0)
    k.flags[STOCK_CHANGED] = 0
    refresh_standing(k, 0)


def event(k: Run, slot: int, now: int) -> None:
    """Hand one event to the function of its kind."""
    if slot < k.duty_at:
        attendant_event(k, slot, now)
    elif slot < k.station_at:
        clock_rings(k, slot - k.duty_at, now)
    elif slot < k.fault_at:
        station_event(k, slot - k.station_at, now)
    elif slot < k.calendar_at:
        fault_event(k, slot - k.fault_at, now)
    else:
        calendar_event(k, slot - k.calendar_at, now)


def attendant_event(k: Run, a: int, now: int) -> None:
    """An attendant has arrived, finished a visit or a duty, or should look at the calls again."""
    at = k.at
    mode = at.mode[a]
    if mode == VISIT:
        s = at.source[a] if at.visit[a] % 3 == PICK else at.target[a]
        k.times[a] = NEVER
        if not end_visit(k, a, now):
            if k.c.work.miss_slot[at.visit[a] // 3] < 0:
                decide(k, a, now)
            return
        if at.visit[a] % 3 != PICK and k.c.stations.attended[s]:
            stays(k, a, s, now)
        else:
            goes_on(k, a, now)
    elif mode == MOVE:
        at_station(k, a, now)
    elif mode == ON_DUTY:
        k.times[a] = NEVER
        end_duty(k, a, now)
        if at.mode[a] == ON_DUTY:
            goes_on(k, a, now)
    elif mode == TO_DUTY:
        if is_here(k, a, now):
            begin_duty(k, a, now)
        else:
            give_back(k, a)
            decide(k, a, now)
    else:
        k.times[a] = NEVER
        if mode in (IDLE, WAIT):
            decide(k, a, now)


def goes_on(k: Run, a: int, now: int) -> None:
    """What was under way is over: choose what comes next, at once or when nothing stops the attendant any more."""
    if k.at.halted[a]:
        k.at.mode[a] = IDLE
    else:
        decide(k, a, now)


def decide(k: Run, a: int, now: int) -> None:
    """Choose what comes next: a call, putting down, fetching, going ahead; else wait here."""
    at = k.at
    free_claims(k, a)
    at.mode[a] = IDLE
    k.times[a] = NEVER
    here = is_here(k, a, now)
    if not may_choose(k, a, here):
        goes_away(k, a, now)
        return
    if here and k.flags[WAITING_CALLS] and take_call(k, a, now):
        return
    if at.holds[a] and ((here and more_here(k, a, now)) or deliver(k, a, now)):
        return
    if here and at.holds[a] < k.c.attendants.hands[a] and fetch(k, a, now):
        return
    if here and ahead(k, a, now):
        return
    state = A_WAITING if at.holds[a] else A_IDLE
    if k.books.state[a] != state or k.books.until_second[a] or k.books.until_first[a]:
        enter_attendant(k, a, state, now)


def at_station(k: Run, a: int, now: int) -> None:
    """Arrived at a process station, or waiting there and something has changed: begin, wait on, or choose anew."""
    at, st = k.at, k.st
    kind = at.visit[a] % 3
    s = at.source[a] if kind == PICK else at.target[a]
    mode = st.mode[s]
    here = is_here(k, a, now)
    if st.trouble[s] or not may_choose(k, a, here):
        decide(k, a, now)
    elif (mode == DONE and kind != PLACE) or (mode == EMPTY and kind == PLACE and st.inside[s] < k.c.stations.batch[s]):
        begin_visit(k, a, s, 0, now)
    elif mode in (WORK, WARM, TAIL, HANDLED):
        if at.mode[a] != WAIT:
            at.mode[a] = WAIT
            k.times[a] = NEVER
            enter_attendant(k, a, A_WAITING, now)
            if k.flags[WAITING_CALLS]:
                k.flags[CALLS_CHANGED] = 1
    else:
        k.flags[PARTS_CHANGED] = 1
        decide(k, a, now)


def wake(k: Run, now: int) -> None:
    """Whoever waits looks again, in file order, until nobody's choice changes anything for another."""
    flags, at, who = k.flags, k.at, k.c.attendants
    while flags[PARTS_CHANGED] or flags[CALLS_CHANGED]:
        calls = flags[CALLS_CHANGED]
        flags[PARTS_CHANGED] = flags[CALLS_CHANGED] = 0
        for a in range(k.c.size.attendants):
            mode = at.mode[a]
            if mode == ON_DUTY and calls and not at.halted[a] and interrupted(k, a, now):
                decide(k, a, now)
                continue
            if mode in (VISIT, MOVE, ON_DUTY, TO_DUTY, AWAY) or at.halted[a]:
                continue
            if mode == IDLE:
                if calls or at.holds[a] or who.source_to[a] > who.source_from[a]:
                    decide(k, a, now)
            elif mode == WAIT:
                slot, k.times[a] = best_call(k, a, now) if flags[WAITING_CALLS] else (-1, NEVER)
                if slot >= 0 and is_here(k, a, now):
                    decide(k, a, now)
                else:
                    at_station(k, a, now)
            elif mode == STAY:
                _look_at_attended(k, a, now)


def _look_at_attended(k: Run, a: int, now: int) -> None:
    """Staying at an attended process: take the part out when it is done; leave when the station stands."""
    at, st, s = k.at, k.st, k.at.target[a]
    if st.trouble[s] or st.mode[s] == EMPTY:
        give_up_target(k, a)
        k.flags[PARTS_CHANGED] = 1
        decide(k, a, now)
    elif st.mode[s] == DONE:
        size = k.c.size
        part = k.c.steps.part[k.pieces.step[st.piece[k.c.stations.piece_from[s]]]]
        row = k.c.work.row_of[(a * size.stations + s) * size.parts + part]
        may = k.c.attendants
        next_to = a * size.steps + next_step(k, st.piece[k.c.stations.piece_from[s]])
        goes = k.c.work.option_from[next_to] < k.c.work.option_to[next_to]
        mine = s in may.source[may.source_from[a] : may.source_to[a]]
        if row < 0 or not (goes and mine and k.c.work.has[3 * row + PICK]) or at.holds[a] >= may.hands[a]:
            give_up_target(k, a)
            k.flags[PARTS_CHANGED] = 1
            decide(k, a, now)
            return
        give_up_target(k, a)
        at.source[a] = s
        st.claimed[s] += 1
        at.visit[a] = 3 * row + PICK
        begin_visit(k, a, s, 0, now)


def close(k: Run, horizon: int) -> None:
    """The end: what is under way is booked up to the horizon."""
    books = k.books
    for s in range(k.c.size.stations):
        old = books.station_state[s]
        books.station[s * STATION_KINDS_OF_TIME + old] += horizon - books.station_since[s]
        books.station_since[s] = horizon
    for a in range(k.c.size.attendants):
        close_attendant(k, a, horizon)
        if k.at.mode[a] == ON_DUTY:
            books.duty_time[k.c.slots.duty[k.at.slot[a]]] += horizon
    if k.flags[PEOPLE_HERE]:
        k.flags[HERE_TIME] += horizon - k.flags[HERE_SINCE]
    check_deadlock(k, horizon)

"""The event loop: the next event of all slots, the function of its kind, then whoever may go on because of it."""

from millhand.solvers.kernel.codes import (
    AT_ONCE,
    CALLS,
    IDLE,
    MOVE,
    NEVER,
    ON_DUTY,
    PARTS,
    PICK,
    PROCESS,
    SLOT_BITS,
    SLOT_MASK,
    STOCK,
    STOP_AT_ONCE,
    STOP_EVENTS,
    STOP_QUIET,
    STORE,
    SUPPLY,
    TO_DUTY,
    TURNS,
    VISIT,
    WAIT,
)
from millhand.solvers.kernel.events.books import close_attendant, refresh_standing, show
from millhand.solvers.kernel.events.calls import clock_rings, due_of, level_fell, next_ring, set_due, set_rare_due
from millhand.solvers.kernel.events.cycle import visit_done
from millhand.solvers.kernel.events.deciding import at_station, decide, goes_on, wake
from millhand.solvers.kernel.events.duties import begin_duty, end_duty, give_back
from millhand.solvers.kernel.events.entries import has_entries
from millhand.solvers.kernel.events.faults import draw_fault
from millhand.solvers.kernel.events.flow import self_moves
from millhand.solvers.kernel.events.hours import (
    absence_begins,
    calendar_at,
    calendar_event,
    count_people,
    is_here,
    station_hours,
)
from millhand.solvers.kernel.events.jit import Record, entry, inner, seldom
from millhand.solvers.kernel.events.machines import fault_event, station_event
from millhand.solvers.kernel.events.numbers import calendar_slot, clock_slot, fault_slot, kind_of, row_of, station_slot
from millhand.solvers.kernel.events.tending import may_tend, tend
from millhand.solvers.kernel.events.traits import (
    has_cycles,
    has_halts,
    has_self_moving,
    in_turn,
)
from millhand.solvers.kernel.events.unblocking import unblocks
from millhand.solvers.kernel.events.visits import end_visit, stays


@entry
def run_to(cells: Record, runs: Record, horizon: int) -> int:
    """The first cell and the first run of two arrays, which Python hands over much faster than single records."""
    return simulate_to(cells[0], runs[0], horizon)


@inner
def simulate_to(c: Record, k: Record, horizon: int) -> int:
    """Simulate on, up to the horizon; events at the horizon itself do not count.

    Comes back earlier with the reason in `k.stop` (codes.py): somebody has to take the log or the absences away, or to
    judge whether the cell is locked up; called again it goes on as if nothing had been.
    """
    if not k.begun:
        k.begun = 1
        begin(c, k)
    elif k.closed >= 0:
        reopen(c, k)
    now, slot = 0, 0
    while True:
        if k.changed:
            follow(c, k, now)
        if slot >= calendar_slot(c) and k.stop < STOP_QUIET and is_quiet(c, k):
            k.stop = STOP_QUIET  # also where a line was full just now: whoever takes the lines judges this too
        if k.stop:
            return 0
        if may_tend(c, k) and tend(c, k, horizon):
            now, slot = k.before, 0
            continue
        key = least(c, k)
        now, slot = key >> SLOT_BITS, key & SLOT_MASK
        if now >= horizon:
            close(c, k, horizon)
            return 1
        if now >= k.tomorrow:
            k.today = now // c.day
            k.tomorrow = (k.today + 1) * c.day
        count(k, now)
        event(c, k, slot, now)


@inner
def count(k: Record, now: int) -> None:
    """Count the event; too many, all in all or at one moment, end the run."""
    k.events += 1
    if now == k.before:
        k.at_once += 1
        if k.at_once > AT_ONCE:
            k.stop = STOP_AT_ONCE
    else:
        k.before = now
        k.at_once = 0
    if k.events > k.most_events:
        k.stop = STOP_EVENTS


@inner
def follow(c: Record, k: Record, now: int) -> None:
    """What an event has changed for others: parts that move by themselves, whoever waits, why stations stand."""
    if has_self_moving(c) and c.self_moving and k.changed & PARTS:
        self_moves(c, k, now)
    wake(c, k, now)
    if has_cycles(c) and c.cycles:
        follow_turns(c, k, now)
    stock = k.changed & STOCK
    k.changed = 0
    if stock:
        refresh_standing(c, k, now)


@seldom
def follow_turns(c: Record, k: Record, now: int) -> None:
    """Parts that waited for somebody to be so far come by themselves. Where nothing moves any more, since parts of the
    schedule were lost, all come that wait, and what nobody can lift is passed over; where that is of no use, somebody
    does one thing that is not in its turn."""
    while has_entries(c) and k.changed & TURNS:
        k.changed &= STOCK
        self_moves(c, k, now)
        wake(c, k, now)
    if is_quiet(c, k):
        k.freed = 1
        k.changed |= PARTS
        self_moves(c, k, now)
        wake(c, k, now)
        k.freed = 0
        if is_quiet(c, k):
            unblocks(c, k, now)


@inner
def least(c: Record, k: Record) -> int:
    """The key of the next event: its time, and below it the slot, so that the first of equal times comes first."""
    key = min(k.rare, k.soon)
    for a in range(len(c.a_arm)):
        key = min(key, k.due[a])
    return key


@seldom
def begin(c: Record, k: Record) -> None:
    """Time 0: first faults, clocks and calendars; then everybody chooses."""
    for f in range(c.faults):
        draw_fault(c, k, f, 0)
    for clock in range(c.clocks):
        set_rare_due(c, k, clock_slot(c) + clock, next_ring(c, k, clock, -1 if c.clock_span[clock] < 0 else 0))
    for a in range(c.attendants):
        e = c.a_calendar[a]
        here = True
        if e >= 0:
            here, _, _ = calendar_at(c, e, 0)
        k.a_on[a] = here
        if here and not c.a_arm[a]:
            count_people(c, k, 1, 0)
    if k.people_here == 0 and c.people:
        absence_begins(k)
    for e in range(c.calendars):
        on, change, _ = calendar_at(c, e, 0)
        set_rare_due(c, k, calendar_slot(c) + e, change)
        for s in range(c.stations):
            if c.s_calendar[s] == e and not on:
                station_hours(c, k, s, False, 0)
    for s in range(c.stations):
        if (c.s_kind[s] == SUPPLY or c.s_kind[s] == STORE) and c.s_capacity[s] >= 0:
            level_fell(c, k, s, 0)
        if c.s_kind[s] == PROCESS:
            show(c, k, s, 0)
    k.changed |= PARTS | CALLS
    k.changed |= STOCK


@inner
def event(c: Record, k: Record, slot: int, now: int) -> None:
    """Hand one event to the function of its kind."""
    if slot < clock_slot(c):
        attendant_event(c, k, slot, now)
    elif slot < station_slot(c):
        clock_rings(c, k, slot - clock_slot(c), now)
    elif slot < fault_slot(c):
        station_event(c, k, slot - station_slot(c), now)
    elif slot < calendar_slot(c):
        fault_event(c, k, slot - fault_slot(c), now)
    else:
        calendar_event(c, k, slot - calendar_slot(c), now)


@inner
def attendant_event(c: Record, k: Record, a: int, now: int) -> None:
    """An attendant has arrived, finished a visit or a duty, or should look at the calls again."""
    mode = k.a_mode[a]
    if mode == VISIT:
        visit_ends(c, k, a, now)
    elif mode == MOVE:
        if k.a_visit[a] >= 0:
            at_station(c, k, a, now)
        else:  # moved aside on a rail, or went where nothing is to be done yet
            decide(c, k, a, now)
            still_waits(c, k, a)
    elif mode == ON_DUTY:
        set_due(k, a, NEVER)
        if in_turn(c, a):
            visit_done(c, k, a, now)
        end_duty(c, k, a, now)
        if k.a_mode[a] == ON_DUTY:
            goes_on(c, k, a, now)
    elif mode == TO_DUTY:
        if is_here(c, k, a, now):
            begin_duty(c, k, a, now)
        else:
            give_back(k, a)
            decide(c, k, a, now)
    else:
        set_due(k, a, NEVER)
        if mode == IDLE or mode == WAIT:
            decide(c, k, a, now)


@inner
def still_waits(c: Record, k: Record, a: int) -> None:
    """Whoever has come to where it waits may be the last who moved: then it is seen that nothing moves any more."""
    if in_turn(c, a) and k.a_mode[a] == IDLE:
        k.changed |= TURNS


@inner
def visit_ends(c: Record, k: Record, a: int, now: int) -> None:
    """The hold of a visit is over: parts change hands, and what comes next is chosen."""
    visit = k.a_visit[a]
    s = k.a_source[a] if kind_of(visit) == PICK else k.a_target[a]
    if has_halts(c):
        set_due(k, a, NEVER)
    if in_turn(c, a):
        visit_done(c, k, a, now)
    if not end_visit(c, k, a, now):
        if c.r_miss_slot[row_of(visit)] < 0:
            decide(c, k, a, now)
        return
    if kind_of(visit) != PICK and c.s_attended[s] and is_complete(c, k, s):
        stays(c, k, a, s, now)
    else:
        goes_on(c, k, a, now)


@inner
def is_complete(c: Record, k: Record, s: int) -> bool:
    """True with a whole load in a machine that is not done; whoever sets down a part before its last one need not
    stay, and may leave through its tail."""
    return bool(k.s_done[s] == 0 and k.s_inside[s] == c.s_batch[s])


@seldom
def is_quiet(c: Record, k: Record) -> bool:
    """True where only calendars and clocks are still to come and everybody is free: it may be locked up for ever."""
    for s in range(c.stations):
        if due_of(k, station_slot(c) + s) < NEVER or k.s_trouble[s]:
            return False
    for slot in range(c.slots):
        if k.l_waiting[slot] and c.l_by_call[slot]:
            return False
    for a in range(c.attendants):
        if k.a_mode[a] != IDLE or not k.a_on[a] or k.a_halted[a] or due_of(k, a) < NEVER:
            return False
    return True


@seldom
def close(c: Record, k: Record, horizon: int) -> None:
    """The end: what is under way is booked up to the horizon."""
    for s in range(c.stations):
        k.s_time[s, k.s_state[s]] += horizon - k.s_since[s]
        k.s_since[s] = horizon
        k.s_area[s] += float(k.s_stock[s]) * float(horizon - k.s_stock_since[s])
        k.s_stock_since[s] = horizon
    for a in range(c.attendants):
        close_attendant(c, k, a, horizon)
        if k.a_mode[a] == ON_DUTY:
            k.d_time[c.l_duty[k.a_slot[a]]] += horizon
    if k.people_here:
        k.here_time += horizon - k.here_since
        k.here_since = horizon
    k.closed = horizon
    if is_quiet(c, k):
        k.stop = STOP_QUIET


@seldom
def reopen(c: Record, k: Record) -> None:
    """A horizon that was only an interim one: go on from there, so that a run is the same however it is sliced."""
    for a in range(c.attendants):
        if k.a_mode[a] == ON_DUTY:
            k.d_time[c.l_duty[k.a_slot[a]]] -= k.closed
    k.closed = -1

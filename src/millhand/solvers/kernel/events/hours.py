"""Calendars: when people come and go, and when machines may start."""

from millhand.solvers.kernel.codes import (
    A_BREAK,
    A_OFF,
    AWAY,
    AWAY_LEAVES,
    AWAY_ROOM,
    C_ALONE,
    CALLS,
    DROP,
    IDLE,
    MOVE,
    NEVER,
    PARTS,
    PROCESS,
    S_OFF,
    STOP_AWAY,
    VISIT,
    WORK,
)
from millhand.solvers.kernel.events.books import enter_attendant, show
from millhand.solvers.kernel.events.calls import due_of, set_due, set_rare_due
from millhand.solvers.kernel.events.faults import hold
from millhand.solvers.kernel.events.halting import halt, thaw
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.machines import go_on, release
from millhand.solvers.kernel.events.mix import one_stops
from millhand.solvers.kernel.events.numbers import calendar_slot


@inner
def calendar_at(c: Record, e: int, now: int) -> tuple[bool, int, bool]:
    """(on, when that changes next, whether the gap is a break) from now on; the end of an interval is exclusive."""
    period = c.e_period[e]
    inside = now % period
    begin = now - inside
    first, last = c.e_from[e], c.e_to[e]
    if first == last:
        return False, NEVER, False
    if last - first == 1 and c.hours_start[first] == 0 and c.hours_end[first] == period:
        return True, NEVER, False
    pause = False
    for at in range(first, last):
        if inside < c.hours_start[at]:
            return False, begin + c.hours_start[at], pause
        if inside < c.hours_end[at]:
            return True, end_of_touching(c, e, at, begin), False
        pause = c.hours_pause[at] > 0
    return False, begin + period + c.hours_start[first], False


@inner
def end_of_touching(c: Record, e: int, at: int, begin: int) -> int:
    """The end of an interval; one that runs to the end of the period goes on into the next where that begins on."""
    first, period = c.e_from[e], c.e_period[e]
    if c.hours_end[at] == period and c.hours_start[first] == 0:
        return begin + period + c.hours_end[first]
    return begin + c.hours_end[at]


@seldom
def calendar_event(c: Record, k: Record, e: int, now: int) -> None:
    """An interval begins or ends."""
    on, change, pause = calendar_at(c, e, now)
    set_rare_due(c, k, calendar_slot(c) + e, change)
    k.changed |= PARTS | CALLS
    for s in range(c.stations):
        if c.s_calendar[s] == e and (k.s_off[s] > 0) == on:
            station_hours(c, k, s, on, now)
    for a in range(c.attendants):
        if c.a_calendar[a] == e and (k.a_on[a] > 0) != on:
            attendant_hours(c, k, a, on, now, A_BREAK if pause else A_OFF)


@inner
def station_hours(c: Record, k: Record, s: int, on: bool, now: int) -> None:
    """A machine's planned hours begin or end; what runs is finished, unless its calendar drops it."""
    drop = c.e_at_end[c.s_calendar[s]] == DROP
    k.s_off[s] = not on
    if drop:
        if on:
            release(c, k, s, now)
        else:
            hold(c, k, s, S_OFF, now)
        return
    k.s_trouble[s] += -1 if on else 1
    if on:
        go_on(c, k, s, now)
    elif k.s_mode[s] != WORK and c.s_kind[s] == PROCESS:
        show(c, k, s, now)


@inner
def attendant_hours(c: Record, k: Record, a: int, on: bool, now: int, away_as: int) -> None:
    """Somebody comes or goes. Who is at work finishes first; a calendar that drops stops the work where it is."""
    k.a_on[a] = on
    k.a_away_as[a] = away_as
    drop = c.e_at_end[c.a_calendar[a]] == DROP
    if not c.a_arm[a]:
        count_people(c, k, 1 if on else -1, now)
    if drop and not on and k.a_mode[a] != AWAY and due_of(k, a) < NEVER:
        halt(c, k, a, away_as, now)
        k.a_dropped[a] = 1
    elif on and k.a_dropped[a]:
        k.a_dropped[a] = 0
        thaw(c, k, a, now)
    elif on and k.a_mode[a] == AWAY:
        k.a_mode[a] = IDLE
        if c.a_track[a] < 0:  # on a rail it stays where it stands
            k.a_place[a] = c.a_home[a]
        k.a_last[a] = -1


@inner
def count_people(c: Record, k: Record, more: int, now: int) -> None:
    """One operator more or fewer: attended time, and the record of an absence."""
    before = k.people_here
    k.people_here += more
    if before == 0 and more > 0:
        if k.was_away:
            absence_ends(c, k, now)
        k.here_since = now
    elif before > 0 and k.people_here == 0:
        k.here_time += now - k.here_since
        k.here_since = now
        absence_begins(k)


@inner
def absence_begins(k: Record) -> None:
    """Nobody is here from now on: what is needed first is watched for."""
    k.away_open = 1
    k.away_until = -1
    k.away_cause = -1
    k.need_cause = -1
    k.away_parts = k.counts[C_ALONE]
    k.was_away = 1


@inner
def absence_ends(c: Record, k: Record, now: int) -> None:
    """Write down how long all went well, what was needed first, whether and why the cell stood in the end."""
    line = k.away_lines
    runs = still_runs(c, k)
    k.away[line, 0] = k.away_until
    k.away[line, 1] = k.away_cause
    k.away[line, 2] = -1 if runs else max(0, k.last_out - k.here_since)
    k.away[line, 3] = -1 if runs else k.need_cause
    k.away[line, 4] = k.counts[C_ALONE] - k.away_parts
    k.away[line, 5] = now - k.here_since
    k.away_lines = line + 1
    k.away_open = 0
    k.was_away = 0
    if line + AWAY_LEAVES > AWAY_ROOM and k.stop == 0:
        k.stop = STOP_AWAY


@inner
def still_runs(c: Record, k: Record) -> bool:
    """True while any station works or anybody is on the way or at a station."""
    for s in range(c.stations):
        if c.s_kind[s] == PROCESS and k.s_mode[s] == WORK and not k.s_trouble[s]:
            return True
    for a in range(c.attendants):
        if (k.a_mode[a] == VISIT or k.a_mode[a] == MOVE) and not k.a_halted[a]:
            return True
    return False


@seldom
def goes_away(c: Record, k: Record, a: int, now: int) -> None:
    """Off shift or on a break."""
    k.a_mode[a] = AWAY
    one_stops(c, k)
    set_due(k, a, NEVER)
    enter_attendant(c, k, a, k.a_away_as[a] if k.a_away_as[a] else A_OFF, now)


@inner
def is_here(c: Record, k: Record, a: int, now: int) -> bool:
    """On shift at this very moment, also where the change of the calendar has the same time and comes later."""
    e = c.a_calendar[a]
    if e < 0:
        return True
    on = k.a_on[a] == 1
    return not on if due_of(k, calendar_slot(c) + e) == now else on

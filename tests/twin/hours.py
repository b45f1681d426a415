"""Calendars: when people come and go, and when machines may start."""

from millhand.solvers.kernel.codes import A_BREAK, A_OFF, AWAY, DROP, IDLE, NEVER, S_OFF, WORK
from tests.twin.books import enter_attendant
from tests.twin.flags import CALLS_CHANGED, HERE_SINCE, HERE_TIME, PARTS_CHANGED, PEOPLE_HERE
from tests.twin.halting import halt, thaw
from tests.twin.machines import go_on, hold, release, show
from tests.twin.state import Run


def calendar_at(k: Run, calendar: int, now: int) -> tuple[bool, int, bool]:
    """(on, when that changes next, whether the gap is a break) from now on; the end of an interval is exclusive."""
    hours = k.c.calendars
    period = hours.period[calendar]
    begin, inside = now - now % period, now % period
    first, last = hours.on_from[calendar], hours.on_to[calendar]
    if first == last:
        return False, NEVER, False
    if last - first == 1 and hours.start[first] == 0 and hours.end[first] == period:
        return True, NEVER, False
    pause = False
    for at in range(first, last):
        if inside < hours.start[at]:
            return False, begin + hours.start[at], pause
        if inside < hours.end[at]:
            return True, _end_of_touching(k, calendar, at, begin), False
        pause = bool(hours.pause[at])
    if hours.start[first] == 0 and inside == period:
        return True, begin + period + hours.end[first], False
    return False, begin + period + hours.start[first], False


def _end_of_touching(k: Run, calendar: int, at: int, begin: int) -> int:
    """The end of an interval; one that runs to the end of the period goes on into the next where that begins on."""
    hours = k.c.calendars
    first, period = hours.on_from[calendar], hours.period[calendar]
    if hours.end[at] == period and hours.start[first] == 0:
        return begin + period + hours.end[first]
    return begin + hours.end[at]


def calendar_event(k: Run, calendar: int, now: int) -> None:
    """An interval begins or ends."""
    on, change, pause = calendar_at(k, calendar, now)
    k.times[k.calendar_at + calendar] = change
    k.flags[PARTS_CHANGED] = k.flags[CALLS_CHANGED] = 1
    for s in range(k.c.size.stations):
        if k.c.stations.calendar[s] == calendar and bool(k.st.off[s]) == on:
            station_hours(k, s, on, now)
    for a in range(k.c.size.attendants):
        if k.c.attendants.calendar[a] == calendar and bool(k.at.on[a]) != on:
            _attendant_hours(k, a, on, now, A_BREAK if pause else A_OFF)


def station_hours(k: Run, s: int, on: bool, now: int) -> None:
    """A machine's planned hours begin or end; what runs is finished, unless its calendar drops it."""
    drop = k.c.calendars.at_end[k.c.stations.calendar[s]] == DROP
    k.st.off[s] = int(not on)
    if drop:
        if on:
            release(k, s, now)
        else:
            hold(k, s, S_OFF, now)
        return
    k.st.trouble[s] += -1 if on else 1
    if on:
        go_on(k, s, now)
    elif k.st.mode[s] != WORK:
        show(k, s, now)


def _attendant_hours(k: Run, a: int, on: bool, now: int, away_as: int) -> None:
    """Somebody comes or goes. Who is at work finishes first; a calendar that drops stops the work where it is."""
    at = k.at
    at.on[a] = int(on)
    k.by.away_as[a] = away_as
    drop = k.c.calendars.at_end[k.c.attendants.calendar[a]] == DROP
    if not k.c.attendants.arm[a]:
        count_people(k, 1 if on else -1, now)
    if drop and not on and at.mode[a] != AWAY and k.times[a] < NEVER:
        halt(k, a, away_as, now)
        k.by.dropped[a] = 1
    elif on and k.by.dropped[a]:
        k.by.dropped[a] = 0
        thaw(k, a, now)
    elif on and at.mode[a] == AWAY:
        at.mode[a] = IDLE
        at.place[a] = k.c.attendants.home[a]
        at.last[a] = -1


def count_people(k: Run, more: int, now: int) -> None:
    """One operator more or fewer: attended time, and the clock of an absence."""
    flags, calls = k.flags, k.calls
    before = flags[PEOPLE_HERE]
    flags[PEOPLE_HERE] += more
    if before == 0 and more > 0:
        flags[HERE_SINCE] = now
        if calls.away_open[0]:
            calls.away_open[0] = 0
            calls.away.append(-1)
    elif before > 0 and flags[PEOPLE_HERE] == 0:
        flags[HERE_TIME] += now - flags[HERE_SINCE]
        flags[HERE_SINCE] = now
        calls.away_open[0] = 1


def goes_away(k: Run, a: int, now: int) -> None:
    """Off shift or on a break."""
    k.at.mode[a] = AWAY
    k.times[a] = NEVER
    enter_attendant(k, a, k.by.away_as[a] or A_OFF, now)


def is_here(k: Run, a: int, now: int) -> bool:
    """On shift at this very moment, also where the change of the calendar has the same time and comes later."""
    calendar = k.c.attendants.calendar[a]
    if calendar < 0:
        return True
    on = k.at.on[a] == 1
    return not on if k.times[k.calendar_at + calendar] == now else on

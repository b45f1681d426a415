"""The stays of parts at stations over one period of a schedule, read off its arcs: set down, worked on, lifted."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.schedule import Arc, Event, Schedule
from millhand.solvers.cycle.unrolled import Handled, handled, number_of

VISITS = ("pick", "place", "swap", "self")  # what brings a part to a station or takes it away


@dataclass(frozen=True, slots=True, kw_only=True)
class Stayed:
    """One stay, in grid steps from the start of the period in which its work starts; None where nobody sets down or
    lifts. Times before the period are negative, those after it larger than the period."""

    station: str
    part: str
    start: int
    finish: int
    set_down: tuple[int, int] | None  # a place's hold; None for the far side of an exchange, which the next stay shows
    placed: int | None
    closed: int | None  # the station's own time after the set-down is over: from here on the part waits for its turn
    lift: tuple[int, int] | None

    @property
    def first(self) -> int:
        """When the stay begins to bind the station."""
        if self.set_down is not None:
            return self.set_down[0]
        return self.start if self.placed is None else self.placed

    @property
    def last(self) -> int:
        """When the station is free of it."""
        return self.finish if self.lift is None else self.lift[1]


def stays(schedule: Schedule) -> tuple[Stayed, ...]:
    """Every stay that starts in the period, in the order of the events."""
    known = {event.id: event for event in schedule.events}
    visits = [visit for visit in handled(schedule)[0] if visit.kind in VISITS]
    begins = {visit.first.id: visit for visit in visits}
    ends = {(visit.placed or visit.last).id: visit for visit in visits if visit.kind != "pick"}
    arcs = [arc for arc in schedule.arcs if known[arc.before].station == known[arc.after].station]
    found = []
    for event in (each for each in schedule.events if each.what == "start" and each.attendant is None):
        finish = finish_of(schedule, arcs, event, known)
        placed, set_down, closed = set_down_of(schedule, arcs, event, (known, ends))
        found.append(
            Stayed(
                station=event.station,
                part=event.part,
                start=event.at_steps,
                finish=finish[1],
                set_down=set_down,
                placed=placed,
                closed=closed,
                lift=lift_of(schedule, arcs, finish, (known, begins)),
            )
        )
    return tuple(found)


def finish_of(schedule: Schedule, arcs: list[Arc], start: Event, known: dict[str, Event]) -> tuple[Event, int]:
    """The end of the work that starts here, and when it is."""
    for arc in arcs:
        if arc.before == start.id and known[arc.after].what == "finish" and arc.lag_steps >= 0:
            return known[arc.after], known[arc.after].at_steps + arc.laps * schedule.period_steps
    ends = (each for each in schedule.events if each.what == "finish" and each.attendant is None)
    own = [each for each in ends if each.station == start.station]
    found = min(own, key=lambda each: later(schedule, start.at_steps, each.at_steps))
    return found, later(schedule, start.at_steps, found.at_steps)


def set_down_of(
    schedule: Schedule, arcs: list[Arc], start: Event, records: tuple[dict[str, Event], dict[str, Handled]]
) -> tuple[int | None, tuple[int, int] | None, int | None]:
    """When the part was set down, the hold of that where it was no exchange, and when the station is closed over it."""
    known, ends = records
    told = [arc for arc in arcs if arc.after == start.id and arc.before in ends]
    own = [arc for arc in told if number_of(known[arc.before]) == number_of(start)]  # of a load each part has its own
    for arc in own or told:
        placed = known[arc.before].at_steps - arc.laps * schedule.period_steps
        visit = ends[arc.before]
        hold = (placed - visit.hold_steps, placed) if visit.kind == "place" else None
        return placed, hold, min(start.at_steps, placed + max(0, arc.lag_steps))
    return None, None, None


def lift_of(
    schedule: Schedule,
    arcs: list[Arc],
    finish: tuple[Event, int],
    records: tuple[dict[str, Event], dict[str, Handled]],
) -> tuple[int, int] | None:
    """The hold of the visit that lifts the part; None where it leaves by itself."""
    event, at = finish
    known, begins = records
    over = at - event.at_steps
    told = [
        (known[arc.after].at_steps + arc.laps * schedule.period_steps + over, begins[arc.after].hold_steps)
        for arc in arcs
        if arc.before == event.id and arc.after in begins and begins[arc.after].kind != "place"
    ]
    told = told or [
        (later(schedule, at, visit.first.at_steps), visit.hold_steps)
        for visit in begins.values()
        if visit.station == event.station
        and visit.kind != "place"
        and (schedule.goal == "rate" or visit.first.at_steps >= at)
    ]
    if not told:
        return None
    when, hold = min(told)
    return when, when + hold


def later(schedule: Schedule, since: int, at: int) -> int:
    """The first time not before `since` at which an event of this time happens, in this period or a later one."""
    if schedule.goal != "rate" or schedule.period_steps <= 0:
        return at
    return since + (at - since) % schedule.period_steps


def rows_of(schedule: Schedule, station: str) -> list[list[tuple[Stayed, int]]]:
    """The stays of a station as rows in which nothing lies upon another: each stay with the period it is shown in.

    A stay of several periods binds several slots at any time: it fills a row for each.
    """
    period = max(1, schedule.period_steps)
    rows: list[list[tuple[int, int, Stayed, int]]] = []
    pieces = [piece for stay in stays(schedule) if stay.station == station for piece in pieces_of(stay, period)]
    for piece in sorted(pieces, key=lambda each: (each[0], each[1])):
        free = (row for row in rows if all(piece[0] >= each[1] or piece[1] <= each[0] for each in row))
        row = next(free, None)
        if row is None:
            rows.append([piece])
        else:
            row.append(piece)
    return [[(stay, shift) for _, _, stay, shift in row] for row in rows]


def pieces_of(stay: Stayed, period: int) -> Iterator[tuple[int, int, Stayed, int]]:
    """What of a stay lies in one period after the other: from, to, the stay, and which period of it."""
    for shift in range(stay.first // period, max(stay.first, stay.last - 1) // period + 1):
        start, end = max(0, stay.first - shift * period), min(period, stay.last - shift * period)
        yield start, end, stay, shift

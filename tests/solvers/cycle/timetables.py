"""Schedules written down by hand as timetables, for tests: who does what when, in whole seconds.

All events are tied to each other, each to the one before it, so that the arcs hold whatever the times say: what is
wrong with such a schedule is wrong with its times.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from millhand.model.canonical import content_hash
from millhand.model.cell import Attendant, Cell, CellPart, MoveTable, Place, Step, Track
from millhand.model.handling import Handling, Visit
from millhand.model.schedule import Arc, Event, Schedule
from millhand.model.span import Span
from millhand.model.station import Station

BEGINS = {"pick": ("lift", "lifted"), "place": ("set", "placed"), "work": ("start", "finish")}
BEGINS |= {"motion": ("depart", "arrive"), "duty": ("duty", "duty_done")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a timetable: a visit, a motion, work or a duty from `start` for `takes` seconds.

    Times go on from the lift of the part out of its supply, over as many periods as it takes; the parts of a period
    are units of their own, each with its lift out of the supply as its first line. A swap lifts a part that came in
    `out_lap` periods earlier. A motion has two places, a duty one.
    """

    who: str | None
    kind: str
    at: str
    start: int
    takes: int = 1
    part: str = "part"
    to: str = ""
    out_lap: int = 0
    unit: int = 0


def events_of(number: int, line: Line, *, period: int, since: int) -> list[Event]:
    """The events of one line; laps count from the period `since`, without a period nothing repeats."""
    if line.kind in ("swap", "self"):
        lifts = events_of(number, replace(line, kind="pick"), period=period, since=since - line.out_lap)
        sets = replace(line, kind="place", at=line.to or line.at)
        return lifts + events_of(number, sets, period=period, since=since)
    found = []
    for what, time in zip(BEGINS[line.kind], (line.start, line.start + line.takes), strict=True):
        moves = line.kind in ("motion", "duty")
        place = (line.to or line.at) if what == "arrive" else line.at
        found.append(
            Event(
                id=f"{number:02d} {what} {place}",
                attendant=line.who,
                station="" if moves else line.at,
                what=what,
                part="" if line.kind == "motion" else line.part,
                lap=0 if moves or not period else time // period - since,
                at_steps=time % period if period else time,
                place=place if moves else None,
            )
        )
    return found


def timetable(cell: Cell, lines: Sequence[Line], *, period: int, parts: int = 1) -> Schedule:
    """The schedule of these lines, all events tied to each other."""
    repeats = period if cell.goal == "rate" else 0
    firsts = {line.unit: line.start // period for line in reversed(lines) if line.kind not in ("motion", "duty")}
    events = [
        event
        for number, line in enumerate(lines, 1)
        for event in events_of(number, line, period=repeats, since=firsts.get(line.unit, 0))
    ]
    whole = tied(
        Schedule(
            cell=content_hash(cell),
            grid_s=cell.grid_s,
            period_steps=period,
            parts_per_period=parts,
            bounds=(),
            events=tuple(events),
            arcs=(),
            critical=(),
            proven=False,
            how="by hand",
            left_out=(),
            goal=cell.goal,
        )
    )
    return replace(whole, arcs=(*whole.arcs, *exchanges(lines, events)))


def exchanges(lines: Sequence[Line], events: Sequence[Event]) -> list[Arc]:
    """Both sides of an exchange tied to each other, which says that it is one also where it takes no time."""
    swaps = {f"{number:02d}" for number, line in enumerate(lines, 1) if line.kind == "swap"}
    own = {(event.id[:2], event.what): event for event in events if event.id[:2] in swaps}
    return [arc for number in sorted(swaps) for arc in both_ways(own[number, "lift"], own[number, "set"], 0, 0)]


def tied(schedule: Schedule) -> Schedule:
    """The same schedule with arcs that tie all events to each other, as its times have them."""
    own = sorted(schedule.events, key=lambda each: each.at_steps)
    arcs = [arc for one, other in pairwise(own) for arc in both_ways(one, other, other.at_steps - one.at_steps, 0)]
    if schedule.goal == "rate":
        arcs += both_ways(own[-1], own[0], schedule.period_steps - own[-1].at_steps + own[0].at_steps, 1)
    return replace(schedule, arcs=tuple(arcs), critical=tuple(each.id for each in own))


def both_ways(one: Event, other: Event, lag: int, laps: int) -> list[Arc]:
    """One event just so long after another."""
    there = Arc(before=one.id, after=other.id, lag_steps=lag, laps=laps, why="tied")
    return [there, Arc(before=other.id, after=one.id, lag_steps=-lag, laps=-laps, why="tied")]


def shifted(lines: Sequence[Line], number: int, by: int) -> tuple[Line, ...]:
    """The same lines, the one of this number so much later."""
    return tuple(replace(line, start=line.start + by) if n == number else line for n, line in enumerate(lines, 1))


# Places 1 m apart, 2 s from each to the next; every visit takes a second.
METRES = {f"p{number}": Place(track_m=float(number)) for number in range(6)}
WAYS = tuple(tuple(2.0 * abs(a - b) for b in range(len(METRES))) for a in range(len(METRES)))
HOLD = Visit(hold_s=Span(mean_s=1.0))


def arm(home: str, *, hands: int = 1) -> Attendant:
    """An arm that begins at a place."""
    return Attendant(kind="arm", hands=hands, home=home, moves_full="line")


def step(*at: str, time_s: float | None = None, stay_max_s: float | None = None) -> Step:
    """One step of a route."""
    return Step(at=at, time_s=None if time_s is None else Span(mean_s=time_s), stay_max_s=stay_max_s)


def ends_at(first: str, last: str) -> dict[str, Station]:
    """A supply and an outfeed without limit."""
    return {
        "raw": Station(kind="supply", place=first, capacity=None),
        "done": Station(kind="sink", place=last, capacity=None),
    }


def cell_of(stations: dict[str, Station], route: Sequence[Step], arms: dict[str, Attendant]) -> Cell:
    """A cell of one part on this route; on a track where there are several arms."""
    return Cell(
        name="by hand",
        grid_s=1.0,
        places=METRES,
        stations=stations,
        attendants=arms,
        tracks={"rail": Track(attendants=tuple(arms), keep_m=0.5)} if len(arms) > 1 else {},
        moves={"line": MoveTable(places=tuple(METRES), empty_s=WAYS)},
        handling=(Handling(who=tuple(arms), at=tuple(stations), pick=HOLD, place=HOLD, swap=HOLD),),
        parts={"part": CellPart(route=tuple(route))},
    )

"""A schedule of two arms on one track, made by hand, with every motion written down: a load for m1 and one for m4."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.schedule import Arc, Event, Schedule
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.view import Steady

PERIOD_S = 140.0
Deed = tuple[float, str, str]  # seconds, 'pick', 'place' or 'go', station or place

# m1 is emptied at 0 s; while left is at the outfeed, right stands aside at 17 m, and left at -2 m while right fetches.
LEFT: tuple[Deed, ...] = (
    (0.0, "pick", "m1"), (9.0, "go", "outfeed"), (16.3, "place", "done"), (21.3, "go", "infeed"),
    (30.1, "pick", "raw"), (35.1, "go", "p1"), (37.9, "place", "m1"), (48.9, "go", "park1"), (135.0, "go", "p1"),
)  # fmt: skip
RIGHT: tuple[Deed, ...] = (
    (50.0, "go", "p4"), (60.0, "pick", "m4"), (69.0, "go", "outfeed"), (71.8, "place", "done"), (76.8, "go", "infeed"),
    (85.6, "pick", "raw"), (90.6, "go", "p4"), (97.9, "place", "m4"), (108.9, "go", "park2"),
)  # fmt: skip
STARTS = {"left": "p1", "right": "park2"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What the deeds are turned into events with."""

    view: Steady
    period: int

    def steps(self, seconds: float) -> int:
        """Whole grid steps."""
        return round(seconds / self.view.grid_s)


def two_arms() -> tuple[Cell, Schedule]:
    """The example cell of two arms on one track, and the schedule."""
    cell = read_cell(Path("examples/cells/two_arms_on_a_track.json"))
    return cell, schedule_of(cell, {"left": LEFT, "right": RIGHT}, PERIOD_S)


def schedule_of(cell: Cell, deeds: dict[str, Sequence[Deed]], period_s: float) -> Schedule:
    """A schedule in which everybody does what is written, when it is written."""
    view = steady(cell)
    desk = Desk(view=view, period=round(period_s / cell.grid_s))
    events: list[Event] = []
    arcs: list[Arc] = []
    for who, own in deeds.items():
        made = [events_of(desk, who, number, deed) for number, deed in enumerate(own)]
        arcs += list(own_arcs(desk, who, made))
        events += [event for each in made for event in each]
    arcs += list(station_arcs(desk, events))
    return Schedule(
        cell=content_hash(cell), grid_s=cell.grid_s, period_steps=desk.period, parts_per_period=len(deeds),
        bounds=load_bounds(cell), events=laps(events, arcs), arcs=tuple(arcs), critical=(), proven=False,
        how="by hand", left_out=(),
    )  # fmt: skip


def events_of(desk: Desk, who: str, number: int, deed: Deed) -> list[Event]:
    """The events of one deed."""
    seconds, what, where = deed
    part = next(iter(desk.view.part_set))

    def event(name: str, at: int, attendant: str | None = who) -> Event:
        motion = what == "go"
        return Event(
            id=f"{who}{number:02d} {name} {where}", attendant=attendant, station="" if motion else where, what=name,
            part="" if motion else part, lap=0, at_steps=at % desk.period, place=where if motion else None,
        )  # fmt: skip

    at = desk.steps(seconds)
    if what == "go":
        return [event("depart", at), event("arrive", at)]
    first, last = ("lift", "lifted") if what == "pick" else ("set", "placed")
    phase = desk.view.phases[who, where, part, what]
    made = [event(first, at), event(last, at + phase.hold_steps)]
    if what == "place" and where in desk.view.working:
        start = at + phase.hold_steps + phase.tail_steps
        time = next(stop for stop in desk.view.routes[part] if where in stop.stations).time_steps(where)
        made += [event("start", start, None), event("finish", start + time, None)]
    return made


def own_arcs(desk: Desk, who: str, made: list[list[Event]]) -> Iterator[Arc]:
    """Each motion takes the table's time, each hold its own, and one thing comes after the other."""
    here = STARTS[who]
    mover = desk.view.movers[who]
    ends: list[tuple[Event, Event]] = []
    for each in made:
        first, last = each[0], each[1]
        if first.what == "depart":
            way = mover.travel_steps(here, first.place, loaded=False) or 0
            here = first.place or ""
            arrives = first.at_steps + way
            each[0] = replace(first, place=None)
            each[1] = last = replace(last, at_steps=arrives % desk.period)
            yield Arc(before=first.id, after=last.id, lag_steps=way, laps=arrives // desk.period, why=who)
        else:
            lag = last.at_steps - first.at_steps
            yield Arc(before=first.id, after=last.id, lag_steps=lag, laps=0, why=who)
            yield Arc(before=last.id, after=first.id, lag_steps=-lag, laps=0, why=who)
        ends.append((first, last))
    place = STARTS[who]
    for each in made:  # where each motion departs from is where the last one led
        if each[0].what == "depart":
            each[0], place = replace(each[0], place=place), each[1].place or ""
    for (_, last), (first, _) in zip(ends, [*ends[1:], ends[0]], strict=True):
        yield Arc(before=last.id, after=first.id, lag_steps=0, laps=int(first.at_steps < last.at_steps), why=who)


def station_arcs(desk: Desk, events: list[Event]) -> Iterator[Arc]:
    """A part is worked on after it was set down, and lifted after that."""
    own = {event.id: event for event in events}
    for start in (event for event in events if event.what == "start"):
        number, station = start.id.split()[0], start.station
        placed, finish = own[f"{number} placed {station}"], own[f"{number} finish {station}"]
        lift = next(event for event in events if event.what == "lift" and event.station == station)
        time = (finish.at_steps - start.at_steps) % desk.period
        ends = start.at_steps + time
        yield Arc(before=placed.id, after=start.id, lag_steps=start.at_steps - placed.at_steps, laps=0, why=station)
        yield Arc(before=start.id, after=finish.id, lag_steps=time, laps=ends // desk.period, why=station)
        yield Arc(before=finish.id, after=lift.id, lag_steps=0, laps=int(lift.at_steps < finish.at_steps), why=station)


def laps(events: list[Event], arcs: Sequence[Arc]) -> tuple[Event, ...]:
    """The laps of a part: those of its set-down at a machine and of what follows are counted along the arcs."""
    onward = {arc.before: arc for arc in arcs if arc.lag_steps >= 0 and arc.why.startswith("m")}
    found = {event.id: event.lap for event in events}
    for event in (each for each in events if each.what == "placed" and each.station.startswith("m")):
        at, lap = event.id, 0
        while at in onward:
            lap += onward[at].laps
            at = onward[at].after
            found[at] = lap
        who = event.attendant
        after = [each for each in events if each.attendant == who]
        begin = next(index for index, each in enumerate(after) if each.id == at)
        for each in after[begin:]:
            if each.what in ("lift", "lifted", "set", "placed") and each.what != "raw" and found[each.id] == 0:
                found[each.id] = lap
            if each.station == "done" and each.what == "placed":
                break
    return tuple(replace(event, lap=found[event.id]) for event in events)

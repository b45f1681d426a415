"""A machine's own buffers: stations of their own for the search, out of and into which parts move by themselves.

For the search 'm in' stands before machine m and 'm out' behind it. In the schedule they are the machine again: what an
attendant does there is done at m, the machine starts and finishes, and of what moves by itself only the waits remain.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise

from millhand.errors import NotYet
from millhand.model.cell import Attendant, Cell, Step
from millhand.model.handling import Handling
from millhand.model.schedule import Arc, Event
from millhand.model.station import Station
from millhand.solvers.cycle.tour import Cycle
from millhand.solvers.cycle.view import Stop


def has_buffers(station: Station) -> bool:
    """Whether a machine has a buffer of its own."""
    return station.kind == "process" and (station.in_queue != 0 or station.out_queue != 0)


def before(name: str, station: Station) -> str:
    """Where a part for a station is set down."""
    return f"{name} in" if has_buffers(station) and station.in_queue != 0 else name


def behind(name: str, station: Station) -> str:
    """Where a part of a station is lifted."""
    return f"{name} out" if has_buffers(station) and station.out_queue != 0 else name


def machines_of(cell: Cell) -> dict[str, str]:
    """The machine of each buffer."""
    found: dict[str, str] = {}
    for name, station in cell.stations.items():
        found |= {each: name for each in (before(name, station), behind(name, station)) if each != name}
    return found


def only_ways(cell: Cell) -> dict[str, str]:
    """Where a part goes from a buffer or a machine, where that is one place only."""
    found: dict[str, str] = {}
    for name, station in cell.stations.items():
        chain = [before(name, station), name, behind(name, station)]
        found |= {one: other for one, other in pairwise(chain) if one != other}
    return found


def with_buffers(cell: Cell) -> Cell:
    """The cell with each buffer as a store; the same cell where there is none."""
    if not machines_of(cell):
        return cell
    return replace(
        cell,
        stations={each: made for name, station in cell.stations.items() for each, made in written(name, station)},
        handling=tuple(handled_there(row, cell) for row in cell.handling),
        parts={
            name: replace(part, route=tuple(each for step in part.route for each in steps_of(step, cell)))
            for name, part in cell.parts.items()
        },
        attendants={name: reaching(each, cell) for name, each in cell.attendants.items()},
    )


def written(name: str, station: Station) -> Iterator[tuple[str, Station]]:
    """The stations that one becomes."""
    if not has_buffers(station):
        yield name, station
        return
    if station.capacity != 1 or station.batch != 1:
        cure = f"one station for each slot, like {name}, each in the step's `at`" if station.batch == 1 else ""
        thing = "a cycle with own buffers beside several slots or loads"
        raise NotYet(thing, where=f"/stations/{name}", cure=cure)
    takes, gives = station.in_queue != 0, station.out_queue != 0
    store = Station(kind="store", place=station.place, capacity=None)
    if takes:
        yield f"{name} in", replace(store, capacity=station.in_queue, self_in=station.self_in)
    alone = replace(station, in_queue=0, out_queue=0)
    yield name, replace(alone, self_in=takes or station.self_in, self_out=gives or station.self_out)
    if gives:
        yield f"{name} out", replace(store, capacity=station.out_queue, self_out=station.self_out)


def long_stays(cell: Cell, route: tuple[Stop, ...]) -> tuple[Stop, ...]:
    """A route whose limited stays in machines with own buffers end where the part is lifted from the last of these."""
    known, found = cell.stations, list(route)
    for at, stop in enumerate(route):
        if stop.stay_max_steps is None or not all(name in known for name in stop.stations):
            continue
        takes, gives = (
            tuple(buffer(name, known[name]) for name in stop.stations) != stop.stations for buffer in (before, behind)
        )
        found[at] = replace(stop, stay_max_steps=None)
        found[at + gives] = replace(found[at + gives], stay_max_steps=stop.stay_max_steps, stay_since=takes + gives)
    return tuple(found)


def handled_there(row: Handling, cell: Cell) -> Handling:
    """A row that holds at the buffers of its machines too."""
    machines = machines_of(cell)
    return replace(row, at=(*row.at, *(each for each, name in machines.items() if name in row.at)))


def steps_of(step: Step, cell: Cell) -> Iterator[Step]:
    """A step with those of the buffers before and behind it."""
    for side, buffer in (("before", before), ("itself", None), ("behind", behind)):
        if buffer is None:
            yield step
            continue
        at = tuple(buffer(name, cell.stations[name]) for name in step.at)
        moved = [name != other for name, other in zip(step.at, at, strict=True)]
        if any(moved) and not all(moved):
            raise NotYet(f"a cycle in which only some of {' and '.join(step.at)} have a buffer {side} them")
        if all(moved):
            yield Step(at=at, every=step.every)


def reaching(attendant: Attendant, cell: Cell) -> Attendant:
    """An attendant that takes and puts where the parts of its stations are lifted and set down."""

    def at(names: tuple[str, ...] | None, buffer: str) -> tuple[str, ...] | None:
        side = before if buffer == "in" else behind
        return None if names is None else tuple(side(name, cell.stations[name]) for name in names)

    return replace(attendant, take_from=at(attendant.take_from, "out"), put_to=at(attendant.put_to, "in"))


def told_at_machines(cell: Cell, cycle: Cycle) -> Cycle:
    """The cycle with the cell's own stations: of what happens inside a machine only its work and the waits are told."""
    machines = machines_of(cell)
    only = only_ways(cell)
    if not machines:
        return cycle
    names = {each.id: told_name(each, machines) for each in cycle.events if is_told(each, machines, only)}
    arcs = cycle.arcs
    for event in cycle.events:
        if event.id not in names:
            arcs = without(arcs, event.id)
    return replace(
        cycle,
        events=tuple(
            replace(each, id=names[each.id], station=machines.get(each.station, each.station))
            for each in cycle.events
            if each.id in names
        ),
        arcs=tuple(replace(arc, before=names[arc.before], after=names[arc.after]) for arc in arcs),
        critical=tuple(names[each] for each in cycle.critical if each in names),
    )


def is_told(event: Event, machines: Mapping[str, str], only: Mapping[str, str]) -> bool:
    """Whether an event is one of the cell: not the work of a buffer, nor a move between it and its machine."""
    if event.what in ("start", "finish"):
        return event.station not in machines
    if event.attendant is not None:
        return True
    ends = only.keys() if event.what in ("lift", "lifted") else only.values()
    return event.station not in ends


def told_name(event: Event, machines: Mapping[str, str]) -> str:
    """The id of an event at a buffer, at its machine."""
    number, what, *_ = event.id.split(" ")
    return f"{number} {what} {machines.get(event.station, event.station)}"


def without(arcs: tuple[Arc, ...], gone: str) -> tuple[Arc, ...]:
    """The arcs without an event, each path through it as one arc; of arcs between the same events the longest."""
    comes = [arc for arc in arcs if arc.after == gone and arc.before != gone]
    leaves = [arc for arc in arcs if arc.before == gone and arc.after != gone]
    through = [
        Arc(
            before=one.before,
            after=other.after,
            lag_steps=one.lag_steps + other.lag_steps,
            laps=one.laps + other.laps,
            why=other.why,
        )
        for one in comes
        for other in leaves
        if one.before != other.after
    ]
    found: dict[tuple[str, str, int], Arc] = {}
    for arc in (*(arc for arc in arcs if gone not in (arc.before, arc.after)), *through):
        key = (arc.before, arc.after, arc.laps)
        if key not in found or found[key].lag_steps < arc.lag_steps:
            found[key] = arc
    return tuple(found.values())

"""A machine's own buffers in a schedule: what is done at them is done at the machine, and of what moves between it and
them only the waits remain. A cell with several slots or loads beside buffers is told in full, with all of that.
"""

from collections.abc import Mapping
from dataclasses import replace

from millhand.model.cell import Cell
from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.slots import is_told_in_full
from millhand.solvers.cycle.tours.tour import Cycle
from millhand.solvers.cycle.view import Stop
from millhand.solvers.cycle.written import before, behind, machines_of, only_ways


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


def told_at_machines(cell: Cell, cycle: Cycle) -> Cycle:
    """The cycle with the cell's own stations: of what happens inside a machine only its work and the waits are told."""
    machines = machines_of(cell)
    only = only_ways(cell)
    if not machines or is_told_in_full(cell):
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

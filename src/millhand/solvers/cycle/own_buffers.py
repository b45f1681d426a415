"""A machine's own buffers in a schedule: what is done at them is done at the machine, and of what moves between it and
them only the waits remain. A cell with several slots or loads beside buffers is told in full, with all of that.
"""

from collections.abc import Mapping
from dataclasses import replace

from millhand.model.cell import Cell
from millhand.model.schedule import Event
from millhand.solvers.cycle.chains import first_of
from millhand.solvers.cycle.slots import is_told_in_full
from millhand.solvers.cycle.tours.standing import without
from millhand.solvers.cycle.tours.tour import Cycle
from millhand.solvers.cycle.view import Stop
from millhand.solvers.cycle.written import machines_of, only_ways


def long_stays(route: tuple[Stop, ...], only_to: Mapping[str, str]) -> tuple[Stop, ...]:
    """A route whose limited stays begin where the part comes to the first place of its machine: in a buffer of its own,
    or in the machine itself."""
    stations = [stop.stations for stop in route]
    return tuple(
        stop if stop.stay_max_steps is None else replace(stop, stay_since=at - first_of(stations, at, only_to))
        for at, stop in enumerate(route)
    )


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

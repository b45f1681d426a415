"""A machine's own buffers written out: a store before it out of which it takes by itself, and one behind it.

'm in' stands before machine m and 'm out' behind it. The search sees every cell so; the validator those that are told
in full, slot by slot.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from millhand.model.cell import Attendant, Cell, Step
from millhand.model.handling import Handling
from millhand.model.station import Station
from millhand.solvers.cycle.chains import chain_of, steps_along
from millhand.solvers.cycle.slots import is_told_in_full, with_slots


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
    """The stations that one becomes; with several slots each is a machine by then, with endless slots it is one."""
    if not has_buffers(station):
        yield name, station
        return
    takes, gives = station.in_queue != 0, station.out_queue != 0
    store = Station(kind="store", place=station.place, capacity=None)
    if takes:
        yield f"{name} in", replace(store, capacity=station.in_queue, self_in=station.self_in)
    alone = replace(station, in_queue=0, out_queue=0)
    yield name, replace(alone, self_in=takes or station.self_in, self_out=gives or station.self_out)
    if gives:
        yield f"{name} out", replace(store, capacity=station.out_queue, self_out=station.self_out)


def handled_there(row: Handling, cell: Cell) -> Handling:
    """A row that holds at the buffers of its machines too."""
    machines = machines_of(cell)
    return replace(row, at=(*row.at, *(each for each, name in machines.items() if name in row.at)))


def steps_of(step: Step, cell: Cell) -> Iterator[Step]:
    """A step with those of the buffers before and behind its machines."""
    chains = {name: chain_of(name, cell.stations[name]) for name in step.at}
    yield from steps_along(step, chains, following=step.every)


def reaching(attendant: Attendant, cell: Cell) -> Attendant:
    """An attendant that takes and puts where the parts of its stations are lifted and set down."""

    def at(names: tuple[str, ...] | None, buffer: str) -> tuple[str, ...] | None:
        side = before if buffer == "in" else behind
        return None if names is None else tuple(side(name, cell.stations[name]) for name in names)

    return replace(attendant, take_from=at(attendant.take_from, "out"), put_to=at(attendant.put_to, "in"))


def in_full(cell: Cell) -> Cell:
    """A cell that is told in full with every slot and buffer as a station; any other cell as it is."""
    return with_buffers(with_slots(cell)) if is_told_in_full(cell) else cell

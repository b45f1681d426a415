"""Machines without a slot (capacity 0): nothing is ever set down there, so routes go over the others of their step."""

from dataclasses import replace

from millhand.errors import InputError
from millhand.model.cell import Cell, CellPart
from millhand.model.station import Station


def is_closed(station: Station) -> bool:
    """Whether a machine has no slot."""
    return station.kind == "process" and station.capacity == 0


def with_open_machines(cell: Cell) -> Cell:
    """The cell whose routes go over machines with slots only; the same cell where all have some.

    A machine without a slot keeps its place among the stations, so that the chance of all others stays the same; it
    never works, stops or wears."""
    shut = frozenset(name for name, station in cell.stations.items() if is_closed(station))
    if not shut:
        return cell
    idle = {
        name: replace(station, capacity=1, faults=(), wear=(), calendar=None) if name in shut else station
        for name, station in cell.stations.items()
    }
    return replace(cell, stations=idle, parts={name: past(name, part, shut) for name, part in cell.parts.items()})


def words_on_closed(cell: Cell) -> list[str]:
    """What the reader must know about machines without a slot."""
    return [f"{name} has no slot, so nothing comes there" for name, each in cell.stations.items() if is_closed(each)]


def past(name: str, part: CellPart, shut: frozenset[str]) -> CellPart:
    """A route past the machines without a slot; each step needs one with some."""
    route = []
    for number, step in enumerate(part.route):
        left = tuple(each for each in step.at if each not in shut)
        if not left:
            where = f"/parts/{name}/route/{number}/at"
            raise InputError(where, f"{', '.join(step.at)}, capacity 0", "a machine that has a slot", "no_slot")
        times = step.times_s and {each: span for each, span in step.times_s.items() if each not in shut}
        route.append(replace(step, at=left, times_s=times))
    return replace(part, route=tuple(route))

"""Trays of one step, each with a place of its own: a part that is taken up there goes into the machine behind it.

All of these places are where the machines are, so that every way is as long as it was; only the loaded ways from a
tray lead nowhere but to its machine. It holds for whoever has one hand: with several a part could go on beside another.
"""

from collections.abc import Mapping
from dataclasses import replace

from millhand.model.cell import Cell, MoveTable

Ways = tuple[tuple[float | None, ...], ...]


def with_places(cell: Cell, trays: Mapping[str, str]) -> Cell:
    """The cell in which each of these machines, and the tray before it, has a place of its own."""
    for machine, tray in trays.items():
        own = free_name(cell, machine)
        cell = beside(cell, machine, own, only=None)
        cell = beside(cell, tray, free_name(cell, tray), only=own)
    return cell


def free_name(cell: Cell, name: str) -> str:
    """A name that no place has."""
    while name in cell.places:
        name = f"{name}_"
    return name


def beside(cell: Cell, station: str, place: str, *, only: str | None) -> Cell:
    """The cell with a station at a place of its own where it stands; `only`: where loaded ways from there lead."""
    old = cell.stations[station].place
    if old is None:
        return cell
    return replace(
        cell,
        places={**cell.places, place: cell.places[old]},
        stations={**cell.stations, station: replace(cell.stations[station], place=place)},
        moves={name: with_place(each, old, place, only) for name, each in cell.moves.items()},
    )


def with_place(table: MoveTable, old: str, place: str, only: str | None) -> MoveTable:
    """A table with one more place at the spot of an old one."""
    if old not in table.places:
        return table
    empty, at = twice(table.empty_s, table.places.index(old)), len(table.places)
    loaded = table.loaded_s and twice(table.loaded_s, table.places.index(old))
    places = (*table.places, place)
    if only is not None:
        ways = loaded or empty
        row = tuple(way if name in (only, place) else None for name, way in zip(places, ways[at], strict=True))
        loaded = (*ways[:at], row)
    return replace(table, places=places, empty_s=empty, loaded_s=loaded)


def twice(ways: Ways, at: int) -> Ways:
    """A square with one of its places a second time, at its end; from one of them to the other it takes no time."""
    rows = [(*row, row[at]) for row in ways]
    return (*rows, rows[at])

"""Move tables of a cell: square, with the homes of those who use them."""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.intake.cell_fields import pointer
from millhand.model.cell import Cell, MoveTable


def tables(cell: Cell) -> Iterator[InputError]:
    """Every table is written out, square, and 0 from a place to itself."""
    for name, table in cell.moves.items():
        at = pointer("/moves", name)
        if table.axis is not None:
            yield InputError(f"{at}/axis", "an axis", "its expansion, places and empty_s", "axis_left")
        yield from square(f"{at}/empty_s", table.places, table.empty_s)
        if table.loaded_s is not None:
            yield from square(f"{at}/loaded_s", table.places, table.loaded_s)
        for i, row in enumerate(table.empty_s):
            if i < len(row) and row[i] != 0:
                write = f"0, the way from {table.places[i] if i < len(table.places) else i!r} to itself"
                yield InputError(
                    f"{at}/empty_s/{i}/{i}", "null" if row[i] is None else f"{row[i]:g}", write, "way_to_itself"
                )


def square(at: str, places: tuple[str, ...], rows: tuple[tuple[float | None, ...], ...]) -> Iterator[InputError]:
    """As many rows and columns as places."""
    size = len(places)
    if len(rows) != size:
        yield InputError(at, f"{len(rows)} rows", f"{size} rows, one for each place", "not_square")
    for i, row in enumerate(rows):
        if len(row) != size:
            yield InputError(f"{at}/{i}", f"{len(row)} numbers", f"{size} numbers, one for each place", "not_square")


def homes(cell: Cell) -> Iterator[InputError]:
    """Who moves has a home, and the home stands in the table; the slow table has the same places."""
    for name, attendant in cell.attendants.items():
        at = pointer("/attendants", name)
        table = cell.moves.get(attendant.moves_full or "")
        if table is None:
            continue
        if attendant.home is None:
            yield InputError(f"{at}/home", "nothing", "where it starts; whoever has moves has a home", "no_home")
        elif attendant.home in cell.places and attendant.home not in table.places:
            write = f"a place of its table {attendant.moves_full!r}"
            yield InputError(f"{at}/home", attendant.home, write, "home_not_in_table")
        slow = cell.moves.get(attendant.moves_slow or "")
        if slow is not None and set(slow.places) != set(table.places):
            write = f"a table with the places of {attendant.moves_full!r}"
            yield InputError(f"{at}/moves/slow", str(attendant.moves_slow), write, "slow_places_differ")


def seconds_between(table: MoveTable, start: str, end: str, *, loaded: bool) -> float | None:
    """Travel time between two places of a table [s]; None where it cannot, or where the table does not have them."""
    if start not in table.places or end not in table.places:
        return None
    rows = table.loaded_s if loaded and table.loaded_s is not None else table.empty_s
    i, j = table.places.index(start), table.places.index(end)
    return rows[i][j]

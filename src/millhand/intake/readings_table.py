"""A file of stopwatch readings, CSV or XLSX, as columns of cells with their places; nothing is computed here."""

from dataclasses import dataclass
from pathlib import Path

from millhand.errors import InputError, InputErrors
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.table_file import Cell, Limits, Rows, refuse, table_in

MOST_ROWS = 20_000
LIMITS = Limits(code="readings", rows_are="readings", rows=MOST_ROWS, columns=200, unpacked_mb=100)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """The filled cells below one head."""

    head: str
    where: str
    cells: tuple[Cell, ...]


def columns_of(path: Path, *, sheet: str = "", comma: bool = False) -> tuple[Column, ...]:
    """The columns under the heads of the first row; InputErrors where the file cannot be read."""
    table = table_in(path, LIMITS, sheet=sheet, comma=comma)
    rows = table.rows
    if not rows or not any(rows[0]):
        place = rows[0] if rows else None
        refuse(f"{path.name}:1:1", "no heads" if place is not None else "an empty file",
               "the names of the elements in the first row, a column for each", "readings_no_heads")  # fmt: skip
    if not table.sheet:
        _headed(rows)
    return tuple(
        Column(
            head=str(head.value).strip(),
            where=head.where,
            cells=tuple(cell for row in rows[1:] if place < len(row) and (cell := row[place]) is not None),
        )
        for place, head in enumerate(rows[0])
        if head is not None
    )


def _headed(rows: Rows) -> None:
    """Refuse cells without a head: in a text file they come from a comma inside a number, and shift the rest."""
    loose = [
        cell
        for row in rows[1:]
        for place, cell in enumerate(row)
        if cell and not (rows[0][place : place + 1] or [None])[0]
    ]
    if loose:
        write = "one cell below each head; where numbers have a comma, semicolons between the columns"
        raise InputErrors([InputError(cell.where, str(cell.value), write, "readings_no_head") for cell in loose])


def column_named(columns: tuple[Column, ...], name: str) -> Column | InputError:
    """The column under a head, or the error that names those there are; its place is left to who asked."""
    found = [column for column in columns if column.head == name]
    if len(found) == 1:
        return found[0]
    if found:
        return InputError(found[1].where, name, f"another head: {name!r} stands twice", "readings_head_twice")
    heads = [column.head for column in columns]
    return InputError("", name, f"the head of a column of the file: {listed(heads)}{nearest(name, heads)}",
                      "readings_no_column")  # fmt: skip

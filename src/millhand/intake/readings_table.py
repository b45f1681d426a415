"""A file of stopwatch readings, CSV or XLSX, as columns of cells with their places; nothing is computed here."""

import csv
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any, NoReturn

from millhand.errors import InputError, InputErrors
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.packed import refuse_large
from millhand.intake.yaml_tree import utf8

MOST_ROWS, MOST_COLUMNS, MOST_UNPACKED_MB = 20_000, 200, 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One filled cell: its row, its place in words, and a number where the file holds one, else its text."""

    row: int
    where: str
    value: float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """The filled cells below one head."""

    head: str
    where: str
    cells: tuple[Cell, ...]


Rows = list[list[Cell | None]]


def columns_of(path: Path, *, sheet: str = "", comma: bool = False) -> tuple[Column, ...]:
    """The columns under the heads of the first row; InputErrors where the file cannot be read."""
    rows = _xlsx(path, sheet) if path.suffix.lower() == ".xlsx" else _csv(path, comma=comma)
    if not rows or not any(rows[0]):
        place = rows[0] if rows else None
        _refuse(f"{path.name}:1:1", "no heads" if place is not None else "an empty file",
                "the names of the elements in the first row, a column for each", "readings_no_heads")  # fmt: skip
    if path.suffix.lower() != ".xlsx":
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


def _csv(path: Path, *, comma: bool) -> Rows:
    """Tabs, semicolons or commas between columns, whichever the first row has; with decimal commas never commas."""
    text = utf8(path.read_bytes(), path.name)
    first = text.partition("\n")[0]
    sign = "\t" if "\t" in first else ";" if ";" in first or comma else ","
    reader = csv.reader(StringIO(text), delimiter=sign, strict=True)
    rows: Rows = []
    try:
        for line in reader:
            number = reader.line_num
            _within(number, len(line), f"{path.name}:{number}:1")
            rows.append([
                Cell(row=number, where=f"{path.name}:{number}:{place}", value=text.strip()) if text.strip() else None
                for place, text in enumerate(line, start=1)
            ])  # fmt: skip
    except csv.Error as error:
        _refuse(f"{path.name}:{reader.line_num}:1", str(error), "a row of cells, every quote closed", "readings_csv")
    return rows


def _xlsx(path: Path, sheet: str) -> Rows:
    """The filled cells of one sheet; of a formula the value that was saved with it."""
    from openpyxl import load_workbook  # type: ignore[import-untyped]

    refuse_large(path, kind="readings", most_mb=MOST_UNPACKED_MB)
    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except Exception as error:  # the library raises whatever its parsers do
        _refuse(path.name, type(error).__name__, "a workbook that a spreadsheet program opens", "readings_xlsx")
    try:
        if sheet and sheet not in book.sheetnames:
            names = book.sheetnames
            _refuse(
                path.name, sheet, f"the name of a sheet: {listed(names)}{nearest(sheet, names)}", "readings_no_sheet"
            )
        page = book[sheet or book.sheetnames[0]]
        rows: Rows = []
        for number, line in enumerate(page.iter_rows(values_only=True), start=1):
            _within(number, len(line), f"{path.name} {page.title}!A{number}")
            rows.append([_cell(value, f"{path.name} {page.title}", number, place) for place, value in enumerate(line)])
        return rows
    finally:
        book.close()


def _cell(value: Any, where: str, row: int, place: int) -> Cell | None:
    """One cell of a sheet; dates, times of day and yes or no stay texts, which no reading is."""
    from openpyxl.utils import get_column_letter  # type: ignore[import-untyped]

    if value is None or (isinstance(value, str) and not value.strip()):
        return None
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return Cell(
        row=row, where=f"{where}!{get_column_letter(place + 1)}{row}", value=float(value) if number else str(value)
    )


def _within(row: int, columns: int, where: str) -> None:
    """Refuse more rows or columns than anybody times."""
    if row > MOST_ROWS + 1 or columns > MOST_COLUMNS:
        _refuse(where, f"row {row} of {columns} columns", f"at most {MOST_ROWS} readings and {MOST_COLUMNS} columns",
                "readings_large")  # fmt: skip


def _refuse(where: str, read: str, write: str, code: str) -> NoReturn:
    """One error ends the file."""
    raise InputErrors([InputError(where, read, write, code)])

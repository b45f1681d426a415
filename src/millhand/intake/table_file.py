"""A table that somebody keeps, CSV or XLSX, as rows of cells with their places; nothing is computed or evaluated here.

A workbook is looked over before it is opened: how large it unpacks, how far its cells reach, how long its texts are. Of
a formula the value counts that was saved with it; a text that begins as one stays a text.
"""

import csv
import re
import zipfile
import zlib
from dataclasses import dataclass
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any, NoReturn

from millhand.errors import InputError, InputErrors
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.yaml_tree import utf8
from millhand.model.letters import letters

MOST_TEXT_MB = 200  # of all cells together, were each as long as the longest text
PLACED = re.compile(rb"""[\s:]r\s*=\s*["']([A-Za-z]{0,9})([0-9]{1,12})["']""")
A_ROW, A_CELL = re.compile(rb"<(?:\w+:)?row[\s/>]"), re.compile(rb"<(?:\w+:)?c[\s/>]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One filled cell: its row, its place in words, and a number where the file holds one, else its text."""

    row: int
    where: str
    value: float | str


Rows = list[list[Cell | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How large a table of a kind may be, what its rows are called, and how the codes of its errors begin."""

    code: str
    rows_are: str  # 'readings'
    rows: int
    columns: int
    unpacked_mb: int
    looked_at: int = 1  # rows from the top that say which sign parts the columns of a text file


@dataclass(frozen=True, slots=True, kw_only=True)
class TableFile:
    """All rows of a table; `sheet` is '' for a text file."""

    name: str
    sheet: str
    rows: Rows


def table_in(path: Path, limits: Limits, *, sheet: str = "", comma: bool = False) -> TableFile:
    """The rows of a file; InputErrors where it cannot be read."""
    if path.suffix.lower() == ".xlsx":
        return _xlsx(path, limits, sheet)
    return TableFile(name=path.name, sheet="", rows=_csv(path, limits, comma=comma))


def refuse(where: str, read: str, write: str, code: str) -> NoReturn:
    """One error ends the file."""
    raise InputErrors([InputError(where, read, write, code)])


def printable(text: str) -> str:
    """A cell's text without what a terminal would obey: line breaks and control characters as spaces.

    >>> printable(" Länge\\n[mm] ")
    'Länge [mm]'
    """
    return "".join(each if each.isprintable() else " " for each in text).strip()


def column_number(name: str) -> int:
    """The place of a column of that name, counted from 1.

    >>> column_number("A"), column_number("aa"), column_number("ZZ")
    (1, 27, 702)
    """
    number = 0
    for letter in name.upper():
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def _csv(path: Path, limits: Limits, *, comma: bool) -> Rows:
    """Tabs, semicolons or commas between columns, whichever the first rows have; with decimal commas never commas."""
    text = utf8(path.read_bytes(), path.name)
    first = "\n".join(text.split("\n", limits.looked_at)[: limits.looked_at])
    sign = "\t" if "\t" in first else ";" if ";" in first or comma else ","
    reader = csv.reader(StringIO(text), delimiter=sign, strict=True)
    rows: Rows = []
    try:
        for line in reader:
            number = reader.line_num
            _within(number, len(line), f"{path.name}:{number}:1", limits)
            rows.append([
                Cell(row=number, where=f"{path.name}:{number}:{place}", value=own) if (own := printable(text)) else None
                for place, text in enumerate(line, start=1)
            ])  # fmt: skip
    except csv.Error as error:
        write = "a row of cells, every quote closed"
        refuse(f"{path.name}:{reader.line_num}:1", str(error), write, f"{limits.code}_csv")
    return rows


def _xlsx(path: Path, limits: Limits, sheet: str) -> TableFile:
    """The filled cells of one sheet."""
    from python_calamine import CalamineWorkbook

    content = path.read_bytes()
    looked_over(path.name, content, limits)
    try:
        book = CalamineWorkbook.from_filelike(BytesIO(content))
    except Exception as error:  # the library raises whatever its parsers do
        _no_workbook(path.name, error, limits)
    names = book.sheet_names
    if not names:
        _no_workbook(path.name, ValueError("no sheet"), limits)
    if sheet and sheet not in names:
        write = f"the name of a sheet: {listed(names)}{nearest(sheet, names)}"
        refuse(path.name, sheet, write, f"{limits.code}_no_sheet")
    title = sheet or names[0]
    try:
        lines = book.get_sheet_by_name(title).to_python(skip_empty_area=False)
    except Exception as error:
        _no_workbook(path.name, error, limits)
    rows: Rows = []
    for number, line in enumerate(lines, start=1):
        _within(number, len(line), f"{path.name}: {title}!A{number}", limits)
        rows.append([_cell(value, f"{path.name}: {title}", number, place) for place, value in enumerate(line)])
    return TableFile(name=path.name, sheet=title, rows=rows)


def _cell(value: Any, where: str, row: int, place: int) -> Cell | None:
    """One cell of a sheet; dates, times of day and yes or no stay texts, which no number is."""
    number = isinstance(value, int | float) and not isinstance(value, bool)
    own = float(value) if number else printable(str(value))
    return Cell(row=row, where=f"{where}!{letters(place)}{row}", value=own) if own != "" and value is not None else None


def _no_workbook(name: str, error: Exception, limits: Limits) -> NoReturn:
    """The file is none that a spreadsheet program opens."""
    refuse(name, type(error).__name__, "a workbook that a spreadsheet program opens", f"{limits.code}_xlsx")


def looked_over(name: str, content: bytes, limits: Limits) -> None:
    """Refuse what is no workbook, unpacks to more than such a table ever holds, or has cells far out or texts far too
    long: a small file may ask a reader for all the memory that there is."""
    left = limits.unpacked_mb * 1_000_000
    cells = longest = 0
    try:
        with zipfile.ZipFile(BytesIO(content)) as packed:
            for each in packed.infolist():
                with packed.open(each) as member:  # what it says of its own size may be untrue
                    text = member.read(left + 1)
                left -= len(text)
                if left < 0:
                    write = f"a workbook of at most {limits.unpacked_mb} MB unpacked"
                    refuse(name, f"more than {limits.unpacked_mb} MB unpacked", write, f"{limits.code}_large")
                if b"sheetData" in text:
                    _reaching(name, text, limits)
                cells += len(A_CELL.findall(text))
                longest = max(longest, *map(len, re.split(rb"<(?:\w+:)?si[\s/>]", text)[1:] or [b""]))
    except (zipfile.BadZipFile, zlib.error, OSError, RuntimeError, NotImplementedError, EOFError, ValueError):
        refuse(name, "no workbook", "an XLSX file, or the same table as CSV", f"{limits.code}_xlsx")
    if cells * longest > MOST_TEXT_MB * 1_000_000:
        refuse(name, f"{cells} cells, a text of {longest} characters", "a table of short texts", f"{limits.code}_large")


def _reaching(name: str, text: bytes, limits: Limits) -> None:
    """Refuse cells beyond the limits by the places that they name, and more rows than there may be."""
    rows, columns = len(A_ROW.findall(text)), 0
    for column, number in set(PLACED.findall(text)):
        rows, columns = max(rows, int(number)), max(columns, column_number(column.decode()))
    _within(rows, columns, name, limits)


def _within(row: int, columns: int, where: str, limits: Limits) -> None:
    """Refuse more rows or columns than anybody has of this."""
    if row > limits.rows + 1 or columns > limits.columns:
        write = f"at most {limits.rows} {limits.rows_are} and {limits.columns} columns"
        refuse(where, f"row {row} of {columns} columns", write, f"{limits.code}_large")

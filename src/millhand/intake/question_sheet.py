"""The sheet of questions as it comes back: its filled rows as texts with their places, nothing judged yet.

Writer and reader share the order of the columns and the mark that says what the sheet is.
"""

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from millhand.errors import InputError, InputErrors
from millhand.intake.cell_fields import listed
from millhand.intake.table_file import Limits, looked_over

SHEET, MARK = "Questions", "millhand-questions/1"
COLUMNS = (
    "number", "question", "meanwhile", "why", "answer", "unit", "least", "most", "who", "when", "how", "note", "path",
)  # fmt: skip
FILLED = ("answer", "least", "most", "who", "when", "how", "note")
LETTERS = dict(zip(COLUMNS, "ABCDEFGHIJKLM", strict=True))
MOST_MB, LONGEST = 5, 200
LIMITS = Limits(code="questions", rows_are="questions", rows=5000, columns=200, unpacked_mb=50)


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """One row that somebody wrote into: texts by column, and the place of each in words."""

    path: str
    unit: str
    row: int
    file: str
    texts: Mapping[str, str]
    numbers: frozenset[str] = frozenset()  # columns whose cells hold numbers, not texts

    def text(self, column: str) -> str:
        """What stands in a column; '' where it is empty."""
        return self.texts.get(column, "")

    def place(self, column: str) -> str:
        """Where it stands: file: sheet!cell."""
        return f"{self.file}: {SHEET}!{LETTERS[column]}{self.row}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What a sheet says: the job that it asks about, and its filled rows."""

    file: str
    job: str
    rows: tuple[Filled, ...]


def read_sheet(path: Path) -> Sheet:
    """The filled rows of a question sheet; InputErrors where it cannot be read."""
    lines = lines_of(path)
    end = len(COLUMNS) - 1
    head = next((number for number, line in enumerate(lines) if line[end : end + 1] == [MARK]), None)
    if head is None:
        refuse(path, "no sheet of questions", "the file that `millhand questions` wrote, filled in", "questions_mark")
    found = []
    for number, line in enumerate(lines[head + 1 :], start=head + 2):
        texts = {name: text_of(value) for name, value in zip(COLUMNS, line, strict=False)}
        filled = {name: text for name in FILLED if (text := texts.get(name, ""))}
        if filled and texts.get("path"):
            numbers = frozenset(
                name for name, value in zip(COLUMNS, line, strict=False) if isinstance(value, int | float)
            )
            found.append(
                Filled(
                    path=texts["path"], unit=texts["unit"], row=number, file=path.name, texts=filled, numbers=numbers
                )
            )
    job = text_of(lines[0][end]) if len(lines[0]) > end else ""
    return Sheet(file=path.name, job=job, rows=tuple(found))


def lines_of(path: Path) -> list[list[Any]]:
    """All cells of the sheet from its first on."""
    from python_calamine import load_workbook

    try:
        size = path.stat().st_size
    except OSError as error:
        refuse(path, error.strerror or "nothing", "the path of the filled sheet", "unreadable")
    if size > MOST_MB * 1_000_000:
        refuse(path, f"{size / 1e6:.0f} MB", f"a sheet of at most {MOST_MB} MB", "questions_large")
    looked_over(path.name, path.read_bytes(), LIMITS)
    try:
        book = load_workbook(path)
        names = book.sheet_names
        if SHEET not in names:
            refuse(path, listed(names), f"the sheet {SHEET!r} in its place, under that name", "questions_no_sheet")
        lines: Sequence[list[Any]] = book.get_sheet_by_name(SHEET).to_python(skip_empty_area=False)
    except InputErrors:
        raise
    except Exception as error:  # the library raises whatever its parsers do
        refuse(path, type(error).__name__, "a workbook that a spreadsheet program opens", "questions_xlsx")
    return list(lines)


def text_of(value: Any) -> str:
    """A cell as somebody would have typed it, on one line and without what cannot be seen."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, datetime.datetime):
        value = value.date()
    if isinstance(value, datetime.time):
        return value.strftime("%H:%M")
    if isinstance(value, datetime.date):
        return value.isoformat()
    text = " ".join(str(value).split())
    return "".join(letter for letter in text if letter.isprintable())[:LONGEST]


def refuse(path: Path, read: str, write: str, code: str) -> NoReturn:
    """One error ends the file."""
    raise InputErrors([InputError(path.name, read, write, code)])

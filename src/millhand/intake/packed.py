"""Workbooks are packed: what a file of a few kilobytes unpacks to is counted before anything opens it."""

import re
import zipfile
from copy import copy
from pathlib import Path
from typing import NoReturn

from millhand.errors import InputError, InputErrors

MB = 1_000_000
PIECE = 65_536
# The place of a row or a cell of a sheet.
PLACE = re.compile(rb"""<(?:\w+:)?(?:c|row)\s(?:[^<>]*\s)?r\s*=\s*["']([A-Za-z]{0,3})([0-9]{1,9})["']""")


def refuse_large(path: Path, *, kind: str, most_mb: int = 100) -> None:
    """Refuse what is no workbook, or unpacks to more; `kind` begins the codes of the errors.

    The sizes that the file tells are believed only where they are too large already: each member is unpacked and
    counted, and no more of it than that is held.
    """
    try:
        with zipfile.ZipFile(path) as packed:
            members = packed.infolist()
            told = sum(each.file_size for each in members)
            size = told if told > most_mb * MB else unpacked(packed, members, most_mb * MB)
    except (zipfile.BadZipFile, OSError, NotImplementedError, RuntimeError, EOFError, ValueError):
        refuse(path, "no workbook", "an XLSX file, or the same table as CSV", f"{kind}_xlsx")
    if size > most_mb * MB:
        write = f"a workbook of at most {most_mb} MB unpacked"
        refuse(path, f"{size / MB:.0f} MB unpacked or more", write, f"{kind}_large")


def refuse_far(path: Path, *, kind: str, rows: int, columns: int) -> None:
    """Refuse a sheet with a cell far out: some readers make room for every cell up to the farthest one.

    For files that `refuse_large` has let pass.
    """
    far_row = far_column = 0
    with zipfile.ZipFile(path) as packed:
        for each in packed.infolist():
            text = packed.read(each) if each.filename.endswith(".xml") else b""
            for letters, digits in PLACE.findall(text):
                far_row, far_column = max(far_row, int(digits)), max(far_column, column_number(letters))
    if far_row > rows or far_column > columns:
        write = f"a sheet of at most {rows} rows and {columns} columns"
        refuse(path, f"a cell in row {far_row}, column {far_column}", write, f"{kind}_large")


def column_number(letters: bytes) -> int:
    """The number of a column from its letters, from 1; 0 for none.

    >>> column_number(b"A"), column_number(b"AB")
    (1, 28)
    """
    number = 0
    for letter in letters.upper():
        number = 26 * number + letter - 64
    return number


def unpacked(packed: zipfile.ZipFile, members: list[zipfile.ZipInfo], most: int) -> int:
    """Bytes of all members, counted; where there are more than `most`, just so many that this is known."""
    size = 0
    for each in members:
        longest = copy(each)
        longest.file_size = most + 2 * PIECE  # what the file itself tells would end the count
        with packed.open(longest) as stream:
            while size <= most and (piece := stream.read(PIECE)):
                size += len(piece)
        if size > most:
            break
    return size


def refuse(path: Path, read: str, write: str, code: str) -> NoReturn:
    """One error ends the file."""
    raise InputErrors([InputError(path.name, read, write, code)])

"""A question sheet filled in as a spreadsheet program does it."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from openpyxl import load_workbook  # type: ignore[import-untyped]

from millhand.intake.question_sheet import LETTERS, SHEET


def filled(form: Path, answers: Mapping[str, Mapping[str, Any]]) -> Path:
    """The form with these cells, by path and column, in a file beside it."""
    book = load_workbook(form)
    page = book[SHEET]
    rows = {page[f"{LETTERS['path']}{row}"].value: row for row in range(1, page.max_row + 1)}
    for path, cells in answers.items():
        for column, value in cells.items():
            page[f"{LETTERS[column]}{rows[path]}"] = value
    target = form.with_name("filled.xlsx")
    book.save(target)
    return target

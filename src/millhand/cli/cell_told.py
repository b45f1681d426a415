"""What the commands say of a cell file before they work with it: whether it can be used, and what in it is odd."""

import json
import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from millhand.intake.cell import read_cell
from millhand.intake.cell_odd import cell_oddities
from millhand.model.canonical import canonical
from millhand.model.cell import Cell

COLUMNS = 80
FAMILY = "millhand-cell/"


def say_odd(file: Path, cell: Cell) -> None:
    """What can hardly be meant so, on standard error, where it stands in nobody's way."""
    for line in odd_lines(file, cell):
        click.echo(line, err=True)


def odd_lines(file: Path, cell: Cell, mark: str = "Odd: ") -> Iterator[str]:
    """Each odd thing at its place, at most 80 columns wide where its words allow it."""
    for each in cell_oddities(cell):
        yield from textwrap.wrap(
            f"{file.name}#{each.sentence}", COLUMNS, initial_indent=mark, subsequent_indent=" " * len(mark),
            break_on_hyphens=False, break_long_words=False,
        )  # fmt: skip


def is_cell(file: Path) -> bool:
    """Whether a file says of itself that it is a cell, whatever is wrong with it otherwise."""
    if file.suffix.lower() != ".json":
        return False
    try:
        data = json.loads(file.read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(data, dict) and str(data.get("format", "")).startswith(FAMILY)


def check_cell(file: Path, *, as_json: bool) -> None:
    """What `millhand check` says of a cell; every error at once where it cannot be used."""
    cell = read_cell(file)
    click.echo(canonical(cell_map(cell)) if as_json else "\n".join(cell_page(file, cell)), nl=not as_json)


def cell_page(file: Path, cell: Cell) -> Iterator[str]:
    """The lines of that answer."""
    yield f"{file.name}: {cell.name}"
    counts = {"Stations": cell.stations, "attendants": cell.attendants, "part types": cell.parts}
    yield f"Can be used. {'; '.join(f'{name}: {len(each)}' for name, each in counts.items())}."
    lines = list(odd_lines(file, cell, "- "))
    if lines:
        yield from ("", "Odd figures", "-----------", *lines)


def cell_map(cell: Cell) -> dict[str, Any]:
    """The same for machines."""
    return {"name": cell.name, "odd_at": cell_oddities(cell), "odd": [each.words for each in cell_oddities(cell)]}

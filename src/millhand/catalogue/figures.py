"""Default figures of the trade: times, rates and shares by name."""

from typing import cast, get_args

from millhand.catalogue.table import Row, numbers, table
from millhand.catalogue.words import DATA
from millhand.errors import InputError
from millhand.model.fact import Fact, Shape

COLUMNS = ("name", "unit", "low", "value", "high", "shape", "source", "note", "question", "title")
SHAPES = get_args(Shape)


def figures(errors: list[InputError]) -> dict[str, Fact]:
    """Every figure of figures.csv by its name."""
    found = {}
    for row in table(DATA / "figures.csv", COLUMNS, errors):
        fact = figure(row, errors)
        if fact is not None:
            found[row.texts["name"]] = fact
    return found


def figure(row: Row, errors: list[InputError]) -> Fact | None:
    """One row as a fact `catalogue.<name>`."""
    ends = numbers(row, errors)
    shape = row.texts["shape"]
    if ends is None:
        return None
    if shape not in SHAPES or (shape == "point") != (ends[0] is None):
        errors.append(row.bad("shape", "point for a value alone, else triangular, lognormal or uniform", "shape"))
        return None
    low, value, high = ends
    source = f"{row.file}:{row.line}, {row.texts['source']}"
    return Fact(
        id=f"catalogue.{row.texts['name']}", value=value, low=low, high=high, shape=cast(Shape, shape),
        unit=row.texts["unit"], basis="assumed", source=source, note=row.texts["note"] or None,
        question=row.texts["question"] or None, title=row.texts["title"],
    )  # fmt: skip

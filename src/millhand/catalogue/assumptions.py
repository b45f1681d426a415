"""The assumptions: what fills a gap of an inquiry, out of a data file, with range, source and question. SI throughout.

A key is the path of a fact with names left out (`machines.*.door`); after `@` stand the words that must all be true of
the thing (`machines.*.clamping@mill`). The row that fits with the most words counts.
"""

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import cast

from millhand.errors import ToolError
from millhand.model.fact import Assumption, Shape

DATA = "assumptions.csv"


@cache
def assumptions() -> Mapping[str, Assumption]:
    """Every row by its key."""
    text = files("millhand.catalogue").joinpath("data", DATA).read_text(encoding="utf-8")
    found: dict[str, Assumption] = {}
    for row in csv.DictReader(text.splitlines()):
        assumption = of_row(row)
        if assumption.key in found:
            raise ToolError(f"{DATA}: {assumption.key} stands twice", code="bad_data")
        found[assumption.key] = assumption
    return found


def of_row(row: Mapping[str, str]) -> Assumption:
    """One row as a record: a number with its range, or a word."""
    if bool(row["value"]) == bool(row["word"]):
        raise ToolError(f"{DATA}: {row['key']} needs a value or a word, and not both", code="bad_data")
    value, low, high = (float(row[name]) if row[name] else None for name in ("value", "low", "high"))
    if value is not None and not (value if low is None else low) <= value <= (value if high is None else high):
        raise ToolError(f"{DATA}: {row['key']} lies outside its own range", code="bad_data")
    return Assumption(
        key=row["key"], unit=row["unit"], source=row["source"], question=row["question"], value=value, low=low,
        high=high, shape=cast(Shape, row["shape"] or "point"), word=row["word"] or None, kills=int(row["kills"]),
    )  # fmt: skip

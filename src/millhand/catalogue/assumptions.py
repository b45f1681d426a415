"""The assumptions: what fills a gap of an inquiry, out of a data file, with range, source and question. SI throughout.

A key is the path of a fact with names left out (`machines.*.door`); after `@` stand the words that must all be true of
the thing (`machines.*.clamping@mill`). The row that fits with the most words counts.
"""

import csv
import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import cast

from millhand.catalogue.figures import figures
from millhand.errors import ToolError
from millhand.model.fact import Assumption, Fact, Shape

DATA = "assumptions.csv"
DENSITY = re.compile(r"catalogue\.density_(\w+)_kg_m3")
NO_SOLID = ("other",)


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
    return found | {row.key: row for row in densities()}


def solid_densities(facts: Iterable[Fact]) -> Mapping[str, float]:
    """The density of each material whose solid piece has a mass, by its word; what is called other has none."""
    named = ((DENSITY.fullmatch(fact.id), fact.value) for fact in facts)
    return {word[1]: value for word, value in named if word is not None and word[1] not in NO_SOLID}


def densities() -> Iterator[Assumption]:
    """The density of each material, for the mass of a part of which a mesh is there: the figures that all else uses."""
    for fact in figures([]).values():
        word = DENSITY.fullmatch(fact.id)
        if word is not None:
            yield Assumption(
                key=f"parts.*.mesh.density@{word[1]}", unit=fact.unit, source=fact.source, value=fact.value,
                question="What is the part made of, and how much does it weigh?", shape="point",
            )  # fmt: skip


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

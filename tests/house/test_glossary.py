"""The glossary fixes each quantity of the records once, with its unit; and holds nothing that no record has."""

import dataclasses
import importlib
import re
import typing
from collections.abc import Iterator
from functools import cache

from millhand.formulas.register import unit_of
from millhand.model.fact import Fact
from tests.house.source_text import SOURCE, TOP, files, over_each

ROW = re.compile(r"^\| `([\w.]+)` \|([^|]+)\|[^|]*\|([^|]+)\|$")
PLAIN_ENDINGS = ("_s", "_m", "_kg", "_m_s", "_m_s2", "_m2", "_y", "_months")
QUANTITIES = {"float", "int", "Fact", "Span", "Figure"}


@cache
def rows() -> dict[str, str]:
    """Term and unit of every row of the quantities."""
    lines = (TOP / "docs" / "glossary.md").read_text(encoding="utf-8").splitlines()
    return {match[1]: match[2].strip() for line in lines if (match := ROW.match(line))}


def types_in(hint: object) -> Iterator[str]:
    """The names of all types inside a hint."""
    yield getattr(hint, "__name__", "")
    for inner in typing.get_args(hint):
        yield from types_in(inner)


def fields() -> list[tuple[str, str, bool]]:
    """Record, field, and whether it holds a quantity, over all records of the model."""
    found = []
    for path in files(SOURCE / "model"):
        module = importlib.import_module(f"millhand.model.{path.stem}")
        for record in vars(module).values():
            if (
                not isinstance(record, type)
                or not dataclasses.is_dataclass(record)
                or record.__module__ != module.__name__
            ):
                continue
            for name, hint in typing.get_type_hints(record).items():
                found.append((record.__name__, name, bool(set(types_in(hint)) & QUANTITIES)))
    return found


FIELDS = fields()


@over_each(sorted({(record, name) for record, name, counts in FIELDS if counts}))
def test_a_quantity_of_a_record_stands_in_the_glossary(each: tuple[str, str]) -> None:
    """By its own name, or with its record where the name means different things."""
    record, name = each
    known = rows()

    assert name in known or f"{record}.{name}" in known, f"docs/glossary.md lacks {record}.{name}"


def test_the_glossary_holds_no_field_that_is_gone() -> None:
    """A row whose field no record has would explain what is not there."""
    names = {name for _, name, _ in FIELDS} | {f"{record}.{name}" for record, name, _ in FIELDS}

    assert not rows().keys() - names


@over_each(rows().items())
def test_the_unit_of_a_row_is_what_the_name_ends_on(row: tuple[str, str]) -> None:
    """A name that ends on a plain unit has that unit."""
    term, unit = row
    name = term.rpartition(".")[2]
    ending = next((end for end in sorted(PLAIN_ENDINGS, key=len, reverse=True) if name.endswith(end)), None)

    assert ending is None or "_per_" in name or unit == unit_of(name)


def test_a_fact_is_seen_inside_other_types() -> None:
    """An optional fact, a tuple of facts and a map of facts are quantities too."""
    for hint in (Fact | None, tuple[Fact, ...], dict[str, Fact]):
        assert "Fact" in set(types_in(hint))

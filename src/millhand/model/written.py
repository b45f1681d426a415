"""The written form of a cell: what a file calls the fields, what goes without saying, and Cell -> dict."""

import dataclasses
from collections.abc import Mapping
from typing import Any

from millhand.model.cell import Attendant, Cell, MoveTable, Step, Zone
from millhand.model.duty import Changeover, Trigger
from millhand.model.handling import Element
from millhand.model.span import Span
from millhand.model.station import Station

# Fields that a file calls otherwise ('' = not written under a key of its own).
NAMES: Mapping[type, Mapping[str, str]] = {
    Zone: {"duties": "from"},
    Changeover: {"from_family": "from", "to_family": "to"},
    Attendant: {"moves_full": "", "moves_slow": ""},
    Trigger: {"every_n": "every"},
    Step: {"times_s": "time_s"},
}
# Stations whose capacity need not be written: one part at a time. Supply, store and sink say it, or null for no limit.
CAPACITY: Mapping[str, int] = {"process": 1, "gate": 1}
ALWAYS = frozenset({"format"})


def as_written(cell: Cell) -> dict[str, Any]:
    """The cell as a file holds it: defaults left out, a constant span as a bare number.

    A number that `origins` points at is written even where it equals its default, so that the pointer keeps its aim.
    """
    kept = {origin[:i] for origin in cell.origins for i in range(1, len(origin) + 1)}
    return record_form(cell, "", kept)


def form(value: Any, at: str, kept: set[str]) -> Any:
    """One value in file form; `at` is its pointer."""
    if isinstance(value, Span):
        return span_form(value)
    if isinstance(value, Element):
        return [value.name, tidy(value.time_s), value.side]
    if dataclasses.is_dataclass(value):
        return record_form(value, at, kept)
    if isinstance(value, Mapping):
        return {key: form(item, f"{at}/{escaped(key)}", kept) for key, item in value.items()}
    if isinstance(value, tuple):
        return [form(item, f"{at}/{i}", kept) for i, item in enumerate(value)]
    return tidy(value)


def tidy(value: Any) -> Any:
    """A whole float as an int: 45, not 45.0."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def escaped(key: str) -> str:
    """A key as a JSON pointer writes it."""
    return key.replace("~", "~0").replace("/", "~1")


def span_form(span: Span) -> Any:
    """A bare number, or dist, mean_s and what belongs to the distribution."""
    if span.dist == "constant":
        return tidy(span.mean_s)
    given = {each.name: getattr(span, each.name) for each in dataclasses.fields(span)}
    return {name: form(value, "", set()) for name, value in given.items() if value is not None}


def record_form(record: Any, at: str, kept: set[str]) -> dict[str, Any]:
    """A record as an object, fields in record order, defaults left out."""
    names = NAMES.get(type(record), {})
    found: dict[str, Any] = {}
    for each in dataclasses.fields(record):
        key, value = names.get(each.name, each.name), getattr(record, each.name)
        if key and (not is_default(record, each, value) or (f"{at}/{key}" in kept and value is not None)):
            found[key] = form(value, f"{at}/{key}", kept)
    if isinstance(record, Attendant):
        found |= moves_form(record)
    if isinstance(record, MoveTable) and record.loaded_s is not None:
        found["loaded_s"] = loaded_form(record)
    return found


def is_default(record: Any, each: "dataclasses.Field[Any]", value: Any) -> bool:
    """Whether a field holds what a reader would put there anyway."""
    if isinstance(record, Station) and each.name == "capacity":
        return value is not None and value == CAPACITY.get(record.kind)
    if each.name in ALWAYS:
        return False
    if each.default_factory is not dataclasses.MISSING:
        return bool(value == each.default_factory())
    return bool(value == each.default)


def moves_form(attendant: Attendant) -> dict[str, Any]:
    """An attendant's tables: one name, {full, slow}, or nothing."""
    if attendant.moves_slow is not None:
        return {"moves": {"full": attendant.moves_full, "slow": attendant.moves_slow}}
    return {} if attendant.moves_full is None else {"moves": attendant.moves_full}


def loaded_form(table: MoveTable) -> Any:
    """Loaded moves as pairs where few pairs are possible (a place to itself is 0), otherwise as a square."""
    rows = table.loaded_s or ()
    pairs = {
        f"{a} {b}": tidy(seconds)
        for a, row in zip(table.places, rows, strict=True)
        for b, seconds in zip(table.places, row, strict=True)
        if seconds is not None and not (a == b and seconds == 0)
    }
    as_pairs = 2 * len(pairs) < len(rows) ** 2 and all(row[i] is not None for i, row in enumerate(rows))
    return pairs if as_pairs else form(rows, "", set())

"""Where the written form of a cell differs from its records: short forms, defaults by kind."""

import functools
from collections.abc import Mapping
from typing import Any

from millhand.intake.cell_fields import BAD, Bad, Reading, Special, built, entries, pointer, record, value_of
from millhand.intake.cell_moves import move_table
from millhand.model.cell import Attendant, MoveTable, Step, Zone
from millhand.model.duty import Changeover, Trigger
from millhand.model.handling import Element
from millhand.model.span import Span
from millhand.model.station import Station
from millhand.model.written import CAPACITY, NAMES


def span(raw: Any, at: str, reading: Reading) -> Any:
    """A span: a bare number of seconds, or an object with dist and mean_s."""
    if not isinstance(raw, dict):
        seconds = value_of(SECONDS, raw, at, reading, seconds=True)
        return BAD if seconds is BAD else Span(mean_s=seconds)
    found = entries(Span, raw, at, reading, names={}, extra=())
    if isinstance(found, dict) and "dist" not in raw:
        reading.bad(pointer(at, "dist"), "nothing", "the kind of distribution, such as lognormal", "missing_key")
        return BAD
    return built(Span, found)


SECONDS = Span.__annotations__["mean_s"]


def station(raw: Any, at: str, reading: Reading) -> Any:
    """A station; capacity must be written for supply, store and sink, and is 1 for the others."""
    found = entries(Station, raw, at, reading, names={}, extra=("like",))
    if isinstance(found, dict) and "capacity" not in raw and isinstance(found["kind"], str):
        found["capacity"] = CAPACITY.get(found["kind"]) or reading.bad(
            pointer(at, "capacity"), "nothing", "how many parts it holds, or null for without limit", "missing_capacity"
        )
    return built(Station, found)


def attendant(raw: Any, at: str, reading: Reading) -> Any:
    """An attendant; `moves` is one table or {full, slow}."""
    found = entries(Attendant, raw, at, reading, names=NAMES[Attendant], extra=("moves",))
    if isinstance(found, Bad):
        return BAD
    tables = raw.get("moves")
    if isinstance(tables, dict):
        for key in tables.keys() - {"full", "slow"}:
            reading.bad(pointer(pointer(at, "moves"), key), key, "full or slow", "unknown_key")
        for key in tables.keys() & {"full", "slow"}:
            found[f"moves_{key}"] = value_of(str, tables[key], pointer(pointer(at, "moves"), key), reading)
        if "full" not in tables:
            found["moves_full"] = reading.bad(
                f"{at}/moves/full", "nothing", "the table in use at full speed", "missing_key"
            )
    elif tables is not None:
        found["moves_full"] = value_of(str, tables, pointer(at, "moves"), reading)
    return built(Attendant, found)


def trigger(raw: Any, at: str, reading: Reading) -> Any:
    """A trigger; `every` is a number of parts, or on the clock a span."""
    parts = isinstance(raw, dict) and raw.get("kind") == "parts"
    names = {**NAMES[Trigger], "every": ""} if parts else {"every_n": ""}
    return record(Trigger, raw, at, reading, names=names)


def step(raw: Any, at: str, reading: Reading) -> Any:
    """A step of a route; `time_s` is one span, or one per station."""
    time_s = raw.get("time_s") if isinstance(raw, dict) else None
    per_station = isinstance(time_s, dict) and not {"dist", "mean_s"} & time_s.keys()
    names = {**NAMES[Step], "time_s": ""} if per_station else {"times_s": ""}
    return record(Step, raw, at, reading, names=names)


def element(raw: Any, at: str, reading: Reading) -> Any:
    """An element of manual work, written [name, time, side]."""
    if not isinstance(raw, list) or len(raw) != 3:
        read = f"a list of {len(raw)}" if isinstance(raw, list) else raw
        return reading.bad(at, read, '["name", seconds, "inside" or "outside"]', "not_an_element")
    names = ("name", "time_s", "side")
    types = Element.__annotations__
    found = {
        name: value_of(types[name], item, pointer(at, i), reading, seconds=name == "time_s")
        for i, (name, item) in enumerate(zip(names, raw, strict=True))
    }
    return built(Element, found)


def renamed(kind: type, raw: Any, at: str, reading: Reading) -> Any:
    """A record some of whose fields have other names in a file."""
    return record(kind, raw, at, reading, names=NAMES[kind])


SPECIAL: Mapping[type, Special] = {
    Span: span,
    Station: station,
    Attendant: attendant,
    Trigger: trigger,
    Step: step,
    Element: element,
    MoveTable: move_table,
    Zone: functools.partial(renamed, Zone),
    Changeover: functools.partial(renamed, Changeover),
}

"""How a machine is fed: bars, its own stops, and how often in a load something is done that is told by the part."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from millhand.formulas.feeding import cycles_from_bars, loads_between
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.form_part import BAR, DRESSING
from millhand.intake.form_work import ELEMENTS
from millhand.intake.inquiry_facts import fact_of
from millhand.intake.inquiry_groups import Spot, entries_at, spot_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.inquiry_readings import computed
from millhand.intake.yaml_tree import Scalar
from millhand.model.fact import Fact
from millhand.model.part import Bar, Dressing, Operation, Part, Size

GRINDER = "grinder"
EVERY = next(entry for entry in ELEMENTS.entries if entry.key == "every_n")


def with_feeding(found: dict[str, Any], raw: Size | None, spot: Spot, opened: Opened) -> dict[str, Any]:
    """The fields of an operation with its bar and its own stops, and the cycles that follow from the bar."""
    bar, alone = bar_of(spot, opened), child(spot.table, "cycles_per_visit")
    if child(spot.table, "bar") is not None and alone is not None:
        opened.bad_node(alone, "either 'cycles_per_visit' or 'bar', from which it follows", "bar_and_cycles")
    if bar is not None and raw is not None:
        found["cycles_per_visit"] = cycles_of(bar, raw.length_m, spot)
    if found["cycles_per_visit"] is not None and found["hands_bound"] is not None:
        found = found | ({"hands_bound": None} if found["hands_bound"].basis == "assumed" else {})
    return found | {"bar": bar, "dressing": dressing_of(spot, opened)}


def bar_of(spot: Spot, opened: Opened) -> Bar | None:
    """The bar; None where none is told or something in it cannot be read."""
    own = spot_of(BAR, spot, opened)
    if own.table is None:
        return None
    found = entries_at(BAR.entries, own, opened)
    return Bar(**found) if all(found.values()) else None


def cycles_of(bar: Bar, part: Fact, spot: Spot) -> Fact:
    """Machine cycles of one filling of bars."""
    pairs = {
        "bar_m": bar.length_m, "remnant_m": bar.remnant_m, "part_m": part, "cut_off_m": bar.cut_off_m, "bars": bar.bars
    }  # fmt: skip
    return computed(spot.place.down("cycles_per_visit").id, "cycles_from_bars", cycles_from_bars, pairs)


def dressing_of(spot: Spot, opened: Opened) -> Dressing | None:
    """What the machine stops for by itself; a grinding wheel is dressed, whether somebody says so or not."""
    own = spot_of(DRESSING, spot, opened)
    if own.table is None and GRINDER not in spot.place.words:
        return None
    found = entries_at(DRESSING.entries, own, opened)
    return Dressing(**found) if all(found.values()) else None


def first_operation(parts: tuple[Part, ...]) -> Operation | None:
    """The operation whose load is that of all; None where something in it could not be read."""
    return parts[0].operations[0] if parts and parts[0].operations else None


def named_operation(name: str, node: Scalar, parts: tuple[Part, ...], opened: Opened) -> Operation | None:
    """The operation that an element says it belongs to."""
    known: Mapping[str, Operation] = {each.name: each for part in parts for each in part.operations}
    if name not in known and known:
        write = f"the name of an operation: {listed(known)}{nearest(name, known)}"
        opened.bad(node.where, name, write, "unknown_operation")
    return known.get(name)


def how_often(found: dict[str, Any], spot: Spot, parts: tuple[Part, ...], opened: Opened) -> dict[str, Any]:
    """An element's fields with the operation that it belongs to, and every_n out of every_parts where that is told."""
    node, of = child(spot.table, "operation"), first_operation(parts)
    if isinstance(node, Scalar):
        of = named_operation(node.text, node, parts, opened)
    found = found | {"operation": node.text if isinstance(node, Scalar) else None}
    told = child(spot.table, "every_parts")
    if told is not None and child(spot.table, "every_n") is not None:
        opened.bad_node(told, "either 'every_n', loads, or 'every_parts', parts", "every_n_and_parts")
    elif found["every_parts"] is not None and of is not None and of.parts_per_cycle is not None:
        gap = between(found["every_parts"], of, spot)
        found["every_n"] = fact_of(EVERY, None, spot.place.down("every_n"), opened, gap)  # type: ignore[arg-type]
    return found


def as_gauged(name: str, parts: tuple[Part, ...], spot: Spot) -> Fact | None:
    """Loads between two times that a part is gauged, where its operation says how often; None of any other element."""
    of = first_operation(parts)
    if name != "gauge" or of is None or of.gauge_every is None or of.parts_per_cycle is None:
        return None
    at = replace(spot, place=spot.place.down(name))
    return between(of.gauge_every, of, at) if of.gauge_every.basis != "assumed" else None


def between(every_parts: Fact, of: Operation, spot: Spot) -> Fact:
    """Loads between two times that an element is done which is told by the part."""
    pairs = {"every_parts": every_parts, "parts_per_cycle": of.parts_per_cycle}
    if of.cycles_per_visit is not None:
        pairs["cycles"] = of.cycles_per_visit
    return computed(spot.place.down("every_n").id, "loads_between", loads_between, pairs)

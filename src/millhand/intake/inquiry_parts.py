"""Machines and parts of an inquiry: sizes in short or long form, operations, and times whose meaning is not known."""

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from millhand.errors import InputError
from millhand.intake.cell_fields import listed, nearest
from millhand.intake.form import Group, Number
from millhand.intake.form_part import MESH, OPERATIONS, PARTS
from millhand.intake.form_work import INSIDE, MACHINES, STANDS, STOPS
from millhand.intake.inquiry_facts import fact_of, known_keys, marked, share_fact
from millhand.intake.inquiry_feeding import with_feeding
from millhand.intake.inquiry_groups import Spot, entries_at, missing, only, spot_of, spots_of
from millhand.intake.inquiry_mesh import Seen, seen_in
from millhand.intake.inquiry_opened import Opened, Place, child
from millhand.intake.inquiry_pools import names_at, pool_name
from millhand.intake.text import with_shared_unit
from millhand.intake.yaml_tree import Node, Scalar, Table
from millhand.model.fact import Fact
from millhand.model.machine import Inside, Machine, MachinePlace, Stops
from millhand.model.part import ManualElement, Operation, Part, Size
from millhand.model.pool import kinds_in

BOXED, TURNED = ("length", "width", "height"), ("diameter", "length")
DIAMETER_WORDS = re.compile(r"\bdia\b\.?|[Øø]")
RAW, FINISHED = (next(e for e in PARTS.entries if e.key == key) for key in ("raw", "finished"))


def machines_of(above: Spot, opened: Opened) -> tuple[Machine, ...]:
    """Every machine of the file."""
    found = []
    for _, spot in spots_of(MACHINES, above, opened):
        own = entries_at(MACHINES.entries, spot, opened)
        inner = replace(spot, place=spot.place.told(*machine_words(own)))
        inside = Inside(**{entry.field: own.pop(entry.field) for entry in INSIDE})
        stops = entries_at(STOPS.entries, spot_of(STOPS, inner, opened), opened)
        found.append(Machine(**own, inside=inside, stops=Stops(**stops)))
    return tuple(found)


def machine_words(own: Mapping[str, Any]) -> tuple[str, ...]:
    """The words of a machine that other assumptions depend on."""
    return tuple(own[name].value for name in ("kind", "clamping") if own.get(name) is not None)


def places_of(above: Spot, opened: Opened) -> tuple[MachinePlace, ...]:
    """Where the machines stand, as far as the file says so."""
    found = []
    for name, spot in spots_of(MACHINES, above, replace(opened, errors=[])):
        for number, stand in spots_of(STANDS, spot, opened):
            found.append(MachinePlace(machine=name, number=int(number), **entries_at(STANDS.entries, stand, opened)))
    return tuple(found)


def parts_of(above: Spot, machines: tuple[Machine, ...], folder: Path, opened: Opened) -> tuple[Part, ...]:
    """Every part family of the file; `folder` holds the meshes that it names."""
    known = {machine.name: machine for machine in (*kinds_in(machines), *machines)}
    return tuple(part_of(spot, known, folder, opened) for _, spot in spots_of(PARTS, above, opened))


def part_of(spot: Spot, machines: Mapping[str, Machine], folder: Path, opened: Opened) -> Part:
    """One part family with its operations. Its gaps depend on the first machine that it visits."""
    first = first_machine(spot, machines)
    spot = replace(spot, place=spot.place.told(*machine_words(as_map(first))))
    if spot.table is not None:
        known_keys(spot.table, tuple(entry.key for entry in PARTS.entries), opened)
    seen = seen_in(spot, folder, opened)
    rest = tuple(seen.form(entry) for entry in PARTS.entries if entry not in MESH)
    own = entries_at(rest, replace(spot, table=only(spot.table, rest)), opened, seen.gaps)
    shape = own["shape"].value if own["shape"] is not None else ""
    raw = size_of(seen.form(RAW), spot, shape, seen, opened)  # type: ignore[arg-type]
    raw = with_bore(raw, own.pop("bore_m"), spot, opened)
    finished = size_of(FINISHED, spot, shape, seen, opened, raw)  # type: ignore[arg-type]
    operations = tuple(operation_of(each, machines, raw, opened) for _, each in spots_of(OPERATIONS, spot, opened))
    operations = tuple(in_line(each, len(operations)) for each in operations)
    return Part(**own, raw=raw, finished=finished, operations=operations, mesh=seen.mesh)  # type: ignore[arg-type]


def with_bore(size: Size | None, bore: Fact | None, spot: Spot, opened: Opened) -> Size | None:
    """The raw part with its bore, which lies inside of it."""
    if size is None or bore is None:
        return size
    middle = sorted((size.length_m.value, size.width_m.value, size.height_m.value))[1]
    if bore.value >= middle:
        node = child(spot.table, "bore")
        write = f"a bore smaller than the part across it, {middle * 1000.0:g} mm"
        opened.bad(node.where if node is not None else spot.where, f"{bore.value * 1000.0:g} mm", write, "bore")
    return replace(size, bore_m=bore)


def in_line(operation: Operation, operations: int) -> Operation:
    """The operation; between others each part is put in singly unless somebody said otherwise."""
    cycles = operation.cycles_per_visit
    alone = operations > 1 and cycles is not None and cycles.basis == "assumed"
    return replace(operation, cycles_per_visit=None) if alone else operation


def as_map(machine: Machine | None) -> Mapping[str, Any]:
    """Kind and clamping of a machine by name; nothing where there is no machine."""
    return {"kind": machine.kind, "clamping": machine.clamping} if machine is not None else {}


def first_machine(spot: Spot, machines: Mapping[str, Machine]) -> Machine | None:
    """The machine of the first operation, before anything is checked."""
    node = child(spot.table, OPERATIONS.key)
    items = getattr(node, "items", ()) if node is not None and not isinstance(node, Scalar | Table) else ()
    names = names_at(items[0] if items and isinstance(items[0], Table) else None)
    return machines.get(pool_name(names, machines))


def operation_of(spot: Spot, machines: Mapping[str, Machine], raw: Size | None, opened: Opened) -> Operation:
    """One operation; its path leaves the word 'operations' out: parts.bracket.first_side."""
    part, _, name = spot.place.id.rpartition(".operations.")
    taken = [entry.key for entry in PARTS.entries]
    if name in taken:
        opened.bad(spot.where, name, f"another name for the operation: {name!r} is a key of the part", "name_taken")
    named = names_at(spot.table)
    known = machines.get(pool_name(named, machines))
    single = [each for each in machines if not machines[each].shared or each in {one.text for one in named}]
    for each in named:
        if each.text not in machines and machines:
            write = f"the name of a machine: {listed(single)}{nearest(each.text, single)}"
            opened.bad(each.where, each.text, write, "unknown_machine")
    own = (*machine_words(as_map(known)), *feeder_words(known))
    spot = replace(spot, place=Place(id=f"{part}.{name}", key="parts.*.*", words=spot.place.words).told(*own))
    found = entries_at(OPERATIONS.entries, spot, opened) | {"machine": pool_name(named, machines)}
    return Operation(**with_feeding(found, raw, spot, opened))


def feeder_words(machine: Machine | None) -> tuple[str, ...]:
    """The feeder that is there already, as a word that assumptions depend on."""
    feeder = machine.extra if machine is not None else None
    return (feeder.value,) if feeder is not None and feeder.value != "none" else ()


def size_of(group: Group, spot: Spot, shape: str, seen: Seen, opened: Opened, raw: Size | None = None) -> Size | None:
    """Outer measures. What is not given is that of the mesh; else a finished one is assumed as a share of the raw."""
    node = child(spot.table, group.key)
    measures = TURNED if shape == "round" else BOXED
    gaps = {name: seen.gaps[f"{group.key}.{name}"] for name in measures if f"{group.key}.{name}" in seen.gaps}
    if node is None and raw is None and not gaps:
        if group.gap == "ask":
            missing(group, spot, opened)
        return None
    nodes = measure_nodes(node, measures, opened) if node is not None else {}
    if nodes is None or not shape:
        return None
    place = spot.place.down(group.key)
    if isinstance(node, Table) and raw is None and (lack := [name for name in measures if name not in nodes]):
        opened.bad_node(node, f"{group.key} with {', '.join(measures)}: {listed(lack)} is missing", "measure_missing")
        return None
    facts = {name: measure(name, nodes.get(name), place, raw, opened, gaps.get(name)) for name in measures}
    length, width = facts["length"], facts.get("diameter") or facts.get("width")
    height = facts.get("diameter") or facts.get("height")
    if length is None or width is None or height is None:
        return None
    return Size(length_m=length, width_m=width, height_m=height)


def measure(
    name: str, node: Node | None, place: Place, raw: Size | None, opened: Opened, gap: Fact | None = None
) -> Fact | None:
    """One outer measure; `gap` stands in where it is not given."""
    entry = next(one for one in RAW.entries if one.key == name)  # type: ignore[union-attr]
    if node is None and gap is None and raw is not None:
        whole = raw.length_m if name == "length" else raw.width_m if name in ("width", "diameter") else raw.height_m
        row = opened.assumption(replace(place, key=f"{place.key}.size"))
        gap = share_fact(place.down(name), row, whole) if row is not None else None
    assert isinstance(entry, Number)
    return fact_of(entry, node, place.down(name), opened, gap)


def measure_nodes(node: Node, measures: tuple[str, ...], opened: Opened) -> Mapping[str, Node] | None:
    """The values of the measures, out of a table or of `120 x 80 x 40 mm` or `60 dia x 120 mm`."""
    if isinstance(node, Table):
        known_keys(node, measures, opened)
        return {key: value for key, value in node.entries.items() if key in measures}
    example = "60 dia x 120 mm" if measures == TURNED else "120 x 80 x 40 mm"
    if not isinstance(node, Scalar):
        opened.bad_node(node, f"a size, such as {example}", "not_a_size")
        return None
    mark, text = marked(node.text)
    pieces = [piece.strip() for piece in re.split(r"[x×]", DIAMETER_WORDS.sub("", text))]
    unit = re.sub(r"^[0-9.,\s]*", "", pieces[-1])
    if len(pieces) == len(measures) and not unit and all(pieces):
        write = f"{text} mm or {text} in: {text!r} can be read both ways"
        opened.bad_node(node, write, "unit_missing")
        return None
    if len(pieces) != len(measures) or not unit or not all(pieces):
        opened.bad_node(node, f"a size, such as {example}", "not_a_size")
        return None
    try:
        whole = with_shared_unit(pieces, text)
    except InputError as error:
        opened.bad_node(node, error.write, error.code)
        return None
    return {name: replace(node, text=mark + text) for name, text in zip(measures, whole, strict=True)}


def with_meaning(part: Part, elements: tuple[ManualElement, ...]) -> Part:
    """The part with a range on each time of which nobody said whether the exchange at the machine is in it.

    Read as the cycle alone, the time holds as written; read as floor to floor, the outside work of one load is in it.
    Both readings are equally likely: the value lies half way between them.
    """
    return replace(part, operations=tuple(_meant(each, _outside_s(each, elements)) for each in part.operations))


def _outside_s(operation: Operation, elements: tuple[ManualElement, ...]) -> float:
    """Outside work of one load, shared over the cycles that the machine makes without a visit."""
    cycles = operation.cycles_per_visit.value if operation.cycles_per_visit is not None else 1.0
    own = (e for e in elements if e.operation in (None, operation.name) and e.side.value == "outside")
    return sum(e.time_s.value for e in own if e.every_n.value == 1) / cycles


def _meant(operation: Operation, outside_s: float) -> Operation:
    """The operation with both readings of its time as the range, where the meaning is assumed."""
    if operation.time_is.basis != "assumed":
        return operation
    time = operation.time_s
    least = max(time.value - outside_s, time.value / 10)
    note = f"written as {time.value:g} s; with or without the exchange at the machine is not known"
    both = replace(
        time, value=(least + time.value) / 2, low=min(least, time.low or least), high=max(time.value, time.high or 0.0),
        shape="uniform", basis="assumed", question=operation.time_is.question, note=note,
    )  # fmt: skip
    return replace(operation, time_s=both)

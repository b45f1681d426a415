"""The entries of one table of an inquiry, read as its form says; what is missing or unknown is noted."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from millhand.intake.form import Entry, Group, Number, Several, Text, Word
from millhand.intake.inquiry_facts import choice_of, fact_of, known_keys, share_fact
from millhand.intake.inquiry_opened import Opened, Place, child
from millhand.intake.text import example_of
from millhand.intake.units import DIMENSIONS
from millhand.intake.yaml_tree import Listing, Node, Scalar, Table
from millhand.model.fact import Choice, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One table in the file and the place that it stands for; the table is None where the file leaves it out."""

    table: Table | None
    where: str
    place: Place
    noted: bool = False  # the whole table is missing and that was said: no word about its entries


def entries_at(
    entries: tuple[Entry, ...], spot: Spot, opened: Opened, gaps: Mapping[str, Fact] | None = None
) -> dict[str, Any]:
    """Field -> Fact, Choice or text of the entries at a spot; groups and lists are left to who knows them.

    `gaps` holds, by key, the facts that stand in for numbers that the file does not give.
    """
    found: dict[str, Any] = {}
    place = spot.place
    if spot.table is not None:
        known_keys(spot.table, tuple(entry.key for entry in entries), opened)
    for entry in entries:
        node = child(spot.table, entry.key)
        if isinstance(entry, Word):
            choice = choice_of(entry, node, place.down(entry.key), opened)
            place = told(entry, choice, place)
            found[entry.field] = needed(entry, node, choice, spot, opened)
        elif isinstance(entry, Number):
            gap = (gaps or {}).get(entry.key) or share_gap(entry, found, place, opened)
            found[entry.field] = needed(
                entry, node, fact_of(entry, node, place.down(entry.key), opened, gap), spot, opened
            )
        elif isinstance(entry, Text):
            found[entry.field] = (
                texts_of(entry, node, spot, opened) if entry.many else text_of(entry, node, spot, opened)
            )
    return found


def told(entry: Word, choice: Choice | None, place: Place) -> Place:
    """The place with a word that later assumptions depend on. What freed hours become counts only where it was said."""
    if choice is None or not entry.tells or (entry.key == "freed_use" and choice.basis == "assumed"):
        return place
    return place.told(choice.value)


def share_gap(entry: Number, found: dict[str, Any], place: Place, opened: Opened) -> Fact | None:
    """What stands in for a number that is assumed as a share of another of the same table."""
    whole = found.get(entry.share_of) if entry.share_of else None
    row = opened.assumption(place.down(entry.key)) if whole is not None else None
    return share_fact(place.down(entry.key), row, whole) if row is not None and whole is not None else None


def needed(entry: Number | Word, node: Node | None, value: Fact | Choice | None, spot: Spot, opened: Opened) -> Any:
    """The value; noted as missing where nothing was written, nothing is assumed and the entry may not stay open."""
    may_lack = entry.gap in ("none", "known")
    if value is None and node is None and not may_lack and spot.place.down(entry.key).id not in opened.judged:
        missing(entry, spot, opened)
    return value


def missing(entry: Entry, spot: Spot, opened: Opened) -> None:
    """Note that a table lacks an entry that it needs."""
    if spot.noted:
        return
    path = spot.place.down(entry.key).id
    opened.bad(spot.where, f"no {path}", f"{entry.key}: {wanted(entry, opened)} ({entry.help})", "missing_key")


def wanted(entry: Entry, opened: Opened) -> str:
    """What an entry holds, in words."""
    if isinstance(entry, Number):
        return example_of(DIMENSIONS[entry.dimension], opened.manner)
    if isinstance(entry, Word):
        return " | ".join(entry.options)
    if isinstance(entry, Text):
        return entry.example
    if isinstance(entry, Several):
        return "a list" + (f", or short: {entry.short}" if entry.short else "")
    inner = "; ".join(f"{one.key}: {wanted(one, opened)}" for one in entry.entries if one.gap == "ask")
    return "a table" + (f" with {inner}" if inner else "") + (f", or short: {entry.short}" if entry.short else "")


def text_of(entry: Text, node: Node | None, spot: Spot, opened: Opened) -> str:
    """One line of text; '' where it is left out."""
    if node is None:
        if entry.gap == "ask":
            missing(entry, spot, opened)
        return ""
    if not isinstance(node, Scalar) or not re.fullmatch(entry.pattern, node.text):
        opened.bad_node(node, entry.example, "not_a_text")
        return ""
    return node.text


def texts_of(entry: Text, node: Node | None, spot: Spot, opened: Opened) -> tuple[str, ...]:
    """A list of texts; one text alone is a list of one."""
    if node is None and entry.gap == "ask":
        missing(entry, spot, opened)
    items = node.items if isinstance(node, Listing) else (node,) if node is not None else ()
    return tuple(text_of(entry, item, spot, opened) for item in items)


def spot_of(group: Group, above: Spot, opened: Opened) -> Spot:
    """The table of a group below another one."""
    node = child(above.table, group.key)
    lacking = node is None and group.gap == "ask"
    if lacking:
        missing(group, above, opened)
    if node is not None and not isinstance(node, Table):
        opened.bad_node(node, wanted(group, opened), "not_a_table")
    table = node if isinstance(node, Table) else None
    noted = lacking or (node is not None and table is None)
    where = table.where if table is not None else above.where
    return Spot(table=table, where=where, place=above.place.down(group.key), noted=noted)


def spots_of(several: Several, above: Spot, opened: Opened) -> Iterator[tuple[str, Spot]]:
    """Name and table of each item of a list; names stand once, nameless items are numbered from 1."""
    node = child(above.table, several.key)
    if node is None or (isinstance(node, Listing) and not node.items):
        if several.gap == "ask":
            missing(several, above, opened)
        return
    if not isinstance(node, Listing):
        opened.bad_node(node, wanted(several, opened), "not_a_list")
        return
    place, seen = above.place.down(several.key), set[str]()
    for number, item in enumerate(node.items, start=1):
        if not isinstance(item, Table):
            opened.bad_node(item, f"a table with {several.entries[0].key}: ...", "not_a_table")
            continue
        name = name_of(item, several, seen, opened) if several.named else str(number)
        if name:
            yield name, Spot(table=item, where=item.where, place=place.named(name))


def name_of(item: Table, several: Several, seen: set[str], opened: Opened) -> str:
    """The name of one item; '' where it has none that can be used, or one that stands before."""
    entry = several.entries[0]
    assert isinstance(entry, Text)
    name = text_of(entry, child(item, "name"), Spot(table=item, where=item.where, place=Place()), opened)
    if name in seen:
        where = item.entries["name"].where
        opened.bad(where, name, f"another name: {name!r} stands twice under {several.key}", "name_twice")
        return ""
    seen.add(name)
    return name


def only(table: Table | None, entries: tuple[Entry, ...]) -> Table | None:
    """The table with the keys of these entries alone."""
    if table is None:
        return None
    keys = {entry.key for entry in entries}
    return replace(table, entries={key: node for key, node in table.entries.items() if key in keys})

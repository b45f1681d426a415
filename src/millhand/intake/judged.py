"""What the engineer judged: `judged` in the file puts a value with a reason in the place of any other."""

import re
from collections.abc import Iterator, Mapping

from millhand.intake.cell_fields import nearest
from millhand.intake.form import Text
from millhand.intake.form_shop import JUDGED
from millhand.intake.inquiry_facts import known_keys
from millhand.intake.inquiry_opened import Judgement, Opened, child
from millhand.intake.yaml_tree import Listing, Node, Scalar, Table

VALUE_KEYS = tuple(entry.key for entry in JUDGED.entries[1:])
KEYS = tuple(entry.key for entry in JUDGED.entries)
EXAMPLE = "judged as {people.wage: {value: ..., reason: ...}}"


def judgements(node: Node | None, opened: Opened) -> Mapping[str, Judgement]:
    """Path -> judgement, from a map or a list."""
    found: dict[str, Judgement] = {}
    for path, where, table in rows(node, opened):
        value, reason = child(table, "value"), child(table, "reason")
        if value is None or not isinstance(reason, Scalar):
            opened.bad(table.where, "no value" if value is None else "no reason", EXAMPLE, "judged_without")
        elif path in found:
            opened.bad(where, path, f"{path} once", "judged_twice")
        else:
            found[path] = Judgement(value=value, reason=reason.text, where=where)
    return found


def rows(node: Node | None, opened: Opened) -> Iterator[tuple[str, str, Table]]:
    """Path, place and table of each judgement."""
    if isinstance(node, Table):
        for key, table in node.entries.items():
            if isinstance(table, Table):
                known_keys(table, VALUE_KEYS, opened)
                yield from named(key, node.places[key], table, opened)
            else:
                opened.bad_node(table, EXAMPLE, "not_a_table")
    elif isinstance(node, Listing):
        for item in node.items:
            path = child(item, "path") if isinstance(item, Table) else None
            if isinstance(item, Table) and isinstance(path, Scalar):
                known_keys(item, KEYS, opened)
                yield from named(path.text, path.where, item, opened)
            else:
                opened.bad_node(item, EXAMPLE, "not_a_table")
    elif node is not None:
        opened.bad_node(node, EXAMPLE, "not_a_table")


def named(path: str, where: str, table: Table, opened: Opened) -> Iterator[tuple[str, str, Table]]:
    """The row, where its path looks like one."""
    entry = JUDGED.entries[0]
    assert isinstance(entry, Text)
    if re.fullmatch(entry.pattern, path):
        yield path, where, table
    else:
        opened.bad(where, path, entry.example, "not_a_path")


def unknown_paths(opened: Opened) -> None:
    """Note every judged or answered path at which no fact stands. Which elements and shifts there are is known only
    once all else can be read."""
    unread = bool(opened.errors)
    for path, judgement in opened.judged.items():
        if path not in opened.entries:
            opened.bad(judgement.where, path, wanted_path(path, opened), "unknown_path")
    for path, node in opened.answered.items():
        if path not in opened.entries and not (unread and path.startswith(("today.elements.", "shifts."))):
            opened.bad(node.where, path, wanted_path(path, opened), "unknown_path")


def wanted_path(path: str, opened: Opened) -> str:
    """What to write in the place of a path at which no fact stands."""
    return f"the path of a fact{nearest(path, sorted(opened.entries)) or ', such as people.wage'}"

"""Values put into the text of an inquiry file at the paths of their facts: the rest stays as it was, to the letter.

What has a table in the file is written at its end; a word 'unknown' and an empty value are overwritten. What has no
place of its own goes under `answered`.
"""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import yaml

from millhand.intake.form import Entry, Group, Several
from millhand.intake.form_work import INQUIRY
from millhand.intake.yaml_tree import LOADER

PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 _./%+-]*[A-Za-z0-9_./%+-])?")
ANSWERED, UNKNOWN = "answered", "unknown"
Tree = dict[str, "str | Tree"]  # what is still to be written into a table


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """Some letters in the place of others; of several at one place the deepest table comes first."""

    start: int
    end: int
    text: str
    depth: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Growing:
    """A table of the file and what is put into it."""

    table: yaml.MappingNode
    new: Tree = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where a value goes: over a node that says nothing, or into a table, below steps that are not there yet."""

    table: yaml.MappingNode
    over: yaml.ScalarNode | None = None
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited:
    """A text with values in it, and behind which of its lines, from 1, how many were added."""

    text: str
    added: tuple[tuple[int, int], ...]

    def line_before(self, line: int) -> int:
        """The number that a line had before; of an added one that of the line above it."""
        for after, count in self.added:
            if line <= after:
                break
            line = max(after, line - count)
        return line


def with_values(text: str, values: Mapping[str, str]) -> Edited:
    """The text with each value (YAML on one line) at the path of its fact."""
    root = yaml.compose(text, Loader=LOADER)
    assert isinstance(root, yaml.MappingNode)
    groups = set(group_keys(INQUIRY.entries))
    growing: dict[int, Growing] = {}
    edits: list[Edit] = []
    for path, value in values.items():
        spot = spot_at(root, path.split("."), groups) or answered_spot(root, path)
        if spot.over is not None:
            edits.append(over(spot.over, flow(nested(spot.steps, value))))
        else:
            put(growing.setdefault(id(spot.table), Growing(table=spot.table)).new, spot.steps, value)
    edits = sorted(
        [*edits, *(grown(each, text) for each in growing.values())], key=lambda each: (each.start, -each.depth)
    )
    added = tuple((text.count("\n", 0, edit.start) + 1, edit.text.count("\n")) for edit in edits)
    for edit in reversed(edits):
        text = text[: edit.start] + edit.text + text[edit.end :]
    return Edited(text=text, added=tuple(pair for pair in added if pair[1]))


def group_keys(entries: tuple[Entry, ...]) -> Iterator[str]:
    """Keys of tables that may be begun where the file has none."""
    for entry in entries:
        if isinstance(entry, Group):
            yield entry.key
        if isinstance(entry, Group | Several):
            yield from group_keys(entry.entries)


def spot_at(node: yaml.Node, steps: list[str], groups: set[str]) -> Spot | None:
    """The place of a path in the file; None where a list or a short form stands in its way."""
    while isinstance(node, yaml.MappingNode):
        inner = valued(node, steps[0])
        operations = valued(node, "operations")
        if inner is None and isinstance(operations, yaml.SequenceNode) and named(operations, steps[0]) is not None:
            node, steps = named(operations, steps[0]), steps[1:]  # type: ignore[assignment]
        elif inner is None:
            return Spot(table=node, steps=tuple(steps)) if set(steps[:-1]) <= groups else None
        elif isinstance(inner, yaml.ScalarNode):
            silent = inner.value == "" or (inner.value == UNKNOWN and len(steps) == 1)
            return Spot(table=node, over=inner, steps=tuple(steps[1:])) if silent else None
        elif isinstance(inner, yaml.SequenceNode):
            found = named(inner, steps[1]) if len(steps) > 2 else None
            if found is None:
                return None
            node, steps = found, steps[2:]
        else:
            node, steps = inner, steps[1:]
    return None


def answered_spot(root: yaml.MappingNode, path: str) -> Spot:
    """The place under `answered`."""
    table = valued(root, ANSWERED)
    if isinstance(table, yaml.MappingNode):
        return Spot(table=table, steps=(path,))
    return Spot(table=root, steps=(ANSWERED, path))


def valued(table: yaml.MappingNode, key: str) -> yaml.Node | None:
    """The value of a key."""
    return next((value for name, value in table.value if name.value == key), None)


def named(items: yaml.SequenceNode, name: str) -> yaml.MappingNode | None:
    """The item of a list that has this name."""
    tables = (item for item in items.value if isinstance(item, yaml.MappingNode))
    return next((each for each in tables if getattr(valued(each, "name"), "value", None) == name), None)


def nested(steps: tuple[str, ...], value: str) -> "str | Tree":
    """A value below so many tables."""
    return {steps[0]: nested(steps[1:], value)} if steps else value


def put(new: Tree, steps: tuple[str, ...], value: str) -> None:
    """Write a value below some steps into a tree."""
    for step in steps[:-1]:
        new = new.setdefault(step, {})  # type: ignore[assignment]
    new[steps[-1]] = value


def over(node: yaml.ScalarNode, text: str) -> Edit:
    """A value in the place of one that says nothing."""
    start, end = node.start_mark.index, node.end_mark.index
    return Edit(start=start, end=end, text=text if end > start else f" {text}")


def grown(each: Growing, text: str) -> Edit:
    """The new values at the end of a table."""
    if each.table.flow_style:
        at = each.table.end_mark.index - 1
        before = text[:at].rstrip()[-1]
        sign = "" if before == "{" else " " if before == "," else ", "
        return Edit(start=at, end=at, text=sign + flow(each.new)[1:-1])
    indent = each.table.start_mark.column
    at = line_end(text, last_letter(each.table, text))
    ending = "\r\n" if "\r\n" in text else "\n"
    lines = [ending + line for line in block(each.new, indent)]
    return Edit(start=at, end=at, text="".join(lines), depth=indent)


def flow(new: "str | Tree") -> str:
    """A tree on one line."""
    if isinstance(new, str):
        return new
    return "{" + ", ".join(f"{key}: {flow(value)}" for key, value in new.items()) + "}"


def block(new: Tree, indent: int) -> Iterator[str]:
    """A tree as lines; a new table at the top has an empty line above it."""
    for key, value in new.items():
        if indent == 0 and not isinstance(value, str):
            yield ""
        if isinstance(value, str):
            yield f"{' ' * indent}{key}: {value}"
        else:
            yield f"{' ' * indent}{key}:"
            yield from block(value, indent + 2)


def last_letter(node: yaml.Node, text: str) -> int:
    """Where the last value inside a node ends."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return last_letter(last[1] if isinstance(last, tuple) else last, text)
    end = node.end_mark.index
    return len(text[:end].rstrip()) if isinstance(node, yaml.ScalarNode) and node.style in ("|", ">") else end


def line_end(text: str, at: int) -> int:
    """The end of the line that a letter stands in, its comment included."""
    end = text.find("\n", at)
    end = len(text) if end < 0 else end
    return end - 1 if text[at:end].endswith("\r") else end


def quoted(text: str) -> str:
    """A text as a value of YAML that may stand anywhere; halves of letters, which only a program sends, become '?'."""
    if PLAIN.fullmatch(text):
        return text
    return json.dumps(text.encode("utf-8", "replace").decode("utf-8"), ensure_ascii=False)

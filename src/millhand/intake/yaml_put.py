"""One value of an inquiry file put, changed or taken out at its place in the text: the rest stays to the letter.

A place is a path of keys and, in lists, of numbers from 0: `machines.0.door`. What is put is kept as it was typed,
whether it can be read or not; `yaml_edit` puts answers, which go where nothing stands.
"""

import yaml

from millhand.errors import InputError
from millhand.intake.yaml_edit import Growing, Tree, block, flow, grown, last_letter, line_end, nested, put
from millhand.intake.yaml_tree import LOADER

Steps = tuple[str | int, ...]
ANSWERED = "answered."  # begins the place of an answer, which stands under the path of its fact


def steps_of(path: str) -> Steps:
    """A path as its steps.

    >>> steps_of("machines.0.door")
    ('machines', 0, 'door')
    >>> steps_of("answered.today.elements.gauge.time")
    ('answered', 'today.elements.gauge.time')
    """
    if path.startswith(ANSWERED):
        return "answered", path.removeprefix(ANSWERED)
    return tuple(int(step) if step.isdecimal() else step for step in path.split("."))


def with_value(text: str, path: str, value: str) -> str:
    """The text with a value (YAML on one line) at a path; '' takes the value out.

    InputError where the path leads through a value that is no table.
    """
    steps = steps_of(path)
    found = walked(root_of(text), steps)
    if found.rest:
        return with_new(text, found, value, path) if value else text
    start, end = span(found.node, text)
    if value:
        space = "" if end > start or text[start - 1 : start] in ("", " ") else " "
        return text[:start] + space + value + text[end:]
    return without(text, found)


def with_item(text: str, path: str, item: "dict[str, str]") -> str:
    """The text with one more table at the end of the list at a path, which begins where there is none."""
    found = walked(root_of(text), steps_of(path))
    if not found.rest and isinstance(found.node, yaml.SequenceNode) and found.node.value:
        return with_further(text, found.node, item)
    inline = "[" + flow(dict(item)) + "]"
    if found.rest and found.steps == () and isinstance(found.node, yaml.MappingNode) and not found.node.flow_style:
        return f"{text.rstrip()}\n\n{path}:\n" + listed_item(item, 2) + "\n"
    return with_value(text, path, inline)


def without_item(text: str, path: str, number: int) -> str:
    """The text without one item of the list at a path; the key goes with the last one."""
    found = walked(root_of(text), steps_of(path))
    if found.rest or not isinstance(found.node, yaml.SequenceNode) or number >= len(found.node.value):
        return text
    if len(found.node.value) == 1:
        return without(text, found)
    start, end = span(found.node.value[number], text)
    if found.node.flow_style:
        return text[:start].rstrip(" ,") + text[end:] if number else text[:start] + text[end:].lstrip(" ,")
    begin = text.rfind("\n", 0, text.rfind("-", 0, start + 1) + 1) + 1
    return text[:begin] + text[line_end(text, end) + 1 :]


class Walked:
    """How far a path leads into a tree: the node there, the steps to it, what is left of the path, and its key."""

    __slots__ = ("key", "node", "rest", "steps", "table")

    def __init__(self, root: yaml.Node) -> None:
        self.node: yaml.Node = root
        self.steps: Steps = ()
        self.rest: Steps = ()
        self.key: yaml.Node | None = None  # of the last step, in `table`
        self.table: yaml.MappingNode | None = None


def walked(root: yaml.Node, steps: Steps) -> Walked:
    """Walk as far as there is something."""
    at = Walked(root)
    for number, step in enumerate(steps):
        inner = None
        if isinstance(at.node, yaml.MappingNode):
            inner = next((pair for pair in at.node.value if pair[0].value == step), None)
            if inner is not None:
                at.key, at.table = inner[0], at.node
        elif isinstance(at.node, yaml.SequenceNode) and isinstance(step, int) and step < len(at.node.value):
            inner = (None, at.node.value[step])
            at.key, at.table = None, None
        if inner is None:
            at.rest = steps[number:]
            return at
        at.node, at.steps = inner[1], steps[: number + 1]
    return at


def root_of(text: str) -> yaml.MappingNode:
    """The table that a text holds; an empty text holds an empty one."""
    root = yaml.compose(text if text.strip() else "{}", Loader=LOADER)
    if not isinstance(root, yaml.MappingNode):
        raise InputError("inquiry.yaml:1:1", text[:40] or "nothing", "keys with values, such as 'name: two mills'")
    return root


def span(node: yaml.Node, text: str) -> tuple[int, int]:
    """Where a node begins and ends, the empty lines and comments behind it left out."""
    start = node.start_mark.index
    return start, max(start, last_letter(node, text))


def with_new(text: str, found: Walked, value: str, path: str) -> str:
    """A value at a path that has only its beginning in the text."""
    names = tuple(str(step) for step in found.rest)
    if any(isinstance(step, int) for step in found.rest):
        raise InputError(path, "a number of a list that is not there", "the path of an item that is there", "no_place")
    if isinstance(found.node, yaml.MappingNode) and (found.node.value or found.node.flow_style):
        new: Tree = {}
        put(new, names, value)
        return place_grown(text, found.node, new)
    if isinstance(found.node, yaml.ScalarNode):  # nothing, or a short form, makes room for a table
        start, end = span(found.node, text)
        space = "" if end > start or text[start - 1 : start] in ("", " ") else " "
        return text[:start] + space + flow(nested(names, value)) + text[end:]
    raise InputError(path, "a list", "the path of an item of it", "no_place")


def place_grown(text: str, table: yaml.MappingNode, new: Tree) -> str:
    """The text with a tree at the end of a table."""
    if not table.value and not text.strip():
        return "\n".join(block(new, 0)).lstrip("\n") + "\n"
    edit = grown(Growing(table=table, new=new), text)
    return text[: edit.start] + edit.text + text[edit.end :]


def without(text: str, found: Walked) -> str:
    """The text without a value: with its whole line where that holds nothing else, else an empty value stays."""
    start, end = span(found.node, text)
    table, key = found.table, found.key
    if table is None or key is None:
        return text[:start] + text[end:]
    begin = text.rfind("\n", 0, key.start_mark.index) + 1
    if table.flow_style:
        return without_pair(text, table, key)
    if text[begin : key.start_mark.index].strip() == "" and len(table.value) > 1:
        return text[:begin] + text[line_end(text, max(end, key.end_mark.index)) + 1 :]
    return text[: key.end_mark.index] + ":" + text[end:]


def without_pair(text: str, table: yaml.MappingNode, key: yaml.Node) -> str:
    """A table on one line without one of its pairs, and without the comma beside that."""
    number = next(number for number, pair in enumerate(table.value) if pair[0] is key)
    if number + 1 < len(table.value):
        return text[: key.start_mark.index] + text[table.value[number + 1][0].start_mark.index :]
    begin = span(table.value[number - 1][1], text)[1] if number else key.start_mark.index
    return text[:begin] + text[span(table.value[number][1], text)[1] :]


def with_further(text: str, items: yaml.SequenceNode, item: dict[str, str]) -> str:
    """One more item at the end of a list that has some."""
    last = items.value[-1]
    end = last_letter(last, text)
    if items.flow_style:
        return text[:end] + ", " + flow(dict(item)) + text[end:]
    at = line_end(text, end)
    return text[:at] + "\n" + listed_item(item, items.start_mark.column) + text[at:]


def listed_item(item: dict[str, str], indent: int) -> str:
    """A table as an item of a list, line by line."""
    lines = [f"{key}: {value}" for key, value in item.items()] or ["{}"]
    return "\n".join(f"{' ' * indent}{'- ' if number == 0 else '  '}{line}" for number, line in enumerate(lines))


def typed_at(text: str, path: str) -> str:
    """The letters that stand at a path; '' where nothing does."""
    found = walked(root_of(text), steps_of(path))
    start, end = span(found.node, text)
    return "" if found.rest else text[start:end]


def word_at(text: str, path: str) -> str:
    """The value at a path without the quotes that YAML needs; '' where there is no single value."""
    found = walked(root_of(text), steps_of(path))
    return str(found.node.value) if not found.rest and isinstance(found.node, yaml.ScalarNode) else ""

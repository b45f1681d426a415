"""YAML as a tree of texts with their places: nothing is converted, nothing is built, nothing is followed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from millhand.errors import InputError, InputErrors

LIMIT_BYTES = 1_000_000
LIMIT_DEPTH = 12
CURES = {
    "expected ':'": "a colon and a space behind each key, in this line and in the one above",
    "tab character": "spaces in the place of the tab, two a level",
    "cannot start any token": "spaces in the place of the tab, or quotes round a text that begins with a sign",
    "mapping values are not allowed": "quotes round a text that holds a colon, or each key on a line of its own",
    "did not find expected": "each key as far in as the one above it, and every bracket and quote closed",
}  # what the YAML parser says: what helps
LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the C parser where it is there; same events, same marks


@dataclass(frozen=True, slots=True, kw_only=True)
class Scalar:
    """One value, as it is written; `plain` where it stands without quotes."""

    text: str
    where: str
    plain: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """A list of values."""

    items: tuple["Node", ...]
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Keys with their values; `places` says where each key stands."""

    entries: Mapping[str, "Node"]
    places: Mapping[str, str]
    where: str


Node = Scalar | Listing | Table


@dataclass(slots=True, kw_only=True)
class _Parse:
    """One file on its way from events to a tree, with what was found wrong so far."""

    events: Iterator[Any]
    name: str
    errors: list[InputError] = field(default_factory=list)

    def place(self, mark: Any) -> str:
        """file:line:column, counted from 1."""
        return f"{self.name}:{mark.line + 1}:{mark.column + 1}"

    def bad(self, event: Any, read: str, write: str, code: str) -> None:
        """Note one error at an event."""
        self.errors.append(InputError(self.place(event.start_mark), read, write, code))


def read_tree(path: Path) -> Table:
    """The table that a YAML file holds; InputErrors with all that is wrong in its form."""
    return tree_of(file_bytes(path), path.name)


def file_bytes(path: Path) -> bytes:
    """The bytes of an inquiry file of at most 1 MB."""
    try:
        if path.is_dir():
            write = f"the file in it, such as {path / 'inquiry.yaml'}"
            raise InputErrors([InputError(str(path), "a folder", write, "unreadable")])
        with path.open("rb") as stream:
            data = stream.read(LIMIT_BYTES + 1)
    except OSError as error:
        write = "the path of an inquiry file that can be read"
        raise InputErrors([InputError(path.name, error.strerror or "nothing", write, "unreadable")]) from None
    if len(data) > LIMIT_BYTES:
        raise InputErrors([InputError(path.name, "more than 1 MB", "an inquiry of at most 1 MB", "too_large")])
    return data


def tree_of(data: bytes, name: str) -> Table:
    """The table in these bytes: UTF-8, one document, no anchors, aliases or tags, no key twice, at most 12 deep."""
    text = utf8(data, name)
    parse = _Parse(events=yaml.parse(text, Loader=LOADER), name=name)
    try:
        node = _document(parse)
    except yaml.YAMLError as error:
        parse.errors.append(_yaml_error(error, parse))
        raise InputErrors(parse.errors) from None
    if not parse.errors and not isinstance(node, Table):
        read = shown(node) if node else "an empty file"
        parse.errors.append(InputError(f"{name}:1:1", read, "keys with values, such as 'name: two mills'", "no_table"))
    if parse.errors or not isinstance(node, Table):
        raise InputErrors(parse.errors)
    return node


def utf8(data: bytes, name: str) -> str:
    """The bytes as text; a byte-order mark of UTF-8 is dropped."""
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = len(data[data.rfind(b"\n", 0, error.start) + 1 : error.start].decode("utf-8")) + 1
        place, read = f"{name}:{line}:{column}", f"byte {data[error.start]:#04x}"
        raise InputErrors([InputError(place, read, "the file in UTF-8", "not_utf8")]) from None


def shown(node: Node) -> str:
    """A node as the file's writer knows it, short."""
    if isinstance(node, Table):
        return f"a table of {len(node.entries)} keys"
    if isinstance(node, Listing):
        return f"a list of {len(node.items)}"
    text = node.text or "nothing"
    return text if len(text) <= 60 else text[:57] + "..."


def _document(parse: _Parse) -> Node | None:
    """The first document's node; a second document is an error."""
    found: Node | None = None
    documents = 0
    for event in parse.events:
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents == 2:
                parse.bad(event, "a second document", "one document: take out the line '---'", "two_documents")
                break
            found = _node(next(parse.events), parse, 1)
            if parse.errors and parse.errors[-1].code == "too_deep":
                break
    return found


def _node(event: Any, parse: _Parse, depth: int) -> Node:
    """The node that begins with this event."""
    where = parse.place(event.start_mark)
    if isinstance(event, yaml.AliasEvent):
        parse.bad(event, f"*{event.anchor}", "the value itself, written out", "alias")
        return Scalar(text="", where=where)
    if event.anchor is not None:
        parse.bad(event, f"&{event.anchor}", "the value without an anchor", "anchor")
    if event.tag is not None and event.tag != "!":
        parse.bad(event, str(event.tag).replace("tag:yaml.org,2002:", "!!"), "the value without a tag", "tag")
    if isinstance(event, yaml.ScalarEvent):
        plain = event.style is None or event.style == ""
        return Scalar(text=event.value, where=where, plain=plain)
    if depth > LIMIT_DEPTH:
        parse.bad(event, f"lists and tables {depth} deep", f"at most {LIMIT_DEPTH} deep", "too_deep")
        raise InputErrors(parse.errors)
    if isinstance(event, yaml.SequenceStartEvent):
        return Listing(items=tuple(_items(parse, depth)), where=where)
    return _table(parse, depth, where)


def _items(parse: _Parse, depth: int) -> Iterator[Node]:
    """The nodes of one list."""
    while not isinstance(event := next(parse.events), yaml.SequenceEndEvent):
        yield _node(event, parse, depth + 1)


def _table(parse: _Parse, depth: int, where: str) -> Table:
    """The keys and values of one table."""
    entries: dict[str, Node] = {}
    places: dict[str, str] = {}
    while not isinstance(event := next(parse.events), yaml.MappingEndEvent):
        key = _node(event, parse, depth + 1)
        value = _node(next(parse.events), parse, depth + 1)
        if not isinstance(key, Scalar):
            parse.errors.append(InputError(key.where, shown(key), "a word as the key", "key_not_a_word"))
        elif key.text in entries:
            parse.errors.append(InputError(key.where, key.text, f"the key {key.text!r} once", "key_twice"))
        else:
            entries[key.text], places[key.text] = value, key.where
    return Table(entries=entries, places=places, where=where)


def _yaml_error(error: yaml.YAMLError, parse: _Parse) -> InputError:
    """What the parser stumbled over, at its place."""
    if isinstance(error, yaml.MarkedYAMLError) and error.problem_mark is not None:
        read = error.problem or "no YAML"
        write = next((cure for words, cure in CURES.items() if words in read), "YAML with two spaces a level")
        return InputError(parse.place(error.problem_mark), read, write, "not_yaml")
    read = getattr(error, "reason", None) or "no YAML"
    return InputError(f"{parse.name}:1:1", str(read), "printable text", "not_yaml")

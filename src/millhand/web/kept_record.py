"""The whole record of a study as the store keeps it, and which version's record it is.

A record is packed by the order of its fields, so that one that was kept by a version with other fields would be read
with values in wrong places. Its name therefore says the fields, and one that another version kept is none.
"""

import hashlib
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_type_hints

from sqlalchemy import Connection

from millhand.errors import ToolError
from millhand.model.study import Study
from millhand.store import work

KIND = "record"  # what the name of a record begins with, and the whole name of those kept before names said the fields
OWN = "own"  # the copy that holds it
OTHER_VERSION = (
    "this study is kept without a record that this version can read: another version worked it out. Its pages and "
    "files stay as they are. For what if and for proposals work the inquiry out again."
)


@cache
def kinds() -> tuple[type, ...]:
    """Every record that a study may hold, by name: its own, those of its fields, and so on."""
    found, waiting = set[type](), [Study]
    while waiting:
        kind = waiting.pop()
        if kind not in found:
            found.add(kind)
            waiting += [each for hint in get_type_hints(kind).values() for each in records_in(hint)]
    return tuple(sorted(found, key=lambda kind: (kind.__module__, kind.__qualname__)))


def records_in(hint: Any) -> Iterator[Any]:
    """The records that the type of a field names."""
    if isinstance(hint, type) and is_dataclass(hint):
        yield hint
    for each in get_args(hint):
        yield from records_in(each)


def mark_of(of: tuple[type, ...]) -> str:
    """What the fields of some records are, in their order, as 12 hexadecimal digits."""
    words = [
        f"{kind.__module__}.{kind.__qualname__}: {', '.join(f'{each.name}: {each.type}' for each in fields(kind))}"
        for kind in of
    ]
    return hashlib.sha256("\n".join(words).encode()).hexdigest()[:12]


RECORD = f"{KIND}-{mark_of(kinds())}"  # the name of the file of our own copy that holds a record of this version


def is_record(name: str) -> bool:
    """Whether a file of a study is its record, of whatever version: it is shown to nobody."""
    return name == KIND or name.startswith(f"{KIND}-")


def record_of(connection: Connection, piece: str) -> bytes:
    """The packed record of a study; KeyError where there is no such study, ToolError without one that can be read."""
    try:
        return work.file_of(connection, piece, OWN, RECORD)
    except KeyError:
        work.work(connection, piece)
        raise ToolError(OTHER_VERSION, code="other_version") from None

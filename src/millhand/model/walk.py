"""Going through records: every fact in them, and the same record with one fact replaced."""

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

from millhand.model.fact import Choice, Fact

Record = TypeVar("Record")


def facts_in(value: Any) -> Iterator[Fact | Choice]:
    """Every Fact and Choice inside a record, in record order."""
    if isinstance(value, Fact | Choice):
        yield value
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from facts_in(getattr(value, field.name))
    elif isinstance(value, Mapping):
        for item in value.values():
            yield from facts_in(item)
    elif isinstance(value, tuple):
        for item in value:
            yield from facts_in(item)


def words_in(value: Any) -> Iterator[str]:
    """Every text inside a record: among them the ids of the facts that it names."""
    if isinstance(value, str):
        yield value
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from words_in(getattr(value, field.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from words_in(item)


def with_facts(record: Record, new: Mapping[str, Fact | Choice]) -> Record:
    """The same record with the facts of these ids replaced, wherever they stand in it."""
    return _replaced(record, new)  # type: ignore[no-any-return]


def _replaced(value: Any, new: Mapping[str, Fact | Choice]) -> Any:
    if isinstance(value, Fact | Choice):
        return new.get(value.id, value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        changed = {field.name: _replaced(getattr(value, field.name), new) for field in dataclasses.fields(value)}
        same = all(changed[field.name] is getattr(value, field.name) for field in dataclasses.fields(value))
        return value if same else dataclasses.replace(value, **changed)
    if isinstance(value, Mapping):
        items = {key: _replaced(item, new) for key, item in value.items()}
        return value if all(items[key] is value[key] for key in items) else items
    if isinstance(value, tuple):
        parts = tuple(_replaced(item, new) for item in value)
        return value if all(a is b for a, b in zip(parts, value, strict=True)) else parts
    return value

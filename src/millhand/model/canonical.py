"""The one canonical JSON: the bytes that are stored, compared and hashed."""

import dataclasses
import hashlib
import math
from collections.abc import Mapping
from functools import cache
from json.encoder import encode_basestring
from typing import Any

DIGITS = 12


def _number(value: float) -> float | int | None:
    """The value with 12 significant digits; None where it is no number (the record gives the reason beside it)."""
    if not math.isfinite(value):
        return None
    short = float(f"{value:.{DIGITS}g}")
    return int(short) if short.is_integer() and abs(short) < 1e15 else short


def plain(value: Any) -> Any:
    """Records, tuples and maps as dicts, lists and scalars, keys in record order (maps: in their own order)."""
    if value is None or isinstance(value, str | int):  # most of what a study holds: looked for first
        return value
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {name: plain(getattr(value, name)) for name in _names(type(value))}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    raise TypeError(f"{type(value).__name__} has no place in canonical JSON")


@cache
def _names(record: Any) -> tuple[str, ...]:
    """The fields of a type of record, in its order."""
    return tuple(field.name for field in dataclasses.fields(record))


def canonical(value: Any) -> str:
    """UTF-8 text: keys in record order, floats with 12 significant digits, never NaN, no clock, one final newline."""
    return _text(value, "\n") + "\n"


def _text(value: Any, line: str) -> str:
    """The text of `plain(value)` as the library's encoder writes it, in one walk: that encoder indents slowly, and a
    study is written and hashed hundreds of times. line: the line break with the indent that this value stands on."""
    if type(value) is str:  # most of what a study holds: looked for first
        return encode_basestring(value)
    if value is None or isinstance(value, str | int | float):
        return _scalar(value)
    deeper = line + " "
    if isinstance(value, list | tuple):
        return _within("[", [_text(item, deeper) for item in value], "]", line)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        said = [key + _text(getattr(value, name), deeper) for name, key in _keys(type(value))]
    elif isinstance(value, Mapping):
        items = {str(key): item for key, item in value.items()}  # of keys that read alike, the last
        said = [f"{encode_basestring(key)}: {_text(item, deeper)}" for key, item in items.items()]
    else:
        raise TypeError(f"{type(value).__name__} has no place in canonical JSON")
    return _within("{", said, "}", line)


def _scalar(value: Any) -> str:
    """A word, a number, a yes or no, or nothing."""
    if isinstance(value, str):
        return encode_basestring(value)
    number = _number(value) if isinstance(value, float) else value
    if number is None:
        return "null"
    if isinstance(number, bool):
        return "true" if number else "false"
    return float.__repr__(number) if isinstance(number, float) else int.__repr__(number)


def _within(start: str, said: list[str], end: str, line: str) -> str:
    """Items between brackets, each on a line of its own."""
    return f"{start}{line} " + f",{line} ".join(said) + line + end if said else start + end


@cache
def _keys(record: Any) -> tuple[tuple[str, str], ...]:
    """The fields of a type of record, in its order, each with its key as it is written."""
    return tuple((name, f"{encode_basestring(name)}: ") for name in _names(record))


def content_hash(value: Any) -> str:
    """The hash of the canonical bytes, 16 hex digits."""
    return hashlib.sha256(canonical(value).encode("utf-8")).hexdigest()[:16]

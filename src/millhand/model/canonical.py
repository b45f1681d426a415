"""The one canonical JSON: the bytes that are stored, compared and hashed."""

import dataclasses
import hashlib
import json
import math
from collections.abc import Mapping
from functools import cache
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
    return json.dumps(plain(value), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def content_hash(value: Any) -> str:
    """The hash of the canonical bytes, 16 hex digits."""
    return hashlib.sha256(canonical(value).encode("utf-8")).hexdigest()[:16]

"""Strict JSON: the bytes of a cell file as dicts and lists, or the place where they break the rules."""

import json
from collections import Counter
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.intake.cell_fields import shown

LIMIT_BYTES = 1_000_000
LIMIT_DEPTH = 24


def json_file(path: Path) -> dict[str, Any]:
    """The object in a JSON file of at most 1 MB; InputErrors where there is none."""
    try:
        with path.open("rb") as stream:
            data = stream.read(LIMIT_BYTES + 1)
    except OSError as error:
        raise refused(
            path.name, error.strerror or "nothing", "the path of a cell file that can be read", "unreadable"
        ) from None
    if len(data) > LIMIT_BYTES:
        raise refused(path.name, "more than 1 MB", "a cell of at most 1 MB", "too_large")
    return json_object(data, where=path.name)


def json_object(data: bytes, *, where: str) -> dict[str, Any]:
    """The JSON object in these bytes: UTF-8, no key twice, no NaN or Infinity, brackets at most 24 deep."""
    text = utf8(data, where)
    if not text.strip():
        raise refused(where, "an empty file", "one JSON object in braces", "not_json")
    deepest = depth(text)
    if deepest > LIMIT_DEPTH:
        raise refused(where, f"brackets {deepest} deep", f"brackets at most {LIMIT_DEPTH} deep", "too_deep")
    doubled: list[str] = []
    strange: list[str] = []
    try:
        value = json.loads(text, object_pairs_hook=lambda pairs: unique(pairs, doubled), parse_constant=strange.append)
    except json.JSONDecodeError as error:
        place = f"{where}:{error.lineno}:{error.colno}"
        raise refused(place, excerpt(text, error.pos), f"JSON ({error.msg})", "not_json") from None
    except ValueError:
        raise refused(where, "thousands of digits in one number", "numbers below 1e12", "too_big") from None
    errors = [InputError(where, word, "a number; NaN and Infinity are none", "not_finite") for word in strange]
    errors += [InputError(where, key, f"the key {key!r} once in its object", "key_twice") for key in doubled]
    if errors:
        raise InputErrors(errors)
    if not isinstance(value, dict):
        raise refused(where, shown(value), "one JSON object in braces", "not_an_object")
    return value


def utf8(data: bytes, where: str) -> str:
    """The bytes as UTF-8 text without a byte-order mark."""
    if data.startswith(b"\xef\xbb\xbf"):
        raise refused(f"{where}:1:1", "a byte-order mark", "UTF-8 without a byte-order mark", "byte_order_mark")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = error.start - (data.rfind(b"\n", 0, error.start) + 1) + 1
        raise refused(f"{where}:{line}:{column}", f"byte {data[error.start]:#04x}", "UTF-8", "not_utf8") from None


def depth(text: str) -> int:
    """How deep brackets and braces stand inside one another, text in quotes left out."""
    level = deepest = 0
    quoted = escaped = False
    for letter in text:
        if quoted:
            quoted = escaped or letter != '"'
            escaped = letter == "\\" and not escaped
        elif letter == '"':
            quoted = True
        elif letter in "[{":
            level += 1
            deepest = max(deepest, level)
        elif letter in "]}":
            level -= 1
    return deepest


def unique(pairs: list[tuple[str, Any]], doubled: list[str]) -> dict[str, Any]:
    """The pairs of one object as a dict; keys that stand twice go into `doubled`."""
    doubled.extend(key for key, times in Counter(key for key, _ in pairs).items() if times > 1)
    return dict(pairs)


def excerpt(text: str, position: int) -> str:
    """What stands at a position, short enough for a message."""
    return text[position : position + 20].split("\n", 1)[0] or "the end of the file"


def refused(where: str, read: str, write: str, code: str) -> InputErrors:
    """One error, ready to be raised."""
    return InputErrors([InputError(where, read, write, code)])

"""Raw JSON values to records, led by the records' own types and limits; every error is collected, none is raised."""

import difflib
import math
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, field, fields, is_dataclass
from typing import Annotated, Any, Literal

from annotated_types import Ge, Gt, Le

from millhand.errors import InputError
from millhand.model.limits import hints, is_duration

LARGEST = 1e12
LONGEST_TEXT = 200
SHOWN = 10  # ids that an error names where none is near


class Bad:
    """Stands where a value could not be read; the error has been noted."""


BAD = Bad()
Special = Callable[[Any, str, "Reading"], Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One file being read: readers for the records that are written in their own way, and the errors so far."""

    special: Mapping[type, Special]
    errors: list[InputError] = field(default_factory=list)

    def bad(self, at: str, read: Any, write: str, code: str) -> Bad:
        """Note one error and stand in for the value."""
        self.errors.append(InputError(at, shown(read), write, code))
        return BAD


def shown(raw: Any) -> str:
    """A raw value as the file's writer knows it, short."""
    words = {True: "true", False: "false", None: "null"}
    if isinstance(raw, bool) or raw is None:
        return words[raw]
    if isinstance(raw, dict):
        return "an object"
    if isinstance(raw, list):
        return "a list"
    text = raw if isinstance(raw, str) else f"{raw:.12g}" if isinstance(raw, float) else str(raw)
    return text if len(text) <= 60 else text[:57] + "..."


def pointer(at: str, key: str | int) -> str:
    """The JSON pointer one step further down."""
    return f"{at}/{str(key).replace('~', '~0').replace('/', '~1')}"


def nearest(word: str, known: typing.Iterable[str]) -> str:
    """' (did you mean x?)' when a known word is near, otherwise nothing."""
    close = difflib.get_close_matches(word, list(known), n=1)
    return f" (did you mean {close[0]!r}?)" if close else ""


def which(word: str, known: typing.Iterable[str]) -> str:
    """The nearest known word; where none is near, the first ten of those that there are.

    >>> which("mil1", ["mill1", "mill2"]), which("office", ["desk", "bench"]), which("office", [])
    (" (did you mean 'mill1'?)", ': desk or bench', '; there is none')
    """
    names = list(known)
    if not names:
        return "; there is none"
    more = len(names) - SHOWN
    shown = f"{', '.join(names[:SHOWN])}, or one of {more} more" if more > 0 else listed(names)
    return nearest(word, names) or f": {shown}"


def listed(words: typing.Iterable[str]) -> str:
    """'a, b or c'."""
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last


def value_of(hint: Any, raw: Any, at: str, reading: Reading, *, seconds: bool = False) -> Any:
    """A raw value as the type `hint` wants it, or BAD with a note."""
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        inner = next(a for a in arguments if a is not type(None))
        return None if raw is None else value_of(inner, raw, at, reading, seconds=seconds)
    if origin is Annotated:
        return number(arguments[0], raw, at, reading, limits=arguments[1:], seconds=seconds)
    if origin is Literal:
        return word(arguments, raw, at, reading)
    if origin is tuple:
        return sequence(arguments, raw, at, reading, seconds=seconds)
    if origin is not None and issubclass(origin, Mapping):
        return mapping(arguments[1], raw, at, reading, seconds=seconds)
    if hint in reading.special:
        return reading.special[hint](raw, at, reading)
    if is_dataclass(hint):
        return record(typing.cast(type, hint), raw, at, reading)
    return scalar(hint, raw, at, reading, seconds=seconds)


def scalar(hint: Any, raw: Any, at: str, reading: Reading, *, seconds: bool) -> Any:
    """A number, a text, or true and false."""
    if hint in (int, float):
        return number(hint, raw, at, reading, limits=(), seconds=seconds)
    if hint is bool:
        return raw if isinstance(raw, bool) else reading.bad(at, raw, "true or false", "not_a_flag")
    if not isinstance(raw, str) or not raw.strip():
        return reading.bad(at, raw, "a text in quotes", "not_a_text")
    if len(raw) > LONGEST_TEXT or not raw.isprintable():
        return reading.bad(at, raw, f"one line of at most {LONGEST_TEXT} characters", "text_too_long")
    return raw


def number(kind: Any, raw: Any, at: str, reading: Reading, *, limits: tuple[Any, ...], seconds: bool) -> Any:
    """A number within its limits."""
    whole = kind is int
    wanted = ("a whole number" if whole else "a number") + (" of seconds" if seconds else "") + limit_words(limits)
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        return reading.bad(at, raw, wanted, "not_a_number")
    if isinstance(raw, float) and not math.isfinite(raw):
        return reading.bad(at, raw, f"{wanted}; NaN and Infinity are none", "not_finite")
    if abs(raw) > LARGEST:
        return reading.bad(at, raw, "a number below 1e12", "too_big")
    if whole and raw != int(raw):
        return reading.bad(at, raw, wanted, "not_whole")
    if any(beyond(limit, raw) for limit in limits):
        return reading.bad(at, raw, wanted, "outside_limits")
    return int(raw) if whole else float(raw)


def beyond(limit: Any, value: float) -> bool:
    """Whether a value breaks one limit of its field."""
    if isinstance(limit, Ge):
        return value < typing.cast(float, limit.ge)
    if isinstance(limit, Gt):
        return value <= typing.cast(float, limit.gt)
    return isinstance(limit, Le) and value > typing.cast(float, limit.le)


def limit_words(limits: tuple[Any, ...]) -> str:
    """' from 0 to 1', ' of at least 1', ' above 0': the limits of a field in words."""
    ends = {type(limit): limit for limit in limits}
    if Ge in ends and Le in ends:
        return f" from {ends[Ge].ge} to {ends[Le].le}"
    if Ge in ends:
        return f" of at least {ends[Ge].ge}"
    return f" above {ends[Gt].gt}" if Gt in ends else ""


def word(options: tuple[str, ...], raw: Any, at: str, reading: Reading) -> Any:
    """One of a stated set of words."""
    if isinstance(raw, str) and raw in options:
        return raw
    return reading.bad(at, raw, listed(options) + nearest(str(raw), options), "not_a_choice")


def sequence(arguments: tuple[Any, ...], raw: Any, at: str, reading: Reading, *, seconds: bool) -> Any:
    """A list of one kind of thing, or a list of exactly so many."""
    if not isinstance(raw, list):
        return reading.bad(at, raw, "a list in square brackets", "not_a_list")
    kinds = [arguments[0]] * len(raw) if arguments[-1] is Ellipsis else list(arguments)
    if len(kinds) != len(raw):
        return reading.bad(at, f"a list of {len(raw)}", f"a list of {len(kinds)}", "list_length")
    items = [
        value_of(k, r, pointer(at, i), reading, seconds=seconds)
        for i, (k, r) in enumerate(zip(kinds, raw, strict=True))
    ]
    return BAD if BAD in items else tuple(items)


def mapping(kind: Any, raw: Any, at: str, reading: Reading, *, seconds: bool) -> Any:
    """An object whose keys are ids."""
    if not isinstance(raw, dict):
        return reading.bad(at, raw, "an object in braces, id: value", "not_an_object")
    items = {key: value_of(kind, item, pointer(at, key), reading, seconds=seconds) for key, item in raw.items()}
    return BAD if BAD in items.values() else items


def keys_of(kind: type, names: Mapping[str, str]) -> dict[str, str]:
    """File key -> field of a record; `names` holds those that differ ('' = not in a file)."""
    pairs = ((names.get(each.name, each.name), each.name) for each in fields(kind))
    return {key: name for key, name in pairs if key}


def entries(
    kind: type, raw: Any, at: str, reading: Reading, *, names: Mapping[str, str], extra: tuple[str, ...]
) -> Any:
    """The fields of a record that an object holds, read and ready; unknown and missing keys are noted."""
    keys = keys_of(kind, names)
    known = (*keys, *extra)
    if not isinstance(raw, dict):
        return reading.bad(at, raw, f"an object with {listed(known)}", "not_an_object")
    for key in raw:
        if key not in known:
            reading.bad(pointer(at, key), key, f"one of {listed(known)}{nearest(key, known)}", "unknown_key")
    found = {}
    for key, name in keys.items():
        if key in raw:
            found[name] = value_of(hints(kind)[name], raw[key], pointer(at, key), reading, seconds=is_duration(name))
        elif required(kind, name):
            found[name] = reading.bad(pointer(at, key), "nothing", f"a value for {key!r}", "missing_key")
    return found


def required(kind: type, name: str) -> bool:
    """Whether a record has no default for this field."""
    each = next(one for one in fields(kind) if one.name == name)
    return each.default is MISSING and each.default_factory is MISSING


def record(kind: type, raw: Any, at: str, reading: Reading, *, names: Mapping[str, str] | None = None) -> Any:
    """A record out of an object. `names` maps fields to the file's keys ('' = not in a file)."""
    return built(kind, entries(kind, raw, at, reading, names=names or {}, extra=()))


def built(kind: type, found: Any) -> Any:
    """The record of these entries; BAD when one of them could not be read."""
    return BAD if isinstance(found, Bad) or BAD in found.values() else kind(**found)

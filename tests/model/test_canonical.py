"""The one canonical JSON: which bytes, which order, what has no place in it."""

import hashlib
import json
import math
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.model.canonical import canonical, content_hash, plain


@dataclass(frozen=True)
class Inner:
    """A record inside a record."""

    b: float
    a: tuple[int, ...] = ()


@dataclass(frozen=True)
class Outer:
    """A record with a map."""

    z: Inner
    words: dict[str, float | None]


def test_records_are_written_in_their_own_order() -> None:
    """Fields as declared, maps as they are, tuples as lists, one final newline, umlauts as they are."""
    text = canonical(Outer(z=Inner(b=1.5, a=(2, 1)), words={"b": None, "ä": 3.0}))

    assert (
        text == '{\n "z": {\n  "b": 1.5,\n  "a": [\n   2,\n   1\n  ]\n },\n "words": {\n  "b": null,\n  "ä": 3\n }\n}\n'
    )


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0.1 + 0.2, 0.3),
        (1.0 / 3.0, 0.333333333333),
        (45.0, 45),
        (-0.0, 0),
        (1e15, 1e15),
        (123456789012345.6, 123456789012000),
        (1e-9, 1e-9),
        (math.inf, None),
        (-math.inf, None),
        (math.nan, None),
        (True, True),
        (7, 7),
        ("x", "x"),
        (None, None),
    ],
)
def test_numbers_have_twelve_digits_and_are_numbers(value: Any, written: Any) -> None:
    """Whole ones are whole, the last bits are dropped, and what is no number is null."""
    assert plain(value) == written
    assert type(plain(value)) is type(written)


@pytest.mark.parametrize("value", [{1, 2}, b"bytes", object(), Outer])
def test_what_has_no_place_is_refused(value: Any) -> None:
    """No order, no text, no record: an error that names the kind."""
    with pytest.raises(TypeError, match=f"{type(value).__name__} has no place in canonical JSON"):
        plain(value)
    with pytest.raises(TypeError, match=f"{type(value).__name__} has no place in canonical JSON"):
        canonical([value])


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text() | st.integers(), inner) | st.tuples(inner, inner),
    max_leaves=12,
)


@given(JSON)
def test_the_text_is_that_of_the_library_s_encoder(value: Any) -> None:
    """Byte for byte what the standard library writes of the plain value with one space of indent."""
    assert canonical(value) == json.dumps(plain(value), ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def test_the_hash_is_of_the_bytes() -> None:
    """The same in every process; another order, another hash; the last bit of a sum does not count."""
    text = b'{\n "a": 1,\n "b": [\n  1,\n  2\n ]\n}\n'

    assert content_hash({"a": 1.0, "b": [1, 2]}) == hashlib.sha256(text).hexdigest()[:16]
    assert content_hash({"b": [1, 2], "a": 1.0}) != content_hash({"a": 1.0, "b": [1, 2]})
    assert content_hash(0.1 + 0.2) == content_hash(0.3)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_written_and_read_again_a_number_stays(value: float) -> None:
    """Twelve digits, once and for all: reading and writing again gives the same text."""
    text = canonical(value)

    assert canonical(json.loads(text)) == text
    assert json.loads(text) == pytest.approx(value, rel=1e-11)

"""Bytes that are no strict JSON are refused with their place."""

from pathlib import Path

import pytest

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from, read_cell
from millhand.intake.cell_text import LIMIT_BYTES, LIMIT_DEPTH, depth, json_object

WRONG = {
    "not_json": (b'{"name": "x",\n "goal": rate}', "c.json:2:10: read 'rate}'; write JSON (Expecting value)."),
    "not_json, ends early": (
        b'{"name": ',
        "c.json:1:10: read 'the end of the file'; write JSON (Expecting value).",
    ),
    "not_json, empty": (b" \n", "c.json: read 'an empty file'; write one JSON object in braces."),
    "not_finite": (b'{"grid_s": NaN}', "c.json: read 'NaN'; write a number; NaN and Infinity are none."),
    "not_finite, negative": (
        b'{"grid_s": -Infinity}',
        "c.json: read '-Infinity'; write a number; NaN and Infinity are none.",
    ),
    "key_twice": (b'{"a": {"b": 1, "b": 2}}', "c.json: read 'b'; write the key 'b' once in its object."),
    "byte_order_mark": (
        b"\xef\xbb\xbf{}",
        "c.json:1:1: read 'a byte-order mark'; write UTF-8 without a byte-order mark.",
    ),
    "not_utf8": (b'{"name":\n "\xff"}', "c.json:2:3: read 'byte 0xff'; write UTF-8."),
    "not_an_object": (b"[]", "c.json: read 'a list'; write one JSON object in braces."),
    "too_big": (
        b'{"grid_s": ' + b"9" * 5000 + b"}",
        "c.json: read 'thousands of digits in one number'; write numbers below 1e12.",
    ),
    "too_deep": (b"[" * 30 + b"]" * 30, "c.json: read 'brackets 30 deep'; write brackets at most 24 deep."),
}


@pytest.mark.parametrize("kind", WRONG)
def test_bytes_that_are_no_strict_json_are_refused_in_words(kind: str) -> None:
    """Place, what was read, what to write, and the code."""
    data, words = WRONG[kind]

    with pytest.raises(InputErrors) as caught:
        json_object(data, where="c.json")

    assert str(caught.value) == words
    assert caught.value.errors[0].code == kind.partition(",")[0]


def test_several_troubles_of_one_file_come_together() -> None:
    """NaN and a doubled key are both told."""
    with pytest.raises(InputErrors) as caught:
        json_object(b'{"a": NaN, "b": 1, "b": 2}', where="c.json")

    assert [error.code for error in caught.value.errors] == ["not_finite", "key_twice"]


def test_brackets_in_quotes_are_no_depth() -> None:
    """Only brackets that build something count, escaped quotes included."""
    assert depth('{"a\\"[[[": [1, "]"]}') == 2
    assert json_object(b'{"name": "' + b"[" * 99 + b'"}', where="")["name"] == "[" * 99


def test_the_limit_of_depth_itself_passes() -> None:
    """One bracket more is the first that is refused."""
    inner = LIMIT_DEPTH - 1

    assert json_object(b'{"a": ' + b"[" * inner + b"]" * inner + b"}", where="")


def test_a_file_over_1_mb_is_refused_before_it_is_parsed(tmp_path: Path) -> None:
    """The limit counts bytes."""
    path = tmp_path / "big.json"
    path.write_bytes(b" " * (LIMIT_BYTES + 1))

    with pytest.raises(InputErrors, match=r"big.json: read 'more than 1 MB'; write a cell of at most 1 MB."):
        read_cell(path)


def test_a_file_that_is_not_there_is_refused_in_words(tmp_path: Path) -> None:
    """No traceback for a wrong path."""
    with pytest.raises(InputErrors, match=r"none.json: read 'No such file or directory'; write the path of a cell"):
        read_cell(tmp_path / "none.json")


def test_a_float_beyond_all_floats_is_refused_where_it_stands() -> None:
    """1e999 is read as infinity by JSON readers; here it is an error with its pointer."""
    with pytest.raises(InputErrors) as caught:
        cell_from(json_object(b'{"format": "millhand-cell/1", "name": "x", "grid_s": 1e999}', where=""))

    assert str(caught.value.errors[0]) == ("/grid_s: read 'inf'; write a number above 0; NaN and Infinity are none.")

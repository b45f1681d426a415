"""YAML comes in as texts with their places, and everything that could surprise is refused."""

from pathlib import Path

import pytest
import yaml

from millhand.errors import InputErrors
from millhand.intake import yaml_tree
from millhand.intake.yaml_tree import LIMIT_BYTES, Listing, Scalar, Table, file_bytes, read_tree, tree_of

TEXT = "a: 1\nb:\n  - {c: 06:00, d: no}\n  - 'x: y'\nµ: ~\n"


def at(line: int, column: int, text: str, *, plain: bool = True) -> Scalar:
    """A value at a place of i.yaml."""
    return Scalar(text=text, where=f"i.yaml:{line}:{column}", plain=plain)


def test_values_stay_texts_with_places() -> None:
    """No number, no truth, no time of day is made of what is written."""
    tree = tree_of(TEXT.encode(), "i.yaml")

    assert tree.entries["a"] == at(1, 4, "1")
    listing = tree.entries["b"]
    assert isinstance(listing, Listing)
    assert isinstance(listing.items[0], Table)
    assert listing.items[0].entries == {"c": at(3, 9, "06:00"), "d": at(3, 19, "no")}
    assert listing.items[1] == at(4, 5, "x: y", plain=False)
    assert tree.entries["µ"] == at(5, 4, "~")
    assert tree.places == {"a": "i.yaml:1:1", "b": "i.yaml:2:1", "µ": "i.yaml:5:1"}


def test_the_plain_parser_sees_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the C parser is missing, the tree with all its places is the same."""
    fast = tree_of(TEXT.encode(), "i.yaml")
    monkeypatch.setattr(yaml_tree, "LOADER", yaml.SafeLoader)

    assert tree_of(TEXT.encode(), "i.yaml") == fast


def test_a_byte_order_mark_is_dropped() -> None:
    """Windows editors write one; the places do not move."""
    assert tree_of(b"\xef\xbb\xbfa: 1", "i.yaml") == tree_of(b"a: 1", "i.yaml")


REFUSED = {
    "anchor": (b"a: &x 1\nb: *x\n", [("1:4", "&x", "the value without an anchor", "anchor"),
                                     ("2:4", "*x", "the value itself, written out", "alias")]),
    "tag": (b"a: !!int 3\n", [("1:4", "!!int", "the value without a tag", "tag")]),
    "own_tag": (b"a: !run 3\n", [("1:4", "!run", "the value without a tag", "tag")]),
    "key_twice": (b"a: 1\nb: 2\na: 3\nb: 4\n", [("3:1", "a", "the key 'a' once", "key_twice"),
                                                ("4:1", "b", "the key 'b' once", "key_twice")]),
    "two_documents": (b"a: 1\n---\nb: 2\n",
                      [("2:1", "a second document", "one document: take out the line '---'", "two_documents")]),
    "list": (b"- 1\n", [("1:1", "a list of 1", "keys with values, such as 'name: two mills'", "no_table")]),
    "empty": (b"", [("1:1", "an empty file", "keys with values, such as 'name: two mills'", "no_table")]),
    "key_of_a_list": (b"? [1]\n: 2", [("1:3", "a list of 1", "a word as the key", "key_not_a_word")]),
    "deep": (b"a: " + b"[" * 12 + b"]" * 12, [("1:15", "lists and tables 13 deep", "at most 12 deep", "too_deep")]),
    "latin_1": ("größe: 1".encode("latin-1"), [("1:3", "byte 0xf6", "the file in UTF-8", "not_utf8")]),
}  # fmt: skip


@pytest.mark.parametrize(("data", "expected"), REFUSED.values(), ids=REFUSED)
def test_what_could_surprise_is_refused(data: bytes, expected: list[tuple[str, str, str, str]]) -> None:
    """Place, what was read, what to write, and the code; all findings at once."""
    with pytest.raises(InputErrors) as caught:
        tree_of(data, "i.yaml")

    found = [(e.where.removeprefix("i.yaml:"), e.read, e.write, e.code) for e in caught.value.errors]
    assert found == expected


@pytest.mark.parametrize(
    "data", [b"a: [1\n", b"a: b: c", b"\ta: 1", b"a: \x00", b"a: \x07", b"[" * 100_000], ids=range(6)
)
def test_what_is_no_yaml_is_refused_at_its_place(data: bytes) -> None:
    """The parser's own trouble ends in one error with the code of this file's form."""
    with pytest.raises(InputErrors) as caught:
        tree_of(data, "i.yaml")

    (error,) = caught.value.errors
    assert error.code in ("not_yaml", "too_deep")
    assert error.where.startswith("i.yaml:")


def test_twelve_levels_are_enough() -> None:
    """The limit itself is allowed."""
    assert tree_of(b"a: " + b"[" * 11 + b"]" * 11, "i.yaml").entries


def test_a_large_or_missing_file_is_refused(tmp_path: Path) -> None:
    """More than 1 MB is not read; a missing file says so."""
    large = tmp_path / "large.yaml"
    large.write_bytes(b"# " + b"x" * LIMIT_BYTES)

    with pytest.raises(InputErrors, match="more than 1 MB"):
        read_tree(large)
    with pytest.raises(InputErrors, match="No such file"):
        read_tree(tmp_path / "none.yaml")


@pytest.mark.parametrize(
    ("data", "write"),
    [(b"a: 1\nb 2\nc: 3\n", "a colon and a space behind each key"), (b"a:\n\tb: 2\n", "spaces in the place of the tab"),
     (b"name: a: b\n", "quotes round a text that holds a colon"), (b"a: [b\nc: d\n", "every bracket and quote closed")],
    ids=["no colon", "tab", "colon in a text", "open bracket"],
)  # fmt: skip
def test_the_usual_slips_are_told_how_to_mend_them(data: bytes, write: str) -> None:
    """What the YAML parser says is followed by what helps."""
    with pytest.raises(InputErrors) as caught:
        tree_of(data, "i.yaml")

    assert write in caught.value.errors[0].write


def test_a_folder_is_told_to_name_the_file_in_it(tmp_path: Path) -> None:
    """The folder that `millhand new` made is a likely slip."""
    with pytest.raises(InputErrors, match=r"read 'a folder'; write the file in it, such as .*inquiry\.yaml"):
        file_bytes(tmp_path)

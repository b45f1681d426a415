"""One value put, changed or taken out: the rest of the file stays to the letter."""

from pathlib import Path

import pytest
import yaml

from millhand.errors import InputError
from millhand.intake.yaml_put import steps_of, typed_at, with_item, with_value, without_item

TEXT = """\
# The shop as it was told on the phone.
name: two mills  # a name
people:
  wage: 24 USD/h    # of one hour
  operators: {value: 2, note: told}
machines:
  - name: mill
    count: 2
  - {name: lathe, kind: lathe}
shifts: 2 x 8 h
"""


def loaded(text: str) -> object:
    """What a YAML library makes of it, every value as text."""
    return yaml.load(text, Loader=yaml.BaseLoader)


def test_a_value_is_changed_and_the_comment_behind_it_stays() -> None:
    """Only the value's own letters change."""
    new = with_value(TEXT, "people.wage", "31 USD/h")

    assert new == TEXT.replace("24 USD/h", "31 USD/h")
    assert typed_at(new, "people.wage") == "31 USD/h"


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("people.on_cost", "30 %"),
        ("machines.0.kind", "mill"),
        ("machines.1.count", "3"),
        ("wishes.unattended", "4 h"),
        ("machines.0.stops.short_every", "18 h"),
    ],
)
def test_what_the_file_lacks_is_added_at_its_place(path: str, value: str) -> None:
    """A library reads the value at its path, and everything else as before."""
    new = with_value(TEXT, path, value)

    found = loaded(new)
    for step in steps_of(path):
        found = found[step]  # type: ignore[index]
    assert found == value
    assert loaded(with_value(new, path, "")) in (loaded(TEXT), with_empty_tables(path))


def with_empty_tables(path: str) -> object:
    """The text's tree with an empty value at the first step of a path that it lacks."""
    found = loaded(TEXT)
    at = found
    for step in steps_of(path)[:-1]:
        if isinstance(at, dict) and step not in at:
            at[step] = {steps_of(path)[-1]: ""}
            break
        at = at[step]  # type: ignore[index]
    return found


@pytest.mark.parametrize(
    ("path", "line"), [("people.wage", "  wage: 24 USD/h    # of one hour\n"), ("machines.0.count", "    count: 2\n")]
)
def test_a_value_taken_out_goes_with_its_line(path: str, line: str) -> None:
    """Nothing else goes."""
    assert with_value(TEXT, path, "") == TEXT.replace(line, "")


def test_a_pair_taken_out_of_a_table_on_one_line_goes_with_its_comma() -> None:
    """First and last one alike."""
    assert "- {kind: lathe}" in with_value(TEXT, "machines.1.name", "")
    assert "- {name: lathe}" in with_value(TEXT, "machines.1.kind", "")
    assert "{note: told}" in with_value(TEXT, "people.operators.value", "")


def test_the_last_value_of_a_table_leaves_an_empty_one() -> None:
    """A key without a value says nothing."""
    assert with_value("people:\n  wage: 24 USD/h\n", "people.wage", "") == "people:\n  wage:\n"


def test_a_short_form_makes_room_for_a_table() -> None:
    """What is put below it takes its place."""
    assert "raw: {length: 80 mm}" in with_value("raw: 80 x 60 x 40 mm\n", "raw.length", "80 mm")


def test_items_are_added_and_taken_out() -> None:
    """In lists of either style, at the end, and where there is none yet."""
    more = with_item(TEXT, "machines", {"name": "press"})
    assert loaded(more)["machines"][2] == {"name": "press"}  # type: ignore[index]
    assert loaded(without_item(more, "machines", 2)) == loaded(TEXT)
    assert loaded(without_item(TEXT, "machines", 0))["machines"] == [{"name": "lathe", "kind": "lathe"}]  # type: ignore[index]
    assert loaded(with_item(TEXT, "parts", {"name": "bracket"}))["parts"] == [{"name": "bracket"}]  # type: ignore[index]
    assert loaded(with_item("a: [{x: 1}]\n", "a", {}))["a"] == [{"x": "1"}, {}]  # type: ignore[index]
    assert loaded(without_item("a: [{x: 1}, {x: 2}]\n", "a", 0)) == {"a": [{"x": "2"}]}


def test_a_file_without_a_word_takes_its_first() -> None:
    """An empty text is an empty table."""
    assert loaded(with_value("", "people.wage", "24 USD/h")) == {"people": {"wage": "24 USD/h"}}


def test_a_place_in_a_list_that_is_not_there_is_told() -> None:
    """Where, what was read, what to write."""
    with pytest.raises(InputError, match=r"machines\.7\.kind: read .* write the path of an item that is there"):
        with_value(TEXT, "machines.7.kind", "mill")


@pytest.mark.parametrize("name", ["1_two_mills", "3_moulding"])
def test_every_value_of_an_example_goes_out_and_comes_back(name: str) -> None:
    """What a library reads is the same afterwards, at each place of the file that holds a value."""
    text = Path("examples", name, "inquiry.yaml").read_text(encoding="utf-8")
    whole = loaded(text)
    for path in places(whole):
        typed = typed_at(text, path)
        without = with_value(text, path, "")
        assert typed_at(without, path) == ""
        again = loaded(with_value(without, path, typed))
        assert sorted(map(str, flat(again))) == sorted(map(str, flat(whole))), path


def places(tree: object, above: str = "") -> list[str]:
    """The paths of all values."""
    if isinstance(tree, dict):
        return [path for key, each in tree.items() for path in places(each, f"{above}.{key}".lstrip("."))]
    if isinstance(tree, list):
        return [path for key, each in enumerate(tree) for path in places(each, f"{above}.{key}")]
    return [above] if not above.rsplit(".", 1)[-1].isdecimal() else []


def flat(tree: object) -> list[tuple[str, str]]:
    """All values with their paths, whatever order keys have."""
    return [(path, value_at(tree, path)) for path in places(tree)]


def value_at(tree: object, path: str) -> str:
    """The value at a path of what a library read."""
    for step in steps_of(path):
        tree = tree[step]  # type: ignore[index]
    return str(tree)

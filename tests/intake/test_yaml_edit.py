"""Values get into the text of an inquiry, and the rest of it stays to the letter."""

import pytest

from millhand.intake.inquiry_gaps import template
from millhand.intake.yaml_edit import quoted, with_values
from millhand.intake.yaml_tree import Scalar, Table, tree_of

BLOCK = """\
# shop
people:
  wage: 24 USD/h   # each

machines:
  - name: mill
    door: unknown  # by hand?
  - {name: saw, kind: other}
parts:
  - name: bracket
    operations:
      - name: milling
        time: 6 min

shifts: 2 x 8 h
"""


def edited(values: dict[str, str], text: str = BLOCK) -> str:
    """The text after the edit, which is YAML with nothing twice."""
    found = with_values(text, values).text
    tree_of(found.encode(), "i.yaml")
    return found


@pytest.mark.parametrize(
    ("path", "value", "line", "new"),
    [
        ("people.absence", "9 %", "  wage: 24 USD/h   # each", "  wage: 24 USD/h   # each\n  absence: 9 %"),
        ("machines.mill.door", "powered", "    door: unknown  # by hand?", "    door: powered  # by hand?"),
        ("machines.mill.stops.short_every", "20 h", "    door: unknown  # by hand?",
         "    door: unknown  # by hand?\n    stops:\n      short_every: 20 h"),
        ("machines.saw.age", "3 years", "  - {name: saw, kind: other}", "  - {name: saw, kind: other, age: 3 years}"),
        ("machines.saw.stops.short_every", "9 h", "  - {name: saw, kind: other}",
         "  - {name: saw, kind: other, stops: {short_every: 9 h}}"),
        ("parts.bracket.milling.good", "98 %", "        time: 6 min", "        time: 6 min\n        good: 98 %"),
        ("parts.bracket.film", "dry", "        time: 6 min", "        time: 6 min\n    film: dry"),
        ("money.rate", "8 %", "shifts: 2 x 8 h", "shifts: 2 x 8 h\n\nmoney:\n  rate: 8 %"),
        ("shifts.shift_1.manned", "yes", "shifts: 2 x 8 h",
         "shifts: 2 x 8 h\n\nanswered:\n  shifts.shift_1.manned: yes"),
        ("today.elements.fetch.time", "9 s", "shifts: 2 x 8 h",
         "shifts: 2 x 8 h\n\nanswered:\n  today.elements.fetch.time: 9 s"),
    ],
)  # fmt: skip
def test_one_value_changes_one_place(path: str, value: str, line: str, new: str) -> None:
    """In a block, over a word that says nothing, in braces, below a table to be begun, without a place of its own."""
    assert edited({path: value}) == BLOCK.replace(f"{line}\n", f"{new}\n")


def test_several_values_at_one_place_stand_in_their_own_tables() -> None:
    """An operation, its part and the end of the list of parts end on the same line."""
    values = {"parts.bracket.film": "dry", "parts.bracket.milling.good": "98 %", "parts.bracket.delicate": "no"}

    assert "        time: 6 min\n        good: 98 %\n    film: dry\n    delicate: no\n" in edited(values)


def test_lines_of_the_new_text_are_found_in_the_old_one() -> None:
    """Those below an added one move up by it; an added one is told as the line above it."""
    found = with_values(BLOCK, {"people.absence": "9 %", "machines.mill.age": "3 years", "money.rate": "8 %"})
    old, new = BLOCK.splitlines(), found.text.splitlines()

    for number, line in enumerate(new, start=1):
        if line in old and line:
            assert old[found.line_before(number) - 1] == line
    assert old[found.line_before(new.index("  absence: 9 %") + 1) - 1].startswith("  wage")


def test_the_rest_of_a_file_with_other_line_ends_stays() -> None:
    """Lines end as they did, also those that were added; a file without a last line end keeps having none."""
    text = BLOCK.replace("\n", "\r\n").removesuffix("\r\n")
    found = edited({"people.absence": "9 %", "money.rate": "8 %"}, text)

    assert found.replace("\r\n", "\n") == edited({"people.absence": "9 %", "money.rate": "8 %"}).removesuffix("\n")
    assert found.count("\n") == found.count("\r\n")


def test_answers_join_those_that_are_there() -> None:
    """A second round of answers goes into the same table; an empty table is begun."""
    once = edited({"today.elements.fetch.time": "9 s", "wishes.hurdle": "24 months"}, BLOCK + "wishes:\n")
    twice = edited({"today.elements.gauge.time": "40 s"}, once)

    assert "wishes: {hurdle: 24 months}\n" in twice
    assert twice.endswith("answered:\n  today.elements.fetch.time: 9 s\n  today.elements.gauge.time: 40 s\n")


@pytest.mark.parametrize("text", ["9 %", 'said "no": # 1', "a, b} c", "- x", "ü\\n", "05:30", "{", "'", "yes: no"])
def test_a_text_that_was_quoted_reads_back(text: str) -> None:
    """Between braces, whatever stands in it."""
    tree = tree_of(f"a: {{value: {quoted(text)}, b: c}}".encode(), "i.yaml")

    inner = tree.entries["a"]
    assert isinstance(inner, Table)
    assert isinstance(inner.entries["value"], Scalar)
    assert inner.entries["value"].text == text


def test_the_template_keeps_every_line() -> None:
    """Comments and order of the first inquiry stay, but for the word that was answered."""
    found = edited({"machines.mill.door": "powered", "people.absence": "9 %", "money.rate": "8 %"}, template())

    left = [line for line in template().splitlines() if line not in found.splitlines()]
    assert left == ["    door: unknown              # hand, powered, none: could end the job, so ask"]

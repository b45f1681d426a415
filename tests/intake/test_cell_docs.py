"""docs/cell.md is a contract: its example reads, its tables name every field, its rules and states are all there."""

import json
import re
from pathlib import Path

import pytest

from millhand.intake.cell import cell_from
from millhand.intake.cell_fields import keys_of
from millhand.intake.cell_schema import record_kinds
from millhand.model.cell import Cell
from millhand.model.written import NAMES

PAGE = Path("docs/cell.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```json\n(.*?)```", PAGE, flags=re.DOTALL)
KINDS = sorted({*record_kinds(Cell)}, key=lambda kind: kind.__name__)
STATES = set(
    "working handled waiting_attendant starved blocked failed in_repair worn setup warming off "  # noqa: SIM905
    "travelling carrying handling waiting_station waiting_track slowed stopped on_duty idle break".split()
)


def code_words() -> set[str]:
    """Every word in code letters."""
    return {word for span in re.findall(r"`([^`\n]+)`", PAGE) for word in re.findall(r"[a-z_0-9]+", span)}


def test_the_example_of_the_page_is_a_cell() -> None:
    """What a reader copies runs."""
    (example,) = EXAMPLES

    assert list(cell_from(json.loads(example)).stations) == ["raw", "m1", "m2", "m3", "done"]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_field_stands_on_the_page(kind: type) -> None:
    """A field that is not explained does not exist for a reader (an element's are told in the row's line)."""
    if kind.__name__ != "Element":
        assert set(keys_of(kind, NAMES.get(kind, {}))) <= code_words()


def test_all_rules_of_meaning_are_there_in_order() -> None:
    """1 to 26, because other pages and error words refer to them by number."""
    rules = PAGE.partition("## Rules of meaning")[2].partition("\n## ")[0]

    assert [int(number) for number in re.findall(r"^(\d+)\. ", rules, flags=re.MULTILINE)] == list(range(1, 31))


def test_all_states_are_there() -> None:
    """Of stations and of attendants."""
    states = PAGE.partition("## States")[2].partition("\n## ")[0]

    assert set(re.findall(r"`([a-z_]+)`", states)) == STATES

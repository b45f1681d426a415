"""Whatever a field shows as a hint is taken when it is copied as it stands."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.fields import Field, Paper, paper_of, written
from millhand.intake.yaml_put import with_value
from millhand.web.desk import blank
from millhand.web.pages import hint
from millhand.web.sheet import shown_on_sheet

LISTED = "\nshifts:\n  - name: early\n  - name: late\n"


def paper(text: str) -> Paper:
    """The form of a text."""
    return paper_of(text, Path(), assumptions())


def copied(text: str, each: Field) -> tuple[str, ...]:
    """What is said of a field in which its hint was typed; nothing where it was taken."""
    new = paper(with_value(text, each.path, written(each.entry, hint(each), {})))
    own = next(one for one in new.all_fields() if one.path == each.path)
    return tuple(error.write for error in own.errors if error.code != "over_capacity")


ROUND = blank().text.replace("- name: part_1", "- name: part_1\n    shape: round")


@pytest.mark.parametrize(("text", "below", "least"), [(ROUND, "", 90), (ROUND + LISTED, "shifts.", 6)])
def test_every_hint_of_the_forms_is_taken_as_it_stands(text: str, below: str, least: int) -> None:
    """Of all fields that an empty inquiry shows, each by itself."""
    own = paper(text)
    shown = {each.path: each for each in (*own.all_fields(), *shown_on_sheet(own)) if each.path.startswith(below)}
    hinted = [each for each in shown.values() if hint(each) and not each.text]

    assert len(hinted) > least
    assert {each.path: said for each in hinted if (said := copied(text, each))} == {}


def test_the_hint_of_a_round_part_is_that_of_a_round_part() -> None:
    """The one of another shape would be refused."""
    hints = {}
    for shape in ("round", "prismatic"):
        text = blank().text.replace("- name: part_1", f"- name: part_1\n    shape: {shape}")
        sizes = (each for each in paper(text).fields() if each.path in ("parts.0.raw", "parts.0.finished"))
        hints[shape] = {each.path: hint(each) for each in sizes}
    assert {*hints["round"].values()} == {"70 dia x 35 mm"}
    assert {*hints["prismatic"].values()} == {"120 x 80 x 40 mm"}


def test_a_shift_is_hinted_as_long_as_a_shift_is() -> None:
    """Not in the two hours of any other time."""
    lengths = [each for each in paper(blank().text + LISTED).fields() if each.path.endswith(".length")]
    assert {hint(each) for each in lengths if each.path.startswith("shifts.")} == {"8 h"}

"""What would be assumed is shown while an inquiry lacks something; no stand-in ever is."""

from pathlib import Path

import pytest

import millhand.web
from millhand.catalogue.assumptions import assumptions
from millhand.intake.fields import Paper, paper_of
from millhand.intake.unfinished import paper_meanwhile
from millhand.intake.yaml_put import with_value

BLANK = (Path(millhand.web.__file__).parent / "blank.yaml").read_text(encoding="utf-8")


def unfinished(text: str) -> Paper:
    """The form of a text that cannot be read yet."""
    found = paper_meanwhile(text, Path(), assumptions(), lambda inquiry: ())
    assert found.inquiry is None
    return found


@pytest.mark.parametrize(
    "typed",
    [
        {}, {"people.on_cost": "nonsense"}, {"today.parts_per_shift": "20000"}, {"parts.0.orders_per_y": "5"},
        {"people.operators": "30", "machines.0.count": "2"}, {"parts.0.shape": "round", "parts.0.raw": "12 dia x 9 mm"},
    ],
)  # fmt: skip
def test_assumptions_stand_beside_what_is_empty_whatever_was_typed(typed: dict[str, str]) -> None:
    """Each known fact is a row of the assumptions; the errors are those of the text itself."""
    text = BLANK
    for path, value in typed.items():
        text = with_value(text, path, value)

    found = unfinished(text)

    assert found.errors == paper_of(text, Path(), assumptions()).errors
    known = {each.path: each.known for each in (*found.fields(), *found.asked) if each.known is not None}
    assert len(known) > 60
    assert all(each.basis == "assumed" and each.source.startswith("assumptions.csv") for each in known.values())
    assert not {*known} & {"people.wage", "people.machines_per_operator", "parts.0.finished_mass"}


def test_what_is_assumed_follows_the_words_that_were_typed() -> None:
    """The kind of machine, once it is there."""
    text = with_value(BLANK, "machines.0.kind", "lathe")
    clamping = [
        {each.path: each.known for each in unfinished(one).fields()}["machines.0.clamping"] for one in (BLANK, text)
    ]

    assert clamping[0] != clamping[1]


@pytest.mark.parametrize("machines", ["", "machines: []\n"])
def test_a_text_without_machines_still_shows_its_form(machines: str) -> None:
    """What is wrong with it is found, also beside an operation that names no machine."""
    found = unfinished(f"format: 2\nname: a\n{machines}parts:\n  - name: p\n    operations: [{{name: o}}]\n")

    assert found.sections
    assert "parts.0.operations.0.machine" in {each.path for each in found.fields() if each.needed}


def test_what_trips_over_a_stand_in_hides_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The errors of the text itself are there whatever happens to the reading with stand-ins."""
    monkeypatch.setattr("millhand.intake.unfinished.stand_in", lambda each, known: known["nowhere"].text)

    assert unfinished(BLANK).errors == paper_of(BLANK, Path(), assumptions()).errors

"""A value that whoever wrote the file assumed says so: it stays open, with its range and a question."""

from pathlib import Path

import jsonschema
import pytest
import yaml

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.inquiry_gaps import questions
from millhand.intake.inquiry_schema import inquiry_schema
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
ASSUMED = (
    ("wage: 24 USD/h", "wage: assumed 24 USD/h (20 USD/h to 30 USD/h)"),
    ("shifts: 2 x 8 h", "shifts: assumed 2 x 8 h"),
    ("kind: mill\n", "kind: mill\n    door: assumed powered\n"),
    ("raw: 120 x 80 x 40 mm", "raw: assumed 120 x 80 x 40 mm"),
    ("lot_size: 200", "lot_size: {value: 200, low: 80, high: 500, basis: assumed, note: typical}"),
)


def text_with(*changes: tuple[str, str]) -> str:
    """The dozen facts with some lines written otherwise."""
    text = DOZEN
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def read(*changes: tuple[str, str]) -> Inquiry:
    """The inquiry in that text."""
    return inquiry_of(tree_of(text_with(*changes).encode(), "i.yaml"), Path(), assumptions())


def test_the_mark_makes_a_value_assumed_and_changes_nothing_else() -> None:
    """Numbers short and long, words, sizes and shifts; the place in the file stays their source."""
    marked, plain = read(*ASSUMED), read(*((old, new.replace("assumed ", "")) for old, new in ASSUMED))

    wage, (machine,), (part,) = marked.people.wage_per_h, marked.machines, marked.parts
    assert (wage.value, wage.low, wage.high, wage.basis, wage.shape) == (24, 20, 30, "assumed", "triangular")
    assert wage.source.startswith("i.yaml:")
    assert (machine.door.value, machine.door.basis) == ("powered", "assumed")
    assert (part.lot_size.value, part.lot_size.high, part.lot_size.basis) == (200, 500, "assumed")
    sizes = (part.raw.length_m, part.raw.width_m, part.raw.height_m)
    assert [(each.value, each.basis) for each in sizes] == [(0.12, "assumed"), (0.08, "assumed"), (0.04, "assumed")]
    assert {each.length_s.basis for each in marked.shifts} == {"assumed"}
    assert [each.length_s.value for each in marked.shifts] == [each.length_s.value for each in plain.shifts]
    assert (plain.people.wage_per_h.basis, plain.machines[0].door.basis) == ("given", "given")


def test_a_value_that_was_assumed_waits_for_an_answer() -> None:
    """Its question is the one of the assumptions where they have one, else asks for what the value is."""
    asked = {question.words: question for question in questions(read(*ASSUMED), assumptions())}
    door = assumptions()["machines.*.door"]

    assert asked[door.question].kills == door.kills > 0
    assert [fact.id for fact in asked["What is it here: pay of an hour, before on-cost?"].facts] == ["people.wage"]
    assert "What is it here: parts made between two changeovers (bracket)?" in asked


def test_an_assumed_figure_that_cannot_be_is_refused_all_the_same() -> None:
    """More parts than the hours of the machines hold: nothing could be worked out from it, whoever said so."""
    with pytest.raises(InputErrors) as caught:
        read(("parts_per_shift: 105", "parts_per_shift: assumed 300 (250 to 350)"))

    assert "read '300 parts a shift, which take 31.7 h at mill'; write fewer parts" in str(caught.value)


def test_the_mark_alone_is_no_value() -> None:
    """It stands before a value, and in front of what is none it is read with the rest."""
    with pytest.raises(InputErrors) as caught:
        read(("wage: 24 USD/h", "wage: assumed"))

    assert "read 'assumed'; write an amount an hour, such as 24 USD/h." in str(caught.value)


def test_editors_take_the_mark_too() -> None:
    """The published schema knows it wherever the reader does."""
    jsonschema.Draft202012Validator(inquiry_schema()).validate(yaml.safe_load(text_with(*ASSUMED)))

"""The inquiry as a form: what was typed, right or wrong, at its field."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.fields import Field, Paper, kind_of, paper_of, written
from millhand.intake.form import Text
from millhand.intake.inquiry_gaps import facts_of
from millhand.intake.yaml_put import with_value

EXAMPLES = sorted(path.parent.name for path in Path("examples").glob("*/inquiry.yaml"))


def paper(text: str) -> Paper:
    """The form of a text whose files are those of no folder."""
    return paper_of(text, Path("examples/1_two_mills"), assumptions())


def at(found: Paper, path: str) -> Field:
    """The field at a path."""
    return next(each for each in found.fields() if each.path == path)


@pytest.fixture(scope="module")
def text() -> str:
    """The first example."""
    return Path("examples/1_two_mills/inquiry.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_value_of_an_example_is_in_a_field_with_its_fact(name: str) -> None:
    """Each number and word that the file holds stands in its field, and the field knows the inquiry's fact."""
    folder = Path("examples", name)
    found = paper_of((folder / "inquiry.yaml").read_text(encoding="utf-8"), folder, assumptions())
    assert found.inquiry is not None
    assert not found.errors

    lost = [
        each.path
        for each in found.fields()
        if each.text
        and each.known is None
        and not isinstance(each.entry, Text)
        and ".breaks." not in each.path
        and each.path != "part_list.bad_rows"  # how the file is read; no fact of the shop
    ]
    assert lost == []
    given = {fact.id for fact in facts_of(found.inquiry) if fact.basis in ("given", "measured")}
    shown = {each.fact for each in found.fields() if each.text}
    short = (".raw.", ".finished.", "shifts.", ".readings.", "today.elements.")
    assert [name for name in given - shown if not any(each in name for each in short)] == []


def test_a_wrong_value_is_kept_as_typed_and_told_at_its_field(text: str) -> None:
    """The words are those of the command line; other fields have none."""
    found = paper(with_value(text, "people.wage", "thirty"))

    wrong = [each for each in found.fields() if each.errors]
    assert [(each.path, each.text, kind_of(each)) for each in wrong] == [("people.wage", "thirty", "wrong")]
    assert str(wrong[0].errors[0]) == "inquiry.yaml:15:9: read 'thirty'; write an amount an hour, such as 24 USD/h."
    assert found.inquiry is None


def test_what_is_missing_is_told_at_its_table(text: str) -> None:
    """A machine without its kind still has a field for it, and the inquiry says what it needs."""
    found = paper(with_value(text, "parts.0.operations.0.machine", ""))

    section = found.section("parts")
    assert section is not None
    assert section.count("wrong") == 1
    assert "no parts.bracket.milling.machine" in str(found.errors[0])


def test_an_assumed_value_stands_with_what_is_counted(text: str) -> None:
    """An empty field is open or assumed; the assumption has its question."""
    each = at(paper(text), "machines.0.fluid")

    assert kind_of(each) == "assumed"
    assert each.known is not None
    assert each.known.question


def test_range_basis_source_and_note_come_back_as_they_were_typed(text: str) -> None:
    """The long form of a value is one text and what stands beside it."""
    each = at(paper(text), "parts.0.operations.0.time")

    assert each.text == "380 s (372 s to 390 s)"
    assert dict(each.beside) == {"basis": "measured", "source": "stopwatch", "note": "ten cycles in a row"}
    same = paper(with_value(text, each.path, written(each.entry, each.text, each.beside)))
    assert same.inquiry is not None
    assert at(same, each.path).known == at(paper(text), each.path).known


@pytest.mark.parametrize(
    ("typed", "beside", "expected"),
    [
        ("45 s (30 s to 70 s)", {}, '"45 s (30 s to 70 s)"'),
        ("2.4 kg", {"basis": "given"}, "2.4 kg"),
        ("2.4 kg", {"basis": "measured"}, "{value: 2.4 kg, basis: measured}"),
        ("2.4 kg", {"note": "a: b"}, '{value: 2.4 kg, note: "a: b"}'),
        ("  ", {"note": "x"}, ""),
        ("a\nb", {}, "a b"),
    ],
)
def test_what_is_typed_becomes_one_line(typed: str, beside: dict[str, str], expected: str, text: str) -> None:
    """Short where nothing stands beside it, quoted where YAML needs it, nothing for nothing."""
    entry = at(paper(text), "parts.0.raw_mass").entry

    assert written(entry, typed, beside) == expected


def test_a_text_that_is_no_yaml_has_no_fields_and_says_why() -> None:
    """One error with its cure."""
    found = paper("people: [")

    assert found.sections == ()
    assert found.errors[0].code == "not_yaml"

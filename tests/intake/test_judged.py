"""Judged values stand in the place of any other; the replaced one stays beside them."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.inquiry_gaps import facts_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")


def judged(text: str) -> Inquiry:
    """The dozen facts with these judgements."""
    return inquiry_of(tree_of(f"{DOZEN}judged:\n{text}".encode(), "i.yaml"), Path(), assumptions())


@pytest.mark.parametrize(
    "text",
    [
        "  people.wage: {value: 26 USD/h, reason: asked twice}",
        "  - {path: people.wage, value: 26 USD/h, reason: asked twice}",
    ],
)
def test_a_given_number_is_replaced_and_kept(text: str) -> None:
    """As a map and as a list; the place is the one of the path in the list of judgements."""
    inquiry = judged(text)

    wage = inquiry.people.wage_per_h
    assert (wage.id, wage.value, wage.basis, wage.note) == ("people.wage", 26, "judged", "asked twice")
    assert wage.source.startswith("i.yaml:37:")
    (before,) = inquiry.before
    assert isinstance(before, Fact)
    assert (before.id, before.value, before.basis) == ("people.wage.before", 24, "given")
    assert wage.instead_of == before.id


def test_an_assumed_number_is_replaced_with_its_range() -> None:
    """The question of the assumption stays with the judged value."""
    spacing = (
        judged("  machines.mill.spacing: {value: 4 m (3.8 m to 4.2 m), reason: from the photo}").machines[0].spacing_m
    )

    assert (spacing.value, spacing.low, spacing.high) == (4, 3.8, 4.2)
    assert spacing.question == assumptions()["machines.*.spacing"].question


def test_a_word_is_replaced() -> None:
    """Choices are judged like numbers."""
    inquiry = judged("  machines.mill.door: {value: powered, reason: from the photo}")

    door = inquiry.machines[0].door
    assert (door.value, door.basis, door.instead_of) == ("powered", "judged", "machines.mill.door.before")
    assert isinstance(inquiry.before[0], Choice)
    assert inquiry.before[0].value == "hand"


def test_a_value_that_stayed_open_can_be_judged() -> None:
    """Nothing is replaced then, and nothing is kept."""
    inquiry = judged("  wishes.budget: {value: 200000 USD, reason: said on the telephone}")

    assert inquiry.wishes.budget is not None
    assert (inquiry.wishes.budget.value, inquiry.wishes.budget.instead_of) == (200000, None)
    assert inquiry.before == ()


def test_a_word_that_others_depend_on_changes_their_assumptions() -> None:
    """A judged clamping leads to the exchange of that clamping."""
    elements = judged("  machines.mill.clamping: {value: powered_vise, reason: from the photo}").today.elements

    assert elements[0].time_s.value == assumptions()["today.elements.exchange.time@mill+powered_vise"].value


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "  people.wages: {value: 26 USD/h, reason: x}",
            r"read 'people\.wages'; write the path of a fact \(did you mean 'people\.wage'",
        ),
        ("  people.wage: {value: 26 kg, reason: x}", "read '26 kg'; write an amount an hour, such as 24 USD/h"),
        ("  people.wage: {value: 26 USD/h}", "read 'no reason'; write judged as"),
        ("  people.wage: {reason: x}", "read 'no value'; write judged as"),
        ("  people.wage: 26 USD/h", "read '26 USD/h'; write judged as"),
        ("  machines.mill.door: {value: unknown, reason: x}", "read 'unknown'; write hand, powered or none"),
        ("  wage: {value: 26 USD/h, reason: x}", "read 'wage'; write the path of a fact, such as people.wage"),
    ],
)
def test_what_cannot_be_judged_is_told(text: str, words: str) -> None:
    """Unknown paths, wrong units, missing reasons."""
    with pytest.raises(InputErrors, match=words):
        judged(text)


UNITS = {"s": " s", "m": " m", "kg": " kg", "y": " y", "months": " months", "money/h": " USD/h", "money/part": " USD"}


def test_every_fact_can_be_judged() -> None:
    """Each path of the dozen takes a judgement of its own value, number or word."""
    for fact in facts_of(judged("")):
        value = fact.value if isinstance(fact, Choice) else f"{fact.value:.12g}{UNITS.get(fact.unit, '')}"

        inquiry = judged(f"  {fact.id}: {{value: {value}, reason: seen}}")

        assert f"{fact.id}.before" in {each.id for each in inquiry.before}

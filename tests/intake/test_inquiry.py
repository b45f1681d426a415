"""An inquiry file becomes an Inquiry: what was said with its place, what was not said assumed and marked."""

import re
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of, read_inquiry
from millhand.intake.yaml_tree import tree_of
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in

TOP = Path(__file__).resolve().parents[2]
DOZEN = TOP / "tests" / "data" / "dozen.yaml"
FULL = TOP / "tests" / "data" / "long.yaml"


def read(path: Path) -> Inquiry:
    """The inquiry in a file, with the packaged assumptions."""
    return read_inquiry(path, assumptions())


def facts(inquiry: Inquiry) -> dict[str, Fact | Choice]:
    """Every fact by its id."""
    return {fact.id: fact for fact in facts_in(inquiry)}


def test_a_dozen_facts_are_an_inquiry() -> None:
    """What the file says stands in SI with its place."""
    inquiry = read(DOZEN)

    (part,) = inquiry.parts
    time = part.operations[0].time_s
    assert (time.id, time.value, time.unit) == ("parts.bracket.milling.time", 380.0, "s")
    assert (time.basis, time.source) == ("given", "dozen.yaml:27:15")
    assert (part.raw.length_m.value, part.raw.width_m.value, part.raw.height_m.value) == (0.12, 0.08, 0.04)
    assert (inquiry.people.wage_per_h.value, inquiry.people.wage_per_h.unit) == (24.0, "money/h")
    assert inquiry.shop.currency == "USD"
    assert [shift.start_s.value for shift in inquiry.shifts] == [6 * 3600, 14 * 3600]


@pytest.mark.parametrize("path", [DOZEN, FULL], ids=["dozen", "full"])
def test_nothing_is_silently_defaulted(path: Path) -> None:
    """Every assumed fact names its source and the question that would replace it, or follows from another one."""
    for fact in facts(read(path)).values():
        assert fact.source
        if fact.basis == "assumed" and fact.source.startswith("assumptions.csv"):
            assert fact.question, fact.id


def test_what_is_said_narrows_what_is_assumed() -> None:
    """The long file leaves far fewer gaps than the dozen facts."""
    assumed = [sum(fact.basis == "assumed" for fact in facts(read(path)).values()) for path in (DOZEN, FULL)]

    assert assumed[0] > 50
    assert assumed[1] < assumed[0] / 4


@pytest.mark.parametrize(
    ("was", "typed", "write"),
    [
        ("raw: 120 x 80 x 40 mm", "raw: 9 x 2 x 3 ft 6 in",
         "9 ft x 2 ft x 3 ft 6 in or 9 in x 2 in x 3 ft 6 in: '9 x 2 x 3 ft 6 in' can be read both ways"),
        ("people:\n", "people:\n  absence: 0.7\n", "0.7 % or 70 %: '0.7' can be read both ways"),
        ("people:\n", "people:\n  on_cost: 2.5\n", "2.5 % or 250 %: '2.5' can be read both ways"),
    ],
)  # fmt: skip
def test_what_could_be_two_is_asked(was: str, typed: str, write: str) -> None:
    """A size with one unit for two terms, a share without its sign that could be percent."""
    text = DOZEN.read_text(encoding="utf-8")
    assert was in text
    with pytest.raises(InputErrors) as caught:
        inquiry_of(tree_of(text.replace(was, typed, 1).encode(), "i.yaml"), Path(), assumptions())

    assert write in [each.write for each in caught.value.errors]


@pytest.mark.parametrize(("typed", "value"), [("absence: 7", 0.07), ("on_cost: 0.25", 0.25), ("on_cost: 26", 0.26)])
def test_a_share_without_its_sign_that_has_one_reading_is_read(typed: str, value: float) -> None:
    """Percent where no share reaches so far."""
    text = DOZEN.read_text(encoding="utf-8").replace("people:\n", f"people:\n  {typed}\n", 1)
    found = facts(inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions()))

    assert found[f"people.{typed.partition(':')[0]}"].value == pytest.approx(value)


@pytest.mark.parametrize("wage", ["USD24/h", "24USD/h", "24 Usd/h"])
def test_the_currency_of_the_wage_is_that_of_all_amounts(wage: str) -> None:
    """However it is written; another one beside it is refused."""
    text = DOZEN.read_text(encoding="utf-8").replace("24 USD/h", wage, 1)
    assert inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions()).shop.currency == "USD"

    other = text.replace("wishes:\n", "wishes:\n  budget: 90000 EUR\n")
    with pytest.raises(InputErrors) as caught:
        inquiry_of(tree_of(other.encode(), "i.yaml"), Path(), assumptions())
    assert [each.code for each in caught.value.errors] == ["other_currency"]


def test_without_a_currency_amounts_are_not_added_up() -> None:
    """A wage that only stands among the answers names none for the others."""
    text = re.sub(r"\n  wage: .*", "", DOZEN.read_text(encoding="utf-8"))
    text = text.replace("wishes:\n", "wishes:\n  budget: 90000 EUR\n") + "\nanswered:\n  people.wage: 24 USD/h\n"
    with pytest.raises(InputErrors) as caught:
        inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())
    assert [each.code for each in caught.value.errors] == ["no_currency"]

"""An inquiry file becomes an Inquiry: what was said with its place, what was not said assumed and marked."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import read_inquiry
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

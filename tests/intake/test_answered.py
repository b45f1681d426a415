"""Answers under `answered` are read as if each stood in its own place, where the file has none for it."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.inquiry_gaps import facts_of, questions, template
from millhand.intake.yaml_tree import tree_of
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry


def answered(text: str) -> Inquiry:
    """The first inquiry file with these answers; it says nothing of elements, and has its shifts in short form."""
    return inquiry_of(tree_of(f"{template()}answered:\n{text}".encode(), "i.yaml"), Path(), assumptions())


def fact(inquiry: Inquiry, path: str) -> Fact | Choice:
    """The fact at a path."""
    return next(each for each in facts_of(inquiry) if each.id == path)


def test_a_usual_element_takes_the_time_that_was_answered_and_the_others_stay_assumed() -> None:
    """Value, range, basis and who said so; nothing else of the elements counts as said."""
    said = "{value: 40 s, low: 30 s, high: 60 s, basis: measured, source: answered by Ann Lee on 2026-11-20}"
    inquiry = answered(f"  today.elements.exchange.time: {said}\n")

    time = fact(inquiry, "today.elements.exchange.time")
    assert isinstance(time, Fact)
    assert (time.value, time.low, time.high, time.basis, time.question) == (40.0, 30.0, 60.0, "measured", None)
    assert time.source.startswith("i.yaml:42:33, answered by Ann Lee")
    assert fact(inquiry, "today.elements.fetch.time").basis == "assumed"
    assert fact(inquiry, "today.elements.exchange.side").basis == "assumed"


def test_a_short_shift_takes_a_time_of_day_and_the_next_one_follows() -> None:
    """The second of two shifts begins when the first one ends."""
    inquiry = answered("  shifts.shift_1.start: 05:30\n  shifts.shift_1.breaks.pause.paid: yes\n")

    first, second = (shift.start_s for shift in inquiry.shifts)
    assert (first.value, first.basis) == (19_800.0, "given")
    assert (second.value, second.basis) == (48_600.0, "assumed")
    assert inquiry.shifts[0].breaks[0].paid.value == "yes"


def test_a_word_that_was_not_known_is_answered() -> None:
    """`door: unknown` in its place says nothing, and the question is gone."""
    inquiry = answered("  machines.mill.door: powered\n")

    assert fact(inquiry, "machines.mill.door").value == "powered"
    open_ones = {each.id for question in questions(inquiry, assumptions()) for each in question.facts}
    assert "machines.mill.door" not in open_ones
    assert "machines.mill.clamping" in open_ones


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("  people.wage: 25 USD/h\n", "i.yaml:42:16: read '25 USD/h'; write people.wage once: it stands at"),
        ("  people.wige: 25 USD/h\n", "read 'people.wige'; write the path of a fact (did you mean 'people.wage'?)."),
        ("  wage: 25 USD/h\n", "i.yaml:42:3: read 'wage'; write the path of a fact, such as people.wage."),
        ("  today.elements.exchange.time: 40 kg\n", "read '40 kg'; write a time, such as 6 min 20 s."),
        ("  - today.elements.exchange.time\n", "write answers as {today.elements.exchange.time: 40 s}."),
    ],
)
def test_what_cannot_be_answered_is_refused_at_its_place(text: str, words: str) -> None:
    """Given twice, no such path, no path at all, another unit, a list."""
    with pytest.raises(InputErrors) as caught:
        answered(text)

    assert words in str(caught.value)

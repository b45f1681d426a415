"""Where the printed payback and the middle of the draws lie far apart, the page says by how much and why."""

from dataclasses import replace

import pytest

from millhand.model.study import Study
from millhand.report.half import apart, half_words
from millhand.report.html import report_html
from tests.report.fixture_study import ARM, study
from tests.report.test_html import words
from tests.report.test_terminal import answer


def drawn(months: float | None) -> Study:
    """The fixture study, whose cell is back after 25 months, with a middle of its draws of so many."""
    made = study()
    result = next(each for each in made.results if each.concept.id == ARM)
    assert result.case is not None
    assert result.case.payback_months is not None
    facts = {name: fact for name, fact in made.facts.items() if not name.endswith((".middle.payback", ".payback_p50"))}
    if months is not None:
        name = f"concepts.{ARM}.case.middle.payback"
        like = facts[result.case.payback_months]
        facts[name] = replace(like, id=name, value=months / 12.0, low=None, high=None)
    return replace(made, facts=facts)


@pytest.mark.parametrize(
    ("months", "key"), [(25.0, ""), (31.0, ""), (32.0, "later"), (18.0, "sooner"), (None, "never")]
)
def test_it_is_said_from_a_quarter_on(months: float | None, key: str) -> None:
    """Of the printed 25 months; also where the money is not back at all in half of the draws."""
    made = drawn(months)
    found = apart(made, made.facts)

    assert (found.key if found else "") == key


def test_terminal_and_page_say_it_beside_the_figure() -> None:
    """In whole sentences, with both figures, in both languages; nothing where both are alike."""
    far, near = drawn(50.0), drawn(25.0)
    said = "In half of the draws the money is back only after 50 months, not after 25 months"

    assert said in " ".join(answer(far).split())
    assert said in words(report_html(far))
    assert "In der Hälfte der Ziehungen ist das Geld erst nach 50" in words(report_html(far, language="de"))
    assert "In half of the draws" not in " ".join(answer(near).split())
    assert half_words(near, near.facts, str) == ""

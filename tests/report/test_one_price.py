"""A price that stands alone has one range on the page and in the proposal; a loss below nothing is no loss."""

import re
from dataclasses import replace
from functools import cache

import pytest

from millhand.model.study import Study
from millhand.report.comparison import loss_key, subject
from millhand.report.html import environment
from millhand.report.marks import marks_of
from millhand.report.proposal.ground import ground
from millhand.report.proposal.money import price
from millhand.report.terminal_today import LOSS
from millhand.report.told_in import told_in
from millhand.report.tongue import LANGUAGES, tongue
from millhand.report.view import middle
from tests.report.fixture_study import ARM, study
from tests.report.proposal.test_safety import told

AGE = {
    "money.price_age": (1.0, "y"),
}


@cache
def priced() -> Study:
    """The fixture with the range in which such estimates end as a rule, and a price list of a year."""
    done = study()
    installed = done.facts[f"concepts.{ARM}.estimate.installed"]
    more = {
        f"concepts.{ARM}.estimate.usual_{end}": replace(
            installed, id=f"concepts.{ARM}.estimate.usual_{end}", value=installed.value * factor
        )
        for end, factor in (("low", 0.8), ("high", 1.4))
    }
    more |= {name: replace(installed, id=name, value=value, unit=unit) for name, (value, unit) in AGE.items()}
    results = tuple(
        replace(each, estimate=replace(each.estimate, prices_of="2026")) if each.estimate else each
        for each in done.results
    )
    return replace(done, facts={**done.facts, **more}, results=results)


def page(name: str, done: Study, language: str = "en", **known: object) -> str:
    """One part of the page as words."""
    template = '{% import "macros.html.j2" as part with context %}{% include "' + name + '" %}'
    made = environment().from_string(template)
    words = made.render(study=done, inquiry=done.inquiry, m=marks_of(done, told_in(done, language)), **known)
    return " ".join(re.sub(r"<[^>]+>", " ", words).replace("\u202f", " ").split())


@pytest.mark.parametrize(
    ("language", "between"), [("en", "ends as a rule at {} to {}"), ("de", "endet in der Regel bei {} bis {}")]
)
def test_the_price_that_stands_alone_has_the_same_range_on_both_faces(language: str, between: str) -> None:
    """That in which such an estimate ends as a rule: not that of the draws, which is the doubt about its lines."""
    done = priced()
    ends = [
        middle(done.facts[f"concepts.{ARM}.estimate.usual_{end}"], "money", currency="USD") for end in ("low", "high")
    ]
    low, high = (each.replace("\u202f", " ") for each in ends)
    chosen = subject(done)
    assert chosen is not None
    assert chosen.concept.id == ARM

    said = page("tiles.html.j2", done, language, subject=chosen, today=done.results[0], apart=None)
    assert between.format(low, high) in said
    whole = ground(done, long=True)
    paper = told(whole, price(whole), language)
    assert low in paper
    assert high in paper
    assert "2026" in paper


def test_a_loss_below_nothing_is_said_as_more_shipped() -> None:
    """Page, paper and terminal name it so; above nothing it is a loss."""
    assert (loss_key(-0.28), loss_key(0.0), loss_key(0.1)) == ("surplus", "loss", "loss")
    assert set(LOSS) == {"loss", "surplus"}
    for language in LANGUAGES:
        for key in ("today.surplus", "report.today.surplus"):
            assert tongue(language).text(key)

"""What the page says of safety: the template alone, filled from answers made by hand."""

import re
from dataclasses import replace
from functools import cache

from millhand.model.study import Study
from millhand.report.html import environment
from millhand.report.marks import marks_of
from millhand.report.told_in import told_in
from tests.report.proposal.test_safety import about
from tests.stages.test_safety_answers import answers

ALONE = (
    '{% import "macros.html.j2" as part with context %}{% set page = study.safeguarding %}{% set title = "cell" %}'
    '{% include "safety.html.j2" %}'
)


@cache
def asked() -> Study:
    """The fixture with the answers of a fenced cell."""
    ground = about(*answers())
    return replace(ground.study, facts=ground.facts)


@cache
def page(language: str = "en") -> str:
    """Its tables as words, with common spaces."""
    study = asked()
    known = {"study": study, "m": marks_of(study, told_in(study, language))}
    told = environment().from_string(ALONE).render(known)
    return " ".join(re.sub(r"<[^>]+>", " ", told).replace("\u202f", " ").split())


def test_the_level_assumed_stands_beside_the_one_by_the_graph() -> None:
    """Level c by the graph is assumed at d, with the clause that asks for it; the proposal shows the same letters."""
    assert "adds to the guards and replaces none 2 1 1 c d" in page()
    assert "ISO 10218-2:2011, 5.2.2 , asks for level d with category 3" in page()
    assert "the level that the table calls assumed" in page()
    assert "verlangt Level d mit Kategorie 3" in page("de")

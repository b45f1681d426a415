"""What the page says of safety: the template alone, filled from answers made by hand."""

import re
from dataclasses import replace
from functools import cache

from millhand.model.fact import Fact
from millhand.model.safeguarding import Distance, Guarded, GuardedCell
from millhand.report.html import environment
from millhand.report.marks import marks_of
from millhand.report.proposal.cell import guarding
from millhand.report.proposal.ground import Ground
from millhand.report.told_in import told_in
from millhand.report.tongue import tongue
from tests.report.fixture_study import ARM
from tests.report.proposal.test_safety import about, told
from tests.stages.test_safety_answers import answers

ALONE = '{% import "macros.html.j2" as part with context %}{% include "safeguarding.html.j2" %}'
METRES = {"low": 1.6, "high": 2.24, "unit": "m", "basis": "computed", "source": "a test"}


@cache
def whole() -> Ground:
    """The fixture with the answers of a fenced cell, and a curtain whose distance rests on a stop."""
    ground = about(*answers())
    made = ground.study.safeguarding
    assert made is not None
    assert made.answers is not None
    timed, lengths = (Fact(id=name, value=1.83, **METRES) for name in ("test.timed", "test.lengths"))  # type: ignore[arg-type]
    row = Guarded(
        choice="curtain", title="curtain", function="stops", near="stop", judged={},
        level=made.answers.functions[0].level,
        distances=(Distance(words="to what moves", rule="a", fact=timed.id, end="high"),
                   Distance(words="over it", rule="b", fact=lengths.id)),
    )  # fmt: skip
    cell = GuardedCell(concept=ARM, title="cell", arm_class="fenced", regions=(), binding="", rows=(row,))
    study = replace(ground.study, safeguarding=replace(made, cells=(cell,)))
    return replace(ground, study=study, facts={**ground.facts, timed.id: timed, lengths.id: lengths})


@cache
def html(language: str = "en") -> str:
    """The part of the page about guarding."""
    study = replace(whole().study, facts=whole().facts)
    return environment().from_string(ALONE).render(study=study, m=marks_of(study, told_in(study, language)))


def page(language: str = "en") -> str:
    """The same as words, with common spaces."""
    return " ".join(re.sub(r"<[^>]+>", " ", html(language)).replace("\u202f", " ").split())


def test_the_level_assumed_stands_beside_the_one_by_the_graph() -> None:
    """Level c by the graph is assumed at d, with the clause that asks for it; the proposal shows the same letters."""
    assert "adds to the guards and replaces none 2 1 1 c d" in page()
    assert "ISO 10218-2:2011, 5.2.2 , asks for level d with category 3" in page()
    assert "the level that the table calls assumed" in page()
    assert "verlangt Level d mit Kategorie 3" in page("de")


def test_what_stays_open_is_told_with_the_same_caution_beside_each_table() -> None:
    """Levels, going in, guarding, ways, lifting and hazards: an assumption is no measure of protection."""
    said = tongue("en").text("report.answered.until")

    assert page().count(said) == 6
    assert said in told(whole(), guarding(whole()))


def test_the_held_part_is_told_as_one_that_falls() -> None:
    """The time by the sum is a range to ask with, in the words of the proposal, and never a likely figure alone."""
    assert "the part counts as one that falls" in page()
    assert "By the sum it holds for" not in page()
    made = whole().study.safeguarding
    assert made is not None
    assert made.answers is not None
    assert html().count(f'data-fact="{made.answers.holding.time}"') == 1


def test_a_distance_that_rests_on_a_stop_is_asked_for_at_its_far_end() -> None:
    """The likely one stands beside it; one that rests on lengths alone stays as it stands, with its range."""
    assert "To what moves a 1.83 m 2.24 m" in page()
    assert "Over it b 1.83 m 1.6 to 2.24 1.83 m" in page()

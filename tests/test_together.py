"""How often machines wait at once, beside a study: of today and the ways that its answer is about, as facts."""

from dataclasses import replace

import pytest

from millhand.model.performance import Figure
from millhand.report.proposal.cell import at_once
from millhand.report.proposal.records import Paragraph
from millhand.solvers.waiting import Waited
from millhand.together import facts_of, with_waits_together
from tests.report.fixture_study import ARM, study
from tests.report.proposal.told_proposal import base, teller

COUNTED = Waited(weeks=8, several=Figure(mean=0.04, low=-0.01, high=0.09), one_of=Figure(mean=0.2, low=0.1, high=0.3))


def test_the_share_stands_with_its_interval_and_names_its_cell() -> None:
    """Never below nothing; the number of weeks beside it."""
    result = next(each for each in study().results if each.concept.id == ARM)
    share, weeks = facts_of(COUNTED, result)

    assert (share.value, share.low, share.high) == (0.04, 0.0, 0.09)
    assert share.id == f"concepts.{ARM}.performance.together.share"
    assert "logged weeks of the simulation of cell " in share.source
    assert weeks.value == 8.0


def test_a_study_without_simulated_cells_is_left_as_it_is() -> None:
    """Nothing is counted of what was not simulated."""
    done = study()
    bare = replace(done, results=tuple(replace(each, cell=None) for each in done.results))

    assert with_waits_together(bare) == bare


@pytest.mark.parametrize(
    ("language", "words"),
    [
        (
            "en",
            "wait for the arm at the same time in 4 % of the hours in which the cell may run (0 to 9 %), counted in 8",
        ),
        (
            "de",
            "warten zugleich auf den Roboter in 4 % der Stunden, in denen die Zelle laufen darf (0 bis 9 %), gezählt",
        ),
    ],
)
def test_the_paper_says_it_beside_todays(language: str, words: str) -> None:
    """Both shares where both are known; nothing where none is."""
    ground = base("long")
    assert ground.subject is not None
    facts = facts_of(COUNTED, next(each for each in study().results if each.concept.id == ARM))
    today = replace(facts[0], id="concepts.today.performance.together.share", value=0.02)
    seen = replace(ground, facts={**ground.facts, **{each.id: each for each in (*facts, today)}})
    says = replace(teller(language, "long"), facts=seen.facts)
    (block,) = at_once(seen)
    assert isinstance(block, Paragraph)
    told = says.plain(block.item).replace("\u202f", " ").replace("\u00a0", " ")

    assert words in told
    assert "2 %" in told
    assert (
        "It may be more than the share above" if language == "en" else "Es kann mehr sein als der Teil oben"
    ) in told
    assert list(at_once(ground)) == []

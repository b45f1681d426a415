"""Ways that were not simulated are marked as such wherever their figures stand beside simulated ones."""

import pytest

from millhand.model.study import Study
from millhand.report.comparison import living, result_of
from millhand.report.html import report_html
from millhand.report.proposal.alternatives import alternative
from millhand.report.proposal.ground import ground
from millhand.report.terminal import AT_BOUND, BOUND_MEANS, page_of
from millhand.report.terminal import concept_cells as cells
from tests.report.fixture_study import ARM, study
from tests.report.test_rates import simulated_study
from tests.report.test_terminal import answer

NOT_SIMULATED, SIMULATED = study(), simulated_study(20.0)


@pytest.mark.parametrize(("one", "marked"), [(NOT_SIMULATED, True), (SIMULATED, False)], ids=["bound", "simulated"])
def test_the_terminal_says_which_figures_are_at_most(one: Study, marked: bool) -> None:
    """At the way itself, and once below the table what that means; never at today, whose output is that shipped."""
    rows = {row.concept: cells(page_of(one), row)[0] for row in living(one)}

    assert (AT_BOUND in rows[ARM]) is marked
    assert AT_BOUND not in rows["today"]
    assert (BOUND_MEANS in " ".join(answer(one).split())) is marked


@pytest.mark.parametrize(
    ("language", "words"), [("en", "not simulated: at most"), ("de", "nicht simuliert: höchstens")]
)
def test_the_report_says_which_figures_are_at_most(language: str, words: str) -> None:
    """In words, so that it is seen in grey print too."""
    for one, marked in ((NOT_SIMULATED, 1), (SIMULATED, 0)):
        table = report_html(one, language=language).partition('class="concepts"')[2].partition("</table>")[0]
        assert table.count(words) == marked


def test_the_proposal_says_which_figures_are_at_most() -> None:
    """Its table of other ways stands before people who never see the report."""
    for one, marked in ((NOT_SIMULATED, True), (SIMULATED, False)):
        assert ("alt.at_bound" in repr(alternative(ground(one, long=True), result_of(one, ARM))[0])) is marked

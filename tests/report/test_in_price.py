"""The report has the proposal's own list of what is in the price and what is not, word for word, in either language."""

import re
from dataclasses import replace
from html import unescape

import pytest

from millhand.report.html import report_html
from millhand.report.in_price import in_price
from millhand.report.marks import marks_of
from millhand.report.proposal.ground import ground
from millhand.report.proposal.scope import rows
from millhand.report.tongue import LANGUAGES, tongue
from tests.report.fixture_study import study


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_row_of_the_list_stands_in_the_report(language: str) -> None:
    """As many as the proposal has, each thing with what is said of it, in their order."""
    page = re.sub(r"<[^>]*>", "\n", unescape(report_html(study(), language=language)))
    own = in_price(study(), marks_of(study(), tongue(language)))
    base = ground(study(), long=True)
    assert base.subject is not None
    assert base.subject.estimate is not None

    assert len(own) == len(list(rows(base, base.subject.estimate))) > 10
    assert {tongue(language).text(f"excluded.{key}") for key in ("in", "out")} <= {row.state for row in own}
    begin = page.index(tongue(language).text("excluded.both"))
    at = [page.lower().index(f"\n{row.thing.lower()}\n", begin) for row in own]
    assert at == sorted(at)


def test_a_change_by_hand_has_no_such_list() -> None:
    """Its estimate says what it leaves out; so does that of every further concept."""
    decided = replace(study().decision, winner="by_hand-second_vise")
    by_hand = replace(study(), decision=decided)

    assert in_price(by_hand, marks_of(by_hand)) == ()
    assert 'class="scope"' not in report_html(by_hand)

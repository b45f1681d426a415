"""Better by hand and the way from the elements to the cost of a part, on the page and in the terminal alike."""

import json
import re
from dataclasses import replace
from functools import cache

import pytest

from millhand.model.study import Study
from millhand.report.by_hand import MOST, rows, short
from millhand.report.comparison import load_sums, opening, result_of, today_figures, today_of
from millhand.report.html import report_html
from millhand.report.study_json import study_as_json
from millhand.report.terminal import JOINT, page_of
from millhand.report.terminal_today import today_parts
from tests.agreement.test_people_time import NAMES, done
from tests.report.test_html import words
from tests.report.test_terminal import piped
from tests.study_checks import wrong_page

pytestmark = pytest.mark.xdist_group("by_hand")  # their studies are worked out once a process


@cache
def html(name: str) -> str:
    """The page of an example without cells."""
    return report_html(done(name))


@cache
def text(name: str) -> str:
    """Its page of today in the terminal, in one line."""
    return " ".join(piped(list(today_parts(done(name)))).split())


@pytest.mark.parametrize("name", NAMES)
def test_each_example_shows_two_changes_by_hand_with_price_and_effect(name: str) -> None:
    """On the page: a row each with price, parts a shift, hours, net worth, below the row of today."""
    study = done(name)
    table = re.search(r'<table class="hand">.*?</table>', html(name), flags=re.DOTALL)
    assert table is not None
    marked = set(re.findall(r'data-fact="([^"]+)"', table[0]))

    assert len(rows(study)) >= 2
    assert "As today" in table[0]
    for row in rows(study)[:MOST]:
        result = result_of(study, row.concept)
        assert result is not None
        assert result.performance is not None
        assert opening(short(row)) in words("<body>" + table[0])
        assert {row.price, row.attended, row.npv, result.performance.operator_h_per_y} <= marked


@pytest.mark.parametrize("name", NAMES)
def test_the_terminal_holds_the_changes_against_today(name: str) -> None:
    """Its first row is today, with what is shipped; prices, hours and worth follow row by row."""
    page = page_of(done(name))
    shipped = page.figure(page.study.inquiry.today.parts_per_shift.id, "parts", unit=False).replace(JOINT, " ")

    assert f"As today - {shipped} " in text(name)


@pytest.mark.parametrize("name", NAMES)
def test_the_cost_of_a_part_can_be_followed_from_the_elements(name: str) -> None:
    """Elements to one load; hours times what an hour costs, over the parts of a year, is the cost: all of it shown."""
    study = done(name)
    value = {key: study.facts[fact].value for key, fact in today_figures(study, today_of(study)).items() if fact}
    today = today_of(study)
    assert today is not None
    assert today.performance is not None
    hours = study.facts[today.performance.operator_h_per_y or ""].value
    sums = {fact.rpartition(".")[2]: study.facts[fact].value for *_, fact in load_sums(study)}

    assert value["cost"] == pytest.approx(hours * value["hour_cost"] / value["parts_per_y"], rel=1e-9)
    assert sums["work"] == pytest.approx(sums["outside_by_hand"] + sums["inside_by_hand"] + sums["travel"], rel=1e-9)
    for line in ("people's work on one load", "a worked hour costs", "good parts a year", "people's time costs a part"):
        assert line in text(name)
        assert line.casefold().replace("'", "&#39;") in html(name).casefold().replace("'", "&#39;")


@pytest.mark.parametrize("name", NAMES)
def test_every_digit_of_these_pages_leads_to_its_origin(name: str) -> None:
    """The table of changes, the sums of a load, the chain to the cost."""
    written = study_as_json(done(name))

    assert wrong_page(report_html(done(name), text=written), json.loads(written)) == []


def test_a_study_without_changes_by_hand_has_no_table() -> None:
    """Nothing empty stands there."""
    whole: Study = done("1_two_mills")
    today = whole.results[0]
    ranking = tuple(each for each in whole.decision.ranking if each.concept == today.concept.id)
    bare = replace(whole, results=(today,), decision=replace(whole.decision, ranking=ranking, winner="today",
                                                             second=None))  # fmt: skip

    assert '<table class="hand">' not in report_html(bare)

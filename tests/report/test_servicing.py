"""The table of machines for one operator on the page: every row and figure of the terminal's, each led to its fact."""

import json
import re
from dataclasses import replace

import pytest

from millhand.model.study import Study
from millhand.report.html import report_html
from millhand.report.servicing import ALIKE, NO_CHANCE, UNLIKE, notes, rule, sentences
from millhand.report.study_json import study_as_json
from tests.report.fixture_study import study
from tests.report.test_html import words
from tests.report.test_terminal_servicing import lathes, lines
from tests.study_checks import wrong_page
from tests.test_servicing import line, page, serviced

pytestmark = pytest.mark.xdist_group("servicing")  # their studies are worked out once a process


def table_of(html: str) -> list[list[str]]:
    """The texts of the table's body, row by row."""
    body = re.search(r'<table class="servicing">.*?<tbody>(.*?)</tbody>', html, flags=re.DOTALL)
    assert body is not None
    return [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, flags=re.DOTALL) for row in body[1].split("</tr>")[:-1]]


def plain(cell: str) -> str:
    """A cell's text without marks and notes."""
    return re.sub(r"<small>.*?</small>|<[^>]+>", "", cell).replace("\u202f", " ").replace("–", "-").strip()


@pytest.mark.parametrize("of", [lathes, line], ids=["lathes", "line"])
def test_page_and_terminal_show_the_same_figures(of: object) -> None:
    """Cell by cell, dashes too."""
    found: Study = of()  # type: ignore[operator]
    rows = [[plain(cell) for cell in row] for row in table_of(report_html(found))]
    shown = [line.replace("|", " ").split() for line in lines(found) if re.match(r" *\d+ +\|", line)]

    assert [" ".join(row).split() for row in rows] == shown
    assert len(rows) == len(page(found).rows)


@pytest.mark.parametrize("of", [lathes, line], ids=["lathes", "line"])
def test_each_figure_leads_to_its_fact_and_formula(of: object) -> None:
    """Every digit of the page resolves, and the appendix explains the formulas behind the table."""
    found: Study = of()  # type: ignore[operator]
    text = study_as_json(found)
    html = report_html(found, text=text)

    assert wrong_page(html, json.loads(text)) == []
    wanted = {"worked_share", "machines_wait_share"}
    wanted |= {"unlike_sets_per_h", "unlike_busy_share"} if of is line else {"machines_running", "all_busy_share"}
    assert all(f"{name}" in words(html) for name in wanted)


def test_the_row_of_today_and_the_cheapest_are_told() -> None:
    """Three lathes today; four make the cheapest part in step."""
    found = lathes()
    told = {round(found.facts[row.machines].value): notes(found, page(found), row) for row in page(found).rows}

    assert {count: words for count, words in told.items() if words} == {3: ("today",), 4: ("cheapest in step",)}
    assert (
        report_html(found).count('<tr class="first"><th><a class="fact computed" href="#f-servicing.3.machines"') == 1
    )


def test_the_rule_says_which_model_by_chance_it_is() -> None:
    """Alike machines, machines that differ, and none."""
    other = serviced(10.0, 20.0, 30.0)

    assert rule(lathes(), page(lathes())) == ALIKE
    assert rule(line(), page(line())) == UNLIKE
    assert rule(other, page(other)) == NO_CHANCE


def test_what_to_write_for_the_cheapest_number_is_a_place_in_the_file() -> None:
    """Its path stands as it has to be written, with underscores kept."""
    found = line()
    said = [each for sentence in sentences(found, page(found)) for each in sentence]

    assert [each.text for each in said if each.path] == ["machines.mill.rate, machines.lathe.rate"]


def test_a_study_that_did_not_look_has_no_table() -> None:
    """Nor one without rows."""
    assert "One operator with fewer or more machines" not in report_html(study())
    empty = replace(lathes(), servicing=replace(page(lathes()), rows=()))
    assert "One operator with fewer or more machines" not in report_html(empty)

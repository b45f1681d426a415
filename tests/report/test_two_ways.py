"""Maps of two things moved at once, as a page, a terminal and a workbook show them."""

import io
import math
import re
from dataclasses import replace
from functools import cache

from rich.console import Console

from millhand.model.maps import Maps
from millhand.model.study import Study
from millhand.report.html import environment
from millhand.report.marks import marks_of
from millhand.report.study_json import study_plain
from millhand.report.terminal import map_parts, page_of
from millhand.report.two_ways import BACK, sign
from millhand.report.workbook.maps import SHEET
from millhand.stages.maps import Axis, Point, two_way
from millhand.trace import Sheet
from tests.report.fixture_book import as_study, book_of, opened
from tests.report.fixture_study import ARM, study
from tests.stages.money_shop import made

GRID = (
    (Point(payback_months=12.0, npv_money=90_000.0), Point(payback_months=31.0, npv_money=40_000.0)),
    (Point(payback_months=math.inf, npv_money=-10_000.0), None),
)


def with_map(base: Study, concept: str) -> Study:
    """A study with one map of two by two pairs."""
    sheet, case = Sheet(base.facts.values()), next(each.case for each in base.results if each.concept.id == concept)
    assert case is not None
    wage = base.inquiry.people.wage_per_h
    axes = (Axis(fact=wage, values=(20.0, 30.0), here=0), Axis(fact=wage, values=(25.0, 35.0), here=1))
    found = two_way("money", axes, GRID, case, sheet)
    return replace(base, facts=sheet.facts, maps=Maps(concept=concept, maps=(found,)))


@cache
def mapped() -> Study:
    """The study made by hand with one map."""
    return with_map(study(), ARM)


def test_the_page_has_a_sign_beside_each_number() -> None:
    """A full, a half and an empty disc with their words; the pair of the study framed; none where it is too long."""
    from millhand.report import two_ways

    marks = marks_of(mapped())
    known = {"study": mapped(), "inquiry": mapped().inquiry, "m": marks, "two_ways": two_ways}
    text = environment().get_template("maps.html.j2").render(known)
    cells = re.findall(r"<td class=\"(.*?)\">(.*?)</td>", text)

    assert [each[0] for each in cells] == ["r", "r here", "r", "r"]
    for (_, cell), back in zip(cells[:3], ("by_hurdle", "later", "never"), strict=True):
        assert str(sign(back)) in cell  # type: ignore[arg-type]
    assert "never" in cells[2][1]
    assert cells[3][1] == "too long"
    assert all(words in text for words in BACK.values())
    assert "of 3</a>" not in text
    assert "In <a" in text


def test_the_terminal_says_it_in_words() -> None:
    """How many pairs of those that there are, and what was held."""
    console = Console(width=200, record=True, file=io.StringIO())
    console.print(*map_parts(page_of(mapped())), sep="\n")
    text = console.export_text().replace("\u202f", " ").replace("\ue000", " ")

    assert "In 1 of 3 pairs of wage and price the money is back by the hurdle of 24 months" in text


def test_the_workbook_has_months_and_worth_of_each_pair() -> None:
    """Two tables, the study's pair green, a sign in the format of each payback, words where there is no figure."""
    shop = made()
    book = opened(book_of(with_map(as_study(shop), shop.concept.id)))[SHEET]
    rows = [[cell for cell in row if cell.value is not None] for row in book.iter_rows()]
    values = [[cell.value for cell in row] for row in rows if row]
    months = next(row for row in rows if row and row[0].value == 20.0)

    assert [20.0, 12.0, 31.0] in values
    assert [30.0, "○ never", "too long"] in values
    assert [20.0, 90_000.0, 40_000.0] in values
    assert [30.0, -10_000.0, "too long"] in values
    assert [cell.number_format[:3] for cell in months[1:]] == ['"● ', '"◐ ']


def test_a_study_without_maps_has_no_sheet_and_says_nothing() -> None:
    """Nothing is shown of what was not looked at."""
    assert list(map_parts(page_of(study()))) == []
    assert study_plain(study())["maps"] is None
    assert study_plain(mapped())["maps"]["maps"][0]["cells"][1][1] == {
        "payback_months": None, "npv": None, "back": "no_such",
    }  # fmt: skip

"""Sources are shown as docs/sources.toml lists them."""

import tomllib
from pathlib import Path

from millhand.formulas import REGISTER
from millhand.report.citations import citation, cited, listed_sources
from millhand.report.html import report_html
from tests.report.fixture_study import study

LISTED = Path(__file__).resolve().parents[2] / "docs" / "sources.toml"


def test_the_packaged_list_is_the_one_in_the_documents() -> None:
    """One file, seen from two places."""
    entries = tomllib.loads(LISTED.read_text(encoding="utf-8"))

    assert set(listed_sources()) == set(entries)
    assert listed_sources()["siciliano2009"].seen == entries["siciliano2009"]["seen"]


def test_only_the_sources_of_the_formulas_at_hand_are_cited() -> None:
    """Each once, by key; a formula's key stands before its first comma."""
    found = cited([REGISTER["move_time_s"], REGISTER["s_curve_move_time_s"], REGISTER["move_time_s"]])

    keys = {REGISTER[name].source.partition(",")[0] for name in ("move_time_s", "s_curve_move_time_s")}
    assert [each.key for each in found] == sorted(keys)


def test_a_citation_leaves_out_what_is_not_known() -> None:
    """No empty brackets, no dangling commas."""
    assert citation({"title": "A page"}) == "A page"
    assert citation({"authors": "B", "title": "A page", "edition": "2nd", "year": 2001}) == "B: A page, 2nd, 2001"


def test_a_number_of_an_edition_has_its_word_and_no_year_stands_twice() -> None:
    """An edition that is a year is the year; who is named at the head of the title is not named before it again."""
    standard = {"authors": "ISO", "title": "ISO 13857, distances", "edition": "2", "year": 2019}
    dated = {"authors": "A bureau", "title": "Costs, releases of 2018 and March 2020", "year": 2019}

    assert citation(standard) == "ISO 13857, distances, edition 2, 2019"
    assert citation({**standard, "edition": "2010", "year": 2010}) == "ISO 13857, distances, 2010"
    assert citation(dated) == "A bureau: Costs, releases of 2018 and March 2020"


def test_the_page_lists_the_sources_of_its_formulas() -> None:
    """With how their figures were seen."""
    source = listed_sources()["iso13855_2024"]
    html = report_html(study())

    assert source.words in html
    assert source.seen in html

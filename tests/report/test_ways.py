"""Each concept of a study has a page of its own, and points of the chart lead there; in a report nothing does."""

import re
from dataclasses import replace
from importlib.resources import files

from millhand.report.html import report_html
from millhand.report.marks import Marks
from millhand.report.pages import study_pages
from tests.report.fixture_study import ARM, LIGHT, study
from tests.report.fixture_two_cells import two_cells


def test_every_concept_has_a_page_with_its_checks_and_margins() -> None:
    """Who lives and who fell; the comparison leads to each, and what somebody keeps says so."""
    kept = tuple(
        replace(each, concept=replace(each.concept, wish="our_cell")) if each.concept.id == ARM else each
        for each in study().results
    )
    pages = study_pages(replace(study(), results=kept), text="")

    assert {name for name in pages if name.startswith("way-")} == {f"way-{each.concept.id}" for each in kept}
    assert "Kept by hand: our cell." in pages[f"way-{ARM}"]
    assert "kept by hand: our cell" in pages["ways"]
    assert "Cannot work." in pages[f"way-{LIGHT}"]
    assert re.search(r"ends it</span>.*−33", pages[f"way-{LIGHT}"], re.DOTALL)
    for name in (ARM, LIGHT):
        assert f'<a class="way" href="way-{name}">' in pages["ways"]


def test_points_of_the_trade_off_chart_lead_to_these_pages() -> None:
    """Each says what it is; the report, which has no such pages, leads to the concept's row of the comparison."""
    inside = re.findall(r'<a href="([^"]*)" aria-label="([^"]*)"', study_pages(two_cells(), text="")["ways"])

    assert {where for where, _ in inside} >= {f"way-{ARM}"}
    assert all(where.startswith("way-") for where, _ in inside)
    assert all(words for _, words in inside)
    assert f'<a href="#way-{ARM}" aria-label="' in report_html(two_cells())


def test_names_lead_nowhere_where_there_are_no_pages() -> None:
    """As in a report."""
    assert Marks(facts={}, choices={}, currency="USD").way("a-b", "Trays") == "Trays"


def test_a_page_of_a_way_is_told_in_the_language_of_its_marks() -> None:
    """All that its template says comes out of the catalogue of texts."""
    template = (files("millhand.report") / "templates" / "way.html.j2").read_text(encoding="utf-8")
    plain = re.sub(r"\{[{%].*?[}%]\}|<[^>]*>", "", template, flags=re.DOTALL)

    assert not re.findall(r"[A-Za-z]+", plain)

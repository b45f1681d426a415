"""Each concept of a study has a page of its own, and points of the chart lead there; in a report nothing does."""

import re
from dataclasses import replace

from millhand.report.charts import Dot, axis, dot_chart
from millhand.report.marks import Marks
from millhand.report.pages import study_pages
from millhand.report.svg import drawn
from millhand.report.tradeoff import leading
from tests.report.fixture_study import ARM, LIGHT, study


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


def test_points_of_a_chart_lead_to_their_pages_and_say_what_they_are() -> None:
    """As addresses beside the page, without one outside; a chart that leads nowhere is a picture as before."""
    dots = [
        Dot(sign=sign, x=x, y=x, beaten=sign == "B", leads=f"way-{sign.lower()}")
        for sign, x in (("A", 1.0), ("B", 2.0))
    ]
    scale = axis([0.0, 3.0], wanted=3)
    plain = drawn(dot_chart(dots, scale, scale, titles=("x", "y"), width=300), prefix="t", title="T")
    made = leading(plain, {"way-a": "A: one", "way-b": 'B: "two" <x>'})

    assert re.findall(r'<a href="([^"]*)" aria-label="([^"]*)">', made) == [
        ("way-a", "A: one"), ("way-b", "B: &#34;two&#34; &lt;x&gt;"),
    ]  # fmt: skip
    assert "://" not in made.replace("http://www.w3.org", "")
    assert 'role="group"' in made
    alone = dot_chart([replace(each, leads="") for each in dots], scale, scale, titles=("x", "y"), width=300)
    assert "<a " not in drawn(alone, prefix="t", title="T")


def test_names_lead_nowhere_where_there_are_no_pages() -> None:
    """As in a report."""
    assert Marks(facts={}, choices={}, currency="USD").way("a-b", "Trays") == "Trays"

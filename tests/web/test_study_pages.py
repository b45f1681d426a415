"""What the pages of a study hold: of today, of the ways, of the money; each has an address of its own."""

import re
from collections.abc import Mapping
from functools import cache

from millhand.report.pages import study_pages
from tests.report.fixture_study import study


@cache
def pages() -> Mapping[str, str]:
    """Those of the study that is made by hand."""
    return study_pages(study(), text="")


def heads(page: str) -> tuple[str, ...]:
    """The headings of a page in their order."""
    return tuple(re.sub(r"<[^>]+>", "", each).replace("&#39;", "'") for each in re.findall(r"<h[23].*?</h[23]>", page))


def test_the_page_of_today_holds_chart_output_and_ways_by_hand() -> None:
    """One round as a chart, the model held against what is shipped, people's hours, cheap changes with their price."""
    page = pages()["today"]

    assert {"Held against what is shipped", "One round", "People's hours by kind", "Better by hand"} <= {*heads(page)}
    assert '<svg class="' in page.partition("One round")[2]
    assert 'data-fact="today.parts_per_shift"' in page
    assert re.search(r'data-fact="concepts\.by_hand-[^"]*estimate\.installed"', page)


def test_the_page_of_the_ways_holds_funnel_comparison_and_chart() -> None:
    """Each verdict with its sign, what fell with its margin, where every combination was left, points that lead on."""
    page = pages()["ways"]

    assert {"Comparison", "What cannot work", "What is weighed against what", "Where every combination was left"} <= {
        *heads(page)
    }
    fell = page.partition("What cannot work")[2]
    assert re.search(r'data-fact="concepts\.[^"]*margin', fell)
    assert 'href="way-' in page.partition("What is weighed against what")[2]


def test_the_page_of_the_money_holds_flow_range_tornado_and_turns() -> None:
    """Payback with its range, bars of the years, what it hangs on, where the answer turns, what is worth knowing."""
    page = pages()["money"]

    wanted = {"What the payback hangs on", "Cash flow, USD", "Price", "Where the answer turns", "Worth knowing first"}
    assert wanted <= {*heads(page)}
    assert re.search(r'data-fact="concepts\.[^"]*payback[^"]*"', page)
    assert len(re.findall(r"<svg", page)) >= 2
    assert re.search(r'data-fact="[^"]*(low|high|p10|p90)[^"]*"', page)

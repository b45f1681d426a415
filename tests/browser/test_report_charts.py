"""The charts of report.html in the real browser: read by pointer and keyboard, switched, drawn out, printed, without
their script as well."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Locator, Page, expect

from millhand.report.html import report_html
from millhand.report.marks import place
from tests.browser.chromium import watched
from tests.report.fixture_study import ARM
from tests.report.fixture_two_cells import two_cells

SCREENS = Path("build/screens")
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page of a study with two cells, on the disk."""
    path = tmp_path_factory.mktemp("charts") / "report.html"
    path.write_text(report_html(two_cells()), encoding="utf-8")
    return path.as_uri()


@pytest.fixture
def page(browser: Browser, report: str) -> Iterator[Page]:
    """The report, offline; whatever it did wrong is on its console."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, offline=True)
    found = context.new_page()
    seen = watched(found)
    found.goto(report)
    yield found
    context.close()
    assert seen.messages == []
    assert len(seen.requests) == 1


def chart(page: Page, section: str, number: int = 0) -> Locator:
    """One chart of a section that can be read."""
    return page.locator(f"#{section} figure:has(.readout)").nth(number)


def test_the_value_under_the_pointer_is_said_above_the_chart(page: Page) -> None:
    """Near is enough, for a finger as for a mouse; beyond, the hint stands there again."""
    worth = chart(page, "comparison")
    line, dot = worth.locator(".readout"), worth.locator(".wide path[data-say]").first
    hint = line.inner_text()
    dot.scroll_into_view_if_needed()
    box = dot.bounding_box()
    assert box is not None

    page.mouse.move(box["x"] + box["width"] / 2 + 3, box["y"] - 9)
    expect(line).to_contain_text("300\u202f000\u202fUSD (210\u202f000 to 370\u202f000)")
    page.mouse.move(box["x"], box["y"] - 400)
    expect(line).to_have_text(hint)


def test_the_arrow_keys_go_from_mark_to_mark(page: Page) -> None:
    """One stop for Tab; each mark has its name for those who hear the page."""
    cash = chart(page, "money", 1)
    line, marks = cash.locator(".readout"), cash.locator(".wide [data-say]")
    marks.first.focus()
    page.keyboard.press("ArrowRight")

    expect(line).to_have_text("Year 1: flow 30\u202f000\u202fUSD")
    assert page.evaluate("document.activeElement.ariaLabel") == line.inner_text()
    page.keyboard.press("End")
    expect(line).to_contain_text("added up")
    assert cash.locator(".wide [tabindex='0']").count() == 1
    page.keyboard.press("Escape")
    expect(line).to_contain_text("arrow keys")


def test_a_series_is_switched_off_and_on(page: Page) -> None:
    """Its marks go and are no longer met on the way; on paper all are there."""
    rates = chart(page, "comparison", 1)
    button = rates.get_by_role("button", name="load bound")
    bound = rates.locator(".wide [data-in=bound]").first
    button.press("Enter")

    expect(button).to_have_attribute("aria-pressed", "false")
    expect(bound).to_be_hidden()
    expect(rates.locator(".wide [data-in=cycle]").first).to_be_visible()
    page.emulate_media(media="print")
    expect(bound).to_be_visible()
    expect(button).to_be_hidden()
    page.emulate_media(media="screen")
    button.press("Space")
    expect(bound).to_be_visible()


def test_a_concept_is_switched_off_with_all_that_is_its(page: Page) -> None:
    """Point and sign go together."""
    trade = chart(page, "tradeoff")
    trade.get_by_role("button", name="D", exact=True).click()

    assert trade.locator(".wide [data-in~=way_D][data-off]").count() == 2
    assert trade.locator(".wide [data-in~=way_C][data-off]").count() == 0


def test_a_point_of_the_trade_off_leads_to_its_concept(page: Page) -> None:
    """By the keyboard too."""
    trade = chart(page, "tradeoff")
    trade.locator(".wide a").first.press("Enter")

    assert page.url.endswith("#" + place(ARM))
    assert "Drawers, fenced arm" in page.locator(f"[id='{place(ARM)}']").inner_text()


def test_the_time_axis_can_be_drawn_out(page: Page) -> None:
    """Short stretches become wide ones, the axis gets finer figures, letters keep their size, names stay in sight."""
    round_chart = chart(page, "today")
    bar, name = round_chart.locator(".wide rect[data-say]").first, round_chart.locator(".wide [data-stays]").first
    before, letters = bar.bounding_box(), name.bounding_box()
    shown = round_chart.locator(".wide g[data-times]:not(.later) text")
    ticks = shown.count()
    closer = round_chart.get_by_role("button", name="Closer")
    closer.click()
    closer.click()

    after = bar.bounding_box()
    assert before
    assert after
    assert letters
    assert 3.0 < after["width"] / before["width"] < 5.0
    assert shown.count() > 2 * ticks
    round_chart.locator(".wide").evaluate("each => { each.scrollLeft = 300; }")
    page.wait_for_timeout(100)
    stands = name.bounding_box()
    assert stands
    assert stands["height"] == pytest.approx(letters["height"], rel=0.1)
    assert stands["x"] == pytest.approx(letters["x"], abs=2.0)
    round_chart.get_by_role("button", name="Whole round").click()
    again = bar.bounding_box()
    assert again
    assert again["width"] == pytest.approx(before["width"], rel=0.01)


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (360, "dark")])
def test_no_violation_of_the_accessibility_rules(browser: Browser, report: str, width: int, scheme: str) -> None:
    """The whole page narrow and dark, what is drawn wide and light; the screens are kept to be looked at."""
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(report)
    for figure in page.locator("figure:has(.readout)").all():
        figure.locator("[data-say][tabindex='0']:visible, g [data-say][tabindex='0']").first.evaluate(
            "each => each.focus()"
        )
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"report-{width}-{scheme}.png", full_page=True)

    looked_at = None if scheme == "dark" else {"include": [["figure"]]}  # the rest once
    found = Axe().run(page, context=looked_at, options=RULES).response["violations"]
    context.close()

    assert [(each["id"], [node["target"] for node in each["nodes"]][:3]) for each in found] == []


def test_without_scripts_the_page_lacks_only_what_needs_one(browser: Browser, report: str) -> None:
    """The still picture, the same in words, and a point that leads to its concept; no dead button."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, java_script_enabled=False)
    page = context.new_page()
    page.goto(report)

    assert page.locator("figure .wide svg").first.is_visible()
    assert not page.locator(".switches, .readout").locator("visible=true").count()
    words = chart(page, "tradeoff").locator(".in-words")
    words.locator("summary").click()
    assert words.locator("li").first.is_visible()
    page.locator("#tradeoff .wide a").first.press("Enter")
    assert page.url.endswith("#" + place(ARM))
    context.close()

"""report.html in the real browser: opened from the disk, offline, wide, narrow, dark and on paper."""

import struct
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from millhand.report.marks import anchor
from millhand.report.writing import write_study
from tests.browser.chromium import INSTALL, Seen, executable, watched
from tests.report.fixture_study import ARM, study

BARE_DIGITS = """() => {
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const marks = "[data-fact],[data-given],[data-name],[data-source],[data-meta],script";
  while (walker.nextNode()) {
    const node = walker.currentNode;
    if (/[0-9]/.test(node.data) && !node.parentElement.closest(marks)) found.push(node.data.trim());
  }
  return found;
}"""
WIDER_THAN_THE_PAGE = """() => [...document.querySelectorAll("main *")].filter((element) => {
  const box = element.getBoundingClientRect();
  return box.width > 0 && box.right > document.documentElement.clientWidth + 1
    && !element.closest(".table") && !element.closest("svg");
}).map((element) => element.tagName + "." + element.className)"""
CUT_OFF = """() => [...document.querySelectorAll("figure svg")].filter((svg) => svg.getBoundingClientRect().width > 0)
  .flatMap((svg) => [...svg.querySelectorAll("text")].filter((text) => {
    const box = text.getBoundingClientRect();
    return box.left < 0 || box.right > document.documentElement.clientWidth;
  }).map((text) => text.textContent))"""
SMALL_PRINT = """() => [...document.querySelectorAll("figure svg")]
  .filter((svg) => svg.getBoundingClientRect().width > 0)
  .flatMap((svg) => [...svg.querySelectorAll("text")].filter((text) => text.getClientRects().length))
  .map((text) => text.getBoundingClientRect().height)"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The fixture study, written."""
    target = tmp_path_factory.mktemp("report") / "out"
    write_study(study(), target)
    return target


def opened(browser: Browser, folder: Path, *, width: int = 1280, dark: bool = False) -> tuple[Page, Seen]:
    """The report in a window so wide, with no network at all."""
    context = browser.new_context(
        viewport={"width": width, "height": 900}, offline=True, color_scheme="dark" if dark else "light"
    )
    page = context.new_page()
    seen = watched(page)
    page.goto((folder / "report.html").as_uri())
    return page, seen


def size_of(png: bytes) -> tuple[int, int]:
    """Width and height in the head of a PNG."""
    width, height = struct.unpack(">II", png[16:24])
    return width, height


@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_it_opens_offline_without_a_request_or_a_message(
    browser: Browser, folder: Path, width: int, dark: bool
) -> None:
    """From the disk, with the network off: one file read, nothing asked of anybody, a silent console."""
    page, seen = opened(browser, folder, width=width, dark=dark)

    assert seen.requests == [(folder / "report.html").as_uri()]
    assert seen.messages == []
    assert page.title() == "Two mills, line 4: loading study"
    page.context.close()


def test_every_digit_in_the_live_page_is_marked(browser: Browser, folder: Path) -> None:
    """What the browser made of it: no digit outside a mark, in closed chapters neither."""
    page, _ = opened(browser, folder)

    assert page.evaluate(BARE_DIGITS) == []
    assert page.locator("[data-fact]").count() > 300
    page.context.close()


@pytest.mark.parametrize("width", [1280, 768, 390, 320])
def test_nothing_is_wider_than_the_window(browser: Browser, folder: Path, width: int) -> None:
    """The page does not scroll sideways: tables scroll inside themselves, charts fit and stay readable."""
    page, _ = opened(browser, folder, width=width)
    page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true })")

    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(WIDER_THAN_THE_PAGE) == []
    assert page.evaluate(CUT_OFF) == []
    assert min(page.evaluate(SMALL_PRINT)) >= 10
    page.context.close()


def test_a_figure_leads_to_its_line_and_from_there_to_its_inputs(browser: Browser, folder: Path) -> None:
    """A click opens the chapter of the appendix and shows the fact; its formula and inputs lead on."""
    page, _ = opened(browser, folder)
    line = page.locator(f'[id="{anchor(f"concepts.{ARM}.case.npv")}"]')
    assert not line.is_visible()

    page.locator(f'#comparison a[data-fact="concepts.{ARM}.case.npv"]').first.click()

    assert line.is_visible()
    assert "present_worth" in line.inner_text()
    line.locator(f'a[href="#{anchor("money.rate")}"]').click()
    assert page.locator(f'[id="{anchor("money.rate")}"]').is_visible()
    page.context.close()


@pytest.mark.parametrize(("width", "shown"), [(1280, "wide"), (390, "narrow")])
def test_a_screenshot_shows_the_drawing_made_for_its_width(
    browser: Browser, folder: Path, width: int, shown: str
) -> None:
    """The whole page can be drawn, and each chart stands there once."""
    page, _ = opened(browser, folder, width=width)
    other = "narrow" if shown == "wide" else "wide"

    picture = page.screenshot(full_page=True)

    assert size_of(picture)[0] == width
    assert size_of(picture)[1] > 2000
    for figure in page.locator("figure").all():
        assert figure.locator(f".{shown} svg").is_visible()
        assert not figure.locator(f".{other} svg").is_visible()
    page.context.close()


def test_dark_is_dark_and_light_is_light(browser: Browser, folder: Path) -> None:
    """The page follows the reader's setting, its charts too."""
    ink = "getComputedStyle(document.querySelector('figure .wide svg text')).fill"
    paper = "getComputedStyle(document.body).backgroundColor"
    colours = []
    for dark in (False, True):
        page, _ = opened(browser, folder, dark=dark)
        colours.append((page.evaluate(paper), page.evaluate(ink)))
        page.context.close()

    (light_paper, light_ink), (dark_paper, dark_ink) = colours
    assert sum(channels(light_paper)) > 600 > 200 > sum(channels(dark_paper))
    assert sum(channels(dark_ink)) > sum(channels(light_ink)) + 200


def channels(colour: str) -> list[int]:
    """Red, green and blue of a computed colour."""
    return [int(part) for part in colour.strip("rgb()").split(",")[:3]]


def test_on_paper_everything_is_open_and_nothing_scrolls(browser: Browser, folder: Path) -> None:
    """Closed chapters are printed, the list of sections is not, and dark readers get white paper."""
    page, _ = opened(browser, folder, dark=True)
    line = page.locator(f'[id="{anchor("money.rate")}"]')

    page.emulate_media(media="print")

    assert line.is_visible()
    assert not page.locator("nav").is_visible()
    assert page.evaluate("getComputedStyle(document.querySelector('.table')).overflowX") == "visible"
    assert sum(channels(page.evaluate("getComputedStyle(document.body).backgroundColor"))) == 3 * 255
    assert page.pdf(prefer_css_page_size=True).startswith(b"%PDF")
    page.context.close()


def test_it_can_be_read_by_keyboard_and_by_ear(browser: Browser, folder: Path) -> None:
    """A language, one title, headings in order, tables with heads, each drawing with words."""
    page, _ = opened(browser, folder)

    assert page.evaluate("document.documentElement.lang") == "en"
    assert page.locator("h1").count() == 1
    levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map((each) => Number(each.tagName[1]))")
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert page.evaluate("[...document.querySelectorAll('figure svg[role=img]')].every((e) => e.ariaLabel)")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.tagName") == "A"
    page.context.close()


def test_a_missing_browser_is_told_with_the_line_that_installs_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is skipped in silence."""
    monkeypatch.setenv("CHROMIUM", "/nowhere/chromium")

    with pytest.raises(pytest.fail.Exception, match=INSTALL):
        executable()

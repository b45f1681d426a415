"""The call sheet in the real browser: folds, what a number was read as, the way on, an operation more."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from tests.browser.desk import EXAMPLE, RULES, SCREENS, entered, ready
from tests.web.live import Live


@pytest.fixture(scope="module")
def job(server: Live) -> str:
    """The address of an inquiry that can be worked out."""
    import httpx2 as httpx

    sent = {"kind": "text", "text": EXAMPLE.read_text(encoding="utf-8")}
    own = httpx.post(f"{server.url}/api/inquiries", json=sent, headers=server.headers, timeout=60).json()["id"]
    return f"/inquiries/{own}"


def test_the_unfolded_sheet_is_for_everybody(browser: Browser, server: Live, job: str) -> None:
    """No violation of the rules, and no wider than a phone, with every fold open."""
    context = entered(browser, server, width=360, scheme="dark")
    page = context.pages[0]
    page.goto(job)
    page.evaluate("for (const each of document.querySelectorAll('details.below')) each.open = true")

    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / "call_sheet_unfolded_360_dark.png", full_page=True)
    context.close()


def test_from_a_field_to_the_button_and_to_what_is_needed(browser: Browser, server: Live, job: str) -> None:
    """A bare number says what it was read as; the link leads to the button; a new operation opens at its fields."""
    context = entered(browser, server)
    page = context.pages[0]
    page.goto(job)
    page.locator("summary", has_text="Build of the machines").click()
    field = page.locator("[id='in-machines.0.age']")
    field.fill("6")
    field.press("Tab")
    expect(page.locator("[id='said-machines.0.age']")).to_contain_text("read as 6 years")

    page.get_by_role("link", name="Go on to work it out").click()
    expect(page.get_by_role("button", name="Work it out")).to_be_in_viewport()

    page.get_by_role("button", name="Add a second operation").click()
    expect(page.locator("[id='in-parts.0.operations.1.machine']")).to_be_in_viewport()
    needed = page.locator("#standing").get_by_role("link", name="time")
    page.locator("summary", has_text="Operation 2").click()
    needed.click()
    expect(page.locator("[id='in-parts.0.operations.1.time']")).to_be_in_viewport()
    context.close()


def test_folds_stay_as_they_were_and_what_came_is_said(browser: Browser, server: Live) -> None:
    """All at once by one control; the address holds it, through an addition and for this window; a second shift says
    what it brought; later machines take over the spacing, on the page too."""
    context = entered(browser, server)
    page = context.pages[0]
    page.get_by_role("button", name="Begin").first.click()
    opened = page.locator("details[data-fold][open]")
    expect(page.locator("details[data-fold='each-shift'][open]")).to_be_visible()
    page.get_by_role("link", name="close all").click()
    expect(opened).to_have_count(0)
    page.wait_for_url(lambda url: url.endswith("?open=none"))  # the address follows the folds
    shifts = page.locator("[id='in-shifts']")
    ready(page, shifts)
    shifts.fill("6:00-14:00, 14:00-22:00")
    shifts.press("Tab")
    expect(page.locator("#came")).to_contain_text("in Each shift, 2 fields came: Second shift: length of its break")
    expect(page.locator("[id='in-answered.shifts.shift_2.breaks.pause.length']")).to_be_visible()

    page.get_by_role("button", name="Add machines that do the same work").click()
    expect(page.locator("[id='in-machines.1.name']")).to_be_in_viewport()
    expect(opened).to_have_count(2)
    page.get_by_role("button", name="Add machines that do the same work").click()
    expect(page.locator("[id='in-machines.2.name']")).to_be_in_viewport()
    expect(opened).to_have_count(3)
    spacing = page.locator("[id='in-machines.0.spacing']")
    ready(page, spacing)
    spacing.fill("3.2 m")
    spacing.press("Tab")
    expect(page.locator("[id='in-machines.1.spacing']")).to_have_value("3.2 m", timeout=15_000)

    page.goto(page.url.partition("?")[0])
    expect(opened).to_have_count(3)
    assert Axe().run(page, options=RULES).violations_count == 0
    context.close()

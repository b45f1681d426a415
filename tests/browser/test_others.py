"""A desk that serves others in the real browser: signing in, accounts, who did what, and pages of a reader."""

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from millhand.store import accounts
from tests.browser.chromium import watched
from tests.browser.desk import RULES, SCREENS
from tests.web.live import Live, live
from tests.web.others import PASSWORDS, ROLES

OWN = ("/accounts", "/audit", "/password", "/programs")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Live]:
    """One server with an owner, an engineer, a reader and somebody with a long name."""
    with live(tmp_path_factory.mktemp("others"), others=True) as found:
        with found.store.writing() as connection:
            for name, role in ROLES.items():
                accounts.add(connection, "the terminal", name, role, accounts.hashed(PASSWORDS[name], name))
            accounts.add(connection, "the terminal", "a.very.long.name.of.somebody@machining.example", "reader", "none")
        yield found


def signed_in(page: Page, name: str) -> None:
    """By the keyboard alone."""
    page.goto("/")
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    page.get_by_label("Name").fill(name)
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORDS[name])
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Desk", exact=True)).to_be_visible()


def looked_at(page: Page, name: str, scheme: str) -> list[str]:
    """What breaks a rule that a program can check; a picture of the page is kept."""
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"others_{name}_{scheme}.png", full_page=True)
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{name}: {each['id']}: {each['nodes'][0]['html'][:120]}" for each in found]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_of_people_are_for_everybody(browser: Browser, server: Live, scheme: str) -> None:
    """No violation in both themes, nothing wider than a phone, no mistake of a script."""
    context = browser.new_context(base_url=server.url, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    seen = watched(page)
    page.goto("/")
    broken = looked_at(page, "sign_in", scheme)
    page.get_by_label("Name").fill("olga")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("do not belong together")
    broken += looked_at(page, "sign_in_wrong", scheme)
    signed_in(page, "olga")
    wide = {}
    for path in OWN:
        page.set_viewport_size({"width": 1280, "height": 900})
        page.goto(path)
        if path == "/accounts":
            page.locator("summary").first.click()
        if path == "/programs":
            page.get_by_role("button", name="Make a token").click()
        broken += looked_at(page, path[1:], scheme)
        page.set_viewport_size({"width": 360, "height": 800})
        width = page.evaluate("document.documentElement.scrollWidth")
        wide |= {path: width} if width > 360 else {}
    page.screenshot(path=SCREENS / f"others_phone_{scheme}.png", full_page=True)
    assert broken == []
    assert wide == {}
    assert [each for each in seen.messages if "error" in each and "403" not in each] == []
    context.close()


def test_a_reader_sees_and_changes_nothing(browser: Browser, server: Live) -> None:
    """No field takes a letter, no button is there that would refuse; the page says so, and has no violation."""
    engineer = browser.new_context(base_url=server.url)
    page = engineer.new_page()
    signed_in(page, "emil")
    page.locator("form", has_text="From a blank sheet").get_by_role("button").click()
    where = page.url
    engineer.close()
    context = browser.new_context(base_url=server.url)
    page = context.new_page()
    signed_in(page, "rita")
    expect(page.get_by_text("rita, reader")).to_be_visible()
    assert looked_at(page, "reader_desk", "light") == []
    expect(page.get_by_role("button", name="Begin")).to_have_count(0)
    page.goto(where)
    assert looked_at(page, "reader_sheet", "light") == []
    expect(page.locator("[id='in-people.wage']")).to_be_disabled()
    expect(page.get_by_text("You only read here.")).to_be_visible()
    assert [each for each in page.get_by_role("button").all_inner_texts() if each not in ("Sign out",)] == []
    page.goto(f"{where}/text")
    expect(page.locator("textarea")).not_to_be_editable()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    page.goto(where)
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    context.close()

"""What tests of the desk in the real browser share: a window that came in, the example, the rules for everybody."""

from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.web.live import Live

SCREENS = Path("build/screens")
EXAMPLE = Path("examples/1_two_mills/inquiry.yaml")
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


def entered(browser: Browser, server: Live, *, width: int = 1280, scheme: str = "light") -> BrowserContext:
    """A window that came in with the printed key."""
    context = browser.new_context(
        viewport={"width": width, "height": 900}, base_url=server.url, color_scheme=scheme,  # type: ignore[arg-type]
        accept_downloads=True,
    )  # fmt: skip
    page = context.new_page()
    page.goto(f"/enter?key={server.app.state.gate.key}")
    page.get_by_role("button", name="Open the desk").press("Enter")
    expect(page.get_by_role("heading", name="Desk", exact=True)).to_be_visible()
    return context


def ready(page: Page, field: Locator) -> None:
    """Wait until a field is on the page and the page's scripts are at work: right after a click that leads to another
    page it may be there before them, and what is typed then is kept by nobody."""
    field.wait_for(state="attached")
    page.wait_for_load_state("load")

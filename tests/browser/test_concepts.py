"""Concepts in the real browser: moved by the pointer, by the keyboard and without scripts; every page for everybody."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import watched
from tests.browser.desk import EXAMPLE, RULES, SCREENS, entered
from tests.web.live import Live
from tests.web.serving import pages_once, studied

PATIENCE_MS = 120_000  # the first answer waits for its process
CELL = "trays-pedestal-fenced_20-parallel_single-fence"


@pytest.fixture(scope="module")
def job(server: Live) -> tuple[str, str]:
    """An inquiry with a finished study: the addresses of both."""
    import httpx2 as httpx

    sent = {"kind": "text", "text": EXAMPLE.read_text(encoding="utf-8")}
    own = httpx.post(f"{server.url}/api/inquiries", json=sent, headers=server.headers, timeout=60).json()["id"]
    return f"/inquiries/{own}", f"/studies/{studied(server.store, own, pages_once())}/own"


def place(page: Page, piece: str) -> tuple[int, int]:
    """Where a piece stands by its fields, in mm."""
    texts = [page.locator(f"#{piece}_{axis}").input_value() for axis in "xy"]
    return int(texts[0].removesuffix(" mm")), int(texts[1].removesuffix(" mm"))


def taken_hold_of(page: Page, piece: str) -> tuple[float, float]:
    """Press on a piece until the page has it; where the pointer is.

    An answer that comes meanwhile may move the plan away from under the pointer.
    """
    page.locator(".moving > svg.plan").evaluate("each => each.scrollIntoView({block: 'center'})")
    grip = page.locator(f'.grip[data-piece="{piece}"]')
    for _ in range(20):
        grip.hover()
        box = grip.bounding_box()
        page.mouse.down()
        if box is not None and page.evaluate("lifted !== null"):
            return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.up()
    raise AssertionError(f"nothing takes hold of {piece}")


def test_pieces_follow_pointer_and_keyboard_and_the_server_answers(
    browser: Browser, server: Live, job: tuple[str, str]
) -> None:
    """The fields, the address and the verdicts follow; what was moved keeps the focus; kept, it stands in the list."""
    context = entered(browser, server)
    context.set_default_timeout(PATIENCE_MS)
    page = context.pages[0]
    seen = watched(page)
    page.goto(f"{job[0]}/concepts/plan?of={CELL}")
    grip = page.locator('.grip[data-piece="arm"]')
    before = int(grip.get_attribute("data-x") or ""), int(grip.get_attribute("data-y") or "")
    grip.focus()
    with page.expect_response(lambda answer: "/plan/answer" in answer.url):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#arm_x")).to_have_value(f"{before[0] + 50} mm")
    expect(page.locator('.grip[data-piece="arm"]')).to_be_focused()
    with page.expect_response(lambda answer: "/plan/answer" in answer.url):
        page.keyboard.press("Shift+ArrowDown")
    assert place(page, "arm") == (before[0] + 50, before[1] - 10)
    page.wait_for_url(f"**arm_y={before[1] - 10}+mm**")
    x, y = taken_hold_of(page, "arm")
    scale = float(page.locator(".moving > svg.plan").get_attribute("data-scale") or "")
    page.mouse.move(x, y + 300, steps=4)
    with page.expect_response(lambda answer: "/plan/answer" in answer.url):
        page.mouse.up()
    shown = page.locator(".moving > svg.plan").bounding_box()
    view = re.findall(r"[\d.]+", page.locator(".moving > svg.plan").get_attribute("viewBox") or "")
    assert shown is not None
    wanted = before[1] - 10 - 300 * 1000 / (scale * shown["width"] / float(view[2]))
    assert place(page, "arm")[1] == pytest.approx(wanted, abs=15)
    expect(page.locator("#news")).to_contain_text("It does not work: reach of the arm")
    page.get_by_label("name", exact=True).fill("far south")
    page.get_by_role("button", name="Keep it in the inquiry").click()
    expect(page.get_by_role("row", name="far south")).to_contain_text("looked at closely")
    assert [each for each in seen.messages if "error" in each and "Abort" not in each and "afterReq" not in each] == []
    context.close()


def test_a_point_of_the_chart_leads_to_its_concept_and_that_to_a_wish(
    browser: Browser, server: Live, job: tuple[str, str]
) -> None:
    """By the keyboard; left out with a reason, it stands in the list."""
    context = entered(browser, server)
    page = context.pages[0]
    page.goto(f"{job[1]}/ways")
    page.locator("a.way").nth(1).click()
    expect(page.get_by_role("heading", name="What is wished about it")).to_be_visible()
    page.get_by_label("why").fill("no room <here>")
    page.get_by_role("button", name="Leave it out").press("Enter")
    expect(page.get_by_role("row", name="left out")).to_contain_text("no room <here>")
    page.get_by_role("button", name="Take the wish left out").press("Enter")
    expect(page.get_by_text("no room")).to_have_count(0)
    context.close()


def test_without_scripts_places_are_typed(browser: Browser, server: Live, job: tuple[str, str]) -> None:
    """Figures in, a button, the verdicts."""
    context = browser.new_context(base_url=server.url, java_script_enabled=False)
    context.set_default_timeout(PATIENCE_MS)
    page = context.new_page()
    page.goto(f"/enter?key={server.app.state.gate.key}")
    page.get_by_role("button", name="Open the desk").click()
    page.goto(f"{job[0]}/concepts/plan?of={CELL}")
    page.locator("#arm_x").fill("1.4 m")
    page.locator("#arm_y").fill("-4 m")
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#news")).to_contain_text("It does not work: reach of the arm")
    context.close()


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 1280), ("light", 360)])
def test_every_page_about_concepts_is_for_everybody(
    browser: Browser, server: Live, job: tuple[str, str], scheme: str, width: int
) -> None:
    """No violation of the rules that a program can check, nothing beside a narrow page; pictures are kept."""
    context = entered(browser, server, scheme=scheme, width=width)
    context.set_default_timeout(PATIENCE_MS)
    page = context.pages[0]
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.goto(f"{job[1]}/ways")
    way = page.locator("a.way").nth(1).get_attribute("href")
    paths = {
        "ways": f"{job[1]}/ways", "way": f"{job[1]}/{way}", "concepts": f"{job[0]}/concepts",
        "plan": f"{job[0]}/concepts/plan?of={CELL}",
    }  # fmt: skip
    found = {}
    for name, path in paths.items():
        page.goto(path)
        if name == "plan":
            expect(page.get_by_text("Output, simulated anew")).to_be_visible(timeout=60_000)
        result = Axe().run(page, options=RULES)
        broken = [f"{each['id']}: {each['nodes'][0]['html'][:160]}" for each in result.response["violations"]]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            broken.append("too wide")
        if broken:
            found[name] = broken
        page.screenshot(path=SCREENS / f"concepts_{name}_{scheme}_{width}.png", full_page=True)
    assert found == {}
    context.close()

"""The cell running in the real browser: what stands in the page at a time is what the record says of it."""

import json
from bisect import bisect_right
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import watched
from tests.browser.desk import RULES, SCREENS, entered
from tests.web.live import Live
from tests.web.serving import running_files, studied

TIMES = (0.0, 431.5, 16_000.0)


@pytest.fixture(scope="module")
def files() -> dict[str, dict[str, bytes]]:
    """What a study leaves of a shift."""
    return running_files()


@pytest.fixture(scope="module")
def where(server: Live, files: dict[str, dict[str, bytes]]) -> str:
    """The address of the page."""
    import httpx2 as httpx

    sent = {"kind": "example", "name": "1_two_mills"}
    own = httpx.post(f"{server.url}/api/inquiries", json=sent, headers=server.headers, timeout=60).json()["id"]
    return f"/studies/{studied(server.store, own, files)}/own/running"


@pytest.fixture(scope="module")
def record(files: dict[str, dict[str, bytes]]) -> dict[str, Any]:
    """What the page plays."""
    found: dict[str, Any] = json.loads(files["own"]["shift.json"])
    return found


def shown(page: Page, where: str) -> None:
    """Open the page anew, until its script has drawn."""
    page.goto("about:blank")
    page.goto(where)
    page.locator("#player[data-ready]").wait_for()


def at(marks: list[list[Any]], now: float) -> list[Any]:
    """The latest mark of a moment."""
    return marks[max(0, bisect_right(marks, now, key=lambda each: each[0]) - 1)]


def share(states: list[list[Any]], name: str, now: float) -> float:
    """The share of one state up to a moment, summed here."""
    ends = [*(each[0] for each in states[1:]), now]
    return sum(max(0.0, min(end, now) - since) for (since, what), end in zip(states, ends, strict=True)
               if what == name) / now  # fmt: skip


def test_what_is_shown_at_a_time_is_what_the_record_says(
    browser: Browser, server: Live, where: str, record: dict[str, Any]
) -> None:
    """Clock, states, levels, parts in hand, parts that left and shares, at some times in the address."""
    context = entered(browser, server)
    page = context.pages[0]
    seen = watched(page)
    words = record["words"]["states"]
    for now in TIMES:
        shown(page, f"{where}#t={now}")
        second = int(record["start_s"] + now) % 86_400
        expect(page.locator("#clock")).to_have_text(f"{second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}")
        expect(page.locator("#out")).to_have_text(str(at(record["out"], now)[1]))
        for station in record["stations"]:
            cell = page.locator(f"[data-now='{station['name']}'] .words")
            if station["states"]:
                told = words["station"][at(station["states"], now)[1]]
                expect(cell).to_have_text(told[2])
                field = page.locator(f".wide [data-look='{station['name']}']")
                expect(field).to_have_attribute("fill", f"url(#run-{told[0]})")
            elif station["parts"]:
                expect(cell).to_have_text(f"{at(station['parts'], now)[1]} of {station['capacity']}")
        for each in record["attendants"]:
            told = words["attendant"][at(each["states"], now)[1]]
            expect(page.locator(f"[data-now='{each['name']}'] .words")).to_have_text(told[2])
            if each["kind"] == "arm":
                held = page.locator(f".wide [data-arm='{each['name']}'] [data-hand]:not(.none)")
                expect(held).to_have_count(len(at(each["holds"], now)[1]))
    machine = next(each for each in record["stations"] if each["states"])
    row = page.locator(f"[data-shares='{machine['name']}'] [data-state='working'] td").first
    expect(row).to_have_text(f"{int(share(machine['states'], 'working', now) * 100 + 0.5)}\u202f%")
    assert [each for each in seen.messages if "error" in each] == []
    context.close()


def test_it_is_played_and_stepped_by_the_keyboard(
    browser: Browser, server: Live, where: str, record: dict[str, Any]
) -> None:
    """Space plays and pauses, arrows go from event to event, the address keeps the time, what happened is told."""
    context = entered(browser, server)
    page = context.pages[0]
    shown(page, f"{where}#t=100")
    page.locator("#when").focus()
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") != "none"
    page.keyboard.press("ArrowRight")
    first = next(each for each in record["events"] if each[0] > 100 and each[2])
    assert page.evaluate("location.hash") == f"#t={round(first[0], 1):g}"
    expect(page.locator("#told")).to_contain_text(record["words"]["events"][first[1]])
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Home")
    assert page.evaluate("location.hash") == "#t=0"
    page.keyboard.press("Space")
    expect(page.locator("#play")).to_contain_text("Pause")
    start = page.locator("#clock").inner_text()
    expect(page.locator("#clock")).not_to_have_text(start)
    page.keyboard.press("Space")
    expect(page.locator("#play")).to_contain_text("Play")
    expect(page.locator("#told")).to_contain_text("Paused at")
    stood = page.locator("#player").get_attribute("data-now")
    page.wait_for_timeout(120)
    assert page.locator("#player").get_attribute("data-now") == stood
    page.keyboard.press("End")
    assert page.locator("#player").get_attribute("data-now") == f"{record['end_s'] - record['start_s']:g}"
    context.close()


def test_who_wants_no_motion_gets_steps(browser: Browser, server: Live, where: str, record: dict[str, Any]) -> None:
    """The arm is at one place or at the next, never between; and the picture changes once a second."""
    context = entered(browser, server)
    page = context.pages[0]
    arm = next(each for each in record["attendants"] if each["kind"] == "arm")
    way = next(each for each in arm["ways"] if each[1] != each[2] and each[4] and each[4] - each[0] > 0.5)
    half = f"{where}#t={(way[0] + way[4]) / 2}"
    grips = []
    for motion in ("no-preference", "reduce"):
        page.emulate_media(reduced_motion=motion)  # type: ignore[arg-type]
        shown(page, half)
        grips.append(page.locator(".wide .run-grip").get_attribute("transform"))
    shown(page, f"{where}#t={way[0]}")
    assert grips[0] != grips[1] == page.locator(".wide .run-grip").get_attribute("transform")
    context.close()


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (2560, "dark")])
def test_the_page_is_for_everybody(browser: Browser, server: Live, where: str, width: int, scheme: str) -> None:
    """No violation that a program can find, nothing runs out to the side, and all of it weighs less than a megabyte."""
    context = entered(browser, server, width=width, scheme=scheme)
    page = context.pages[0]
    shown(page, f"{where}#t=3000")
    broken = [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in
              Axe().run(page, options=RULES).response["violations"]]  # fmt: skip
    weight = page.evaluate(
        "[...performance.getEntriesByType('resource'), ...performance.getEntriesByType('navigation')]"
        ".reduce((sum, each) => sum + each.encodedBodySize, 0)"
    )
    SCREENS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENS / f"running_{width}_{scheme}.png", full_page=True)

    assert broken == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert weight < 1_000_000
    context.close()


def test_without_scripts_the_still_picture_and_the_lists_are_there(
    browser: Browser, server: Live, where: str, record: dict[str, Any]
) -> None:
    """No button that does nothing, and every event in the lists."""
    context = browser.new_context(base_url=server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"/enter?key={server.app.state.gate.key}")
    page.get_by_role("button", name="Open the desk").click()
    page.goto(where)
    expect(page.locator(".still-words")).to_be_visible()
    expect(page.locator(".controls")).to_be_hidden()
    expect(page.locator(".wide [data-arm]")).to_be_visible()
    page.locator("a[href='running-1']").click()
    first = record["words"]["events"][record["events"][0][1]]
    expect(page.locator(".happened tbody tr").first).to_contain_text(first)
    context.close()

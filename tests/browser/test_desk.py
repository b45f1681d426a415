"""The desk in the real browser: the whole job, two windows, keyboard alone, every page wide, narrow and dark."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import watched
from tests.browser.desk import EXAMPLE, RULES, SCREENS, entered, ready
from tests.web.live import Live
from tests.web.serving import links, studied, study_files_once

CALL = {
    "name": "Flanges, two lathes", "people.wage": "21 EUR/h", "people.operators": "1", "shifts": "2 x 8 h",
    "machines.0.kind": "lathe", "machines.0.count": "2", "machines.0.control": "free_outputs",
    "machines.0.door": "powered", "machines.0.clamping": "powered_chuck", "parts.0.shape": "round",
    "parts.0.raw": "70 dia x 35 mm", "parts.0.raw_mass": "1.05 kg", "parts.0.families": "5", "parts.0.lot_size": "250",
    "parts.0.orders_per_y": "130000", "parts.0.operations.0.time": "3 min 40 s",
    "parts.0.operations.0.time_is": "cycle", "today.parts_per_shift": "230", "wishes.unattended": "3 h",
    "wishes.hurdle": "30 months",
}  # fmt: skip
ONE_CELL = {
    "presenter": "trays", "mount": "pedestal", "arm": "fenced_20",
    "gripper": "centric_single", "safeguarding": "fence",
}  # fmt: skip


@pytest.fixture(scope="module")
def study_page(server: Live) -> tuple[str, str]:
    """An inquiry with a finished study: the addresses of both."""
    import httpx2 as httpx

    sent = {"kind": "text", "text": EXAMPLE.read_text(encoding="utf-8")}
    own = httpx.post(f"{server.url}/api/inquiries", json=sent, headers=server.headers, timeout=60).json()["id"]
    return f"/inquiries/{own}", f"/studies/{studied(server.store, own, study_files_once())}/own/answer"


def typed(page: Page, path: str, text: str) -> None:
    """Type into a field, unfolded where it is, and leave it by the keyboard; it says that it was kept, or why not."""
    field = page.locator(f"[id='in-{path}']")
    ready(page, field)
    for fold in field.locator("xpath=ancestor::details[not(@open)]").all():
        fold.locator("> summary").click()
    with page.expect_response(lambda answer: answer.url.endswith("/field")):
        if field.evaluate("each => each.tagName") == "SELECT":
            field.select_option(text)
        else:
            field.fill(text)
            field.press("Tab")


def test_the_whole_job_from_a_blank_sheet_to_the_proposal(browser: Browser, server: Live) -> None:
    """Typed, mended, narrowed to one arm, worked out while the page is loaded anew, read, and taken along as a PDF."""
    context = entered(browser, server)
    page = context.pages[0]
    seen = watched(page)
    page.locator("form", has_text="From a blank sheet").get_by_role("button").click()
    typed(page, "people.wage", "thirty")
    expect(page.locator("[id='said-people.wage']")).to_contain_text("Read thirty; write an amount an hour")
    expect(page.locator("[id='in-people.wage']")).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_role("button", name="Work it out")).to_have_count(0)
    for path, text in CALL.items():
        typed(page, path, text)
    expect(page.locator("#standing")).to_contain_text("It can be worked out")
    page.reload()
    job = page.url
    page.get_by_role("link", name="All facts", exact=True).click()
    page.get_by_role("link", name="Only").click()
    for kind, one in ONE_CELL.items():
        typed(page, f"only.{kind}", one)
    for said in page.locator(".said.wrong").all_inner_texts():
        raise AssertionError(said)
    page.goto(job)
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("#progress")).to_contain_text("Working", timeout=60_000)
    page.reload()
    expect(page.locator("#progress")).to_contain_text("Working", timeout=60_000)
    expect(page.get_by_role("link", name="The whole study")).to_be_visible(timeout=400_000)
    page.get_by_role("link", name="The whole study").click()
    expect(page.get_by_role("heading", name="Recommendation")).to_be_visible()
    page.get_by_role("link", name="Proposal and files").click()
    with page.expect_download() as taken:
        page.get_by_role("link", name="proposal.pdf").click()
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF-")
    assert {each for each in seen.requests if not each.startswith(server.url)} == set()
    assert [each for each in seen.messages if "error" in each] == []
    context.close()


def test_two_windows_at_one_field_lose_nothing(browser: Browser, server: Live, study_page: tuple[str, str]) -> None:
    """The later one sees both, and may take its own."""
    context = entered(browser, server)
    first, second = context.pages[0], context.new_page()
    for page in (first, second):
        page.goto(study_page[0])
    typed(first, "people.wage", "31 USD/h")
    expect(first.locator("#standing")).to_contain_text("Revision 2")
    field = second.locator("[id='in-people.wage']")
    field.fill("33 USD/h")
    field.press("Tab")
    expect(second.get_by_role("heading", name="Somebody else changed the same place")).to_be_visible()
    expect(second.locator(".plus")).to_contain_text("33 USD/h")
    second.get_by_role("button", name="Take mine").click()
    second.goto(study_page[0])
    expect(second.locator("[id='in-people.wage']")).to_have_value("33 USD/h")
    context.close()


def test_after_a_field_was_kept_an_item_is_added_without_a_conflict(browser: Browser, server: Live) -> None:
    """Also while the field is still being kept, and after two fields at once; nobody else was there."""
    context = entered(browser, server)
    page = context.pages[0]
    page.locator("form", has_text="From a blank sheet").get_by_role("button").click()
    page.wait_for_url("**/inquiries/*")
    page.goto(page.url + "/form?of=machines")
    typed(page, "machines.0.count", "2")
    add = page.locator("form.more").last
    for number, called in enumerate(("saw", "press"), 1):
        page.locator("[id='in-machines.0.count']").fill(str(number + 2))
        page.locator("[id='in-machines.0.name']").fill(f"mill_{number}")
        add.get_by_role("textbox").fill(called)
        with page.expect_navigation():
            add.get_by_role("button", name="Add").click()
        expect(page.locator("[id='part-machines." + str(number) + "']")).to_contain_text(called)
        expect(page.locator("[id='in-machines.0.count']")).to_have_value(str(number + 2))
    context.close()


def test_who_comes_second_sees_what_came_between(browser: Browser, server: Live, study_page: tuple[str, str]) -> None:
    """Kept at another place, the page is loaded anew: no field of it is older than its revision."""
    context = entered(browser, server)
    first, second = context.pages[0], context.new_page()
    for page in (first, second):
        page.goto(study_page[0])
    typed(first, "people.wage", "35 USD/h")
    with second.expect_navigation():
        typed(second, "wishes.hurdle", "31 months")
    expect(second.locator("[id='in-people.wage']")).to_have_value("35 USD/h")
    expect(second.locator("[id='in-wishes.hurdle']")).to_have_value("31 months")
    context.close()


def test_what_is_half_typed_outlasts_what_others_change(
    browser: Browser, server: Live, study_page: tuple[str, str]
) -> None:
    """The page says that somebody came between, and is loaded anew once the other field is kept too."""
    context = entered(browser, server)
    first, second = context.pages[0], context.new_page()
    for page in (first, second):
        page.goto(study_page[0])
    typed(first, "people.wage", "36 USD/h")
    half = second.locator("[id='in-parts.0.lot_size']")
    half.focus()
    second.keyboard.press("Control+a")
    second.keyboard.type("21")
    second.locator("[id='in-wishes.hurdle']").evaluate(
        "each => { each.value = '30 months'; each.dispatchEvent(new Event('change', {bubbles: true})) }"
    )
    expect(second.locator("#between")).to_be_visible()
    expect(half).to_have_value("21")
    second.keyboard.type("0")
    with second.expect_navigation():
        second.keyboard.press("Tab")
    expect(half).to_have_value("210")
    expect(second.locator("[id='in-people.wage']")).to_have_value("36 USD/h")
    context.close()


def test_a_server_that_is_gone_is_told_and_what_was_typed_stays(
    browser: Browser, server: Live, study_page: tuple[str, str]
) -> None:
    """The words say what to do; the field still holds the text."""
    context = entered(browser, server)
    page = context.pages[0]
    page.goto(study_page[0])
    page.route("**/field", lambda route: route.abort())
    page.locator("[id='in-people.wage']").fill("34 USD/h")
    page.locator("[id='in-people.wage']").press("Tab")
    expect(page.locator("#standing")).to_contain_text("The server does not answer")
    expect(page.locator("[id='in-people.wage']")).to_have_value("34 USD/h")
    context.close()


def test_the_keyboard_alone_is_enough(browser: Browser, server: Live) -> None:
    """From the desk into a new inquiry, into a field, a value kept, and the study asked for: Tab, Enter and letters."""
    context = entered(browser, server)
    page = context.pages[0]
    reach(page, "#example:focus", "")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/inquiries/*")
    reach(page, "input[name=text]:focus", "")
    page.keyboard.press("Control+a")
    page.keyboard.type("27 USD/h")
    with page.expect_response(lambda answer: answer.url.endswith("/field")):
        page.keyboard.press("Tab")
    expect(page.locator("#standing")).to_contain_text("Revision 2")
    reach(page, "button:focus", "Work it out")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline != "none"
    context.close()


def reach(page: Page, selector: str, words: str, most: int = 400) -> None:
    """Press Tab until what holds these words has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        found = page.locator(selector)
        if found.count() and words in (found.inner_text() or ""):
            return
    raise AssertionError(f"{words} is not reached by the keyboard")


def pages_of(page: Page, study_page: tuple[str, str]) -> list[str]:
    """Every page that a person may come to, one of each kind."""
    inquiry, study = study_page
    paths = ["/", inquiry, *(f"{inquiry}/{end}" for end in ("questions", "files", "text", "history"))]
    page.goto(f"{inquiry}/form?of=machines")
    forms = sorted({each for each in links(page.content()) if "/form?of=" in each and "#" not in each})
    paths += [each for each in forms if each.endswith(("=", "people", "machines", "today", "part_list"))]
    page.goto(study)
    paths += sorted({each for each in links(page.content()) if "/own/" in each and "#" not in each})
    return [*paths, study.replace("/own/", "/customer/"), study.replace("answer", "facts-3"), "/no/such/page"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_page_is_for_everybody(browser: Browser, server: Live, study_page: tuple[str, str], scheme: str) -> None:
    """No violation of the rules that a program can check, in both themes; the pictures are kept to be looked at."""
    context = entered(browser, server, scheme=scheme)
    page = context.pages[0]
    SCREENS.mkdir(parents=True, exist_ok=True)
    found = {}
    for path in pages_of(page, study_page):
        page.goto(path)
        result = Axe().run(page, options=RULES)
        broken = [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in result.response["violations"]]
        if broken:
            found[path] = broken
        page.screenshot(path=SCREENS / f"{named(path)}_{scheme}.png", full_page=True)
    assert found == {}
    context.close()


def named(path: str) -> str:
    """A page's name for its picture."""
    parts = [each for each in path.replace("?of=", "/").split("/") if each and len(each) != 12]
    return "_".join(parts) or "desk"


def test_no_page_is_wider_than_a_phone(browser: Browser, server: Live, study_page: tuple[str, str]) -> None:
    """360 dots wide: nothing runs out to the side, and no page shows a mistake of its script."""
    context = entered(browser, server, width=360)
    page = context.pages[0]
    seen = watched(page)
    wide = {}
    for path in pages_of(page, study_page):
        page.goto(path)
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > 360:
            wide[path] = width
    assert wide == {}
    assert [each for each in seen.messages if "error" in each and "404" not in each] == []
    context.close()


def test_a_large_screen_and_paper_hold_the_same_sheet(
    browser: Browser, server: Live, study_page: tuple[str, str]
) -> None:
    """2560 dots wide: lines stay as long as one reads; printed from a dark screen: white, no button, nothing beside."""
    context = entered(browser, server, width=2560, scheme="dark")
    page = context.pages[0]
    for path, kept in ((study_page[0], "#in-name"), (study_page[1], "main h2")):
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= 2560
        assert page.locator("main").evaluate("each => each.getBoundingClientRect().width") < 1500
        page.emulate_media(media="print")
        expect(page.locator(kept).first).to_be_visible()
        assert [each for each in page.locator("button, .top, .tabs").all() if each.is_visible()] == []
        paper = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
        assert paper in ("rgb(255, 255, 255)", "rgba(0, 0, 0, 0)")
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
        page.emulate_media(media="screen")
    context.close()


def test_without_scripts_a_form_still_keeps_what_is_typed(browser: Browser, server: Live) -> None:
    """Each field has its own button then."""
    context = browser.new_context(base_url=server.url, java_script_enabled=False)
    page = context.new_page()
    page.goto(f"/enter?key={server.app.state.gate.key}")
    page.get_by_role("button", name="Open the desk").click()
    page.locator("form", has_text="From a blank sheet").get_by_role("button").click()
    field = page.locator("[id='field-people.wage']")
    field.locator("[name=text]").fill("26 USD/h")
    field.get_by_role("button", name="Keep").click()
    expect(page.locator("[id='in-people.wage']")).to_have_value("26 USD/h")
    expect(page.locator("#standing")).to_contain_text("Revision 2")
    context.close()


def test_charts_of_a_study_are_read_by_keyboard(browser: Browser, server: Live, study_page: tuple[str, str]) -> None:
    """By the script of the report, as a file of its own under the desk's policy."""
    context = entered(browser, server)
    page = context.new_page()
    seen = watched(page)
    page.goto(study_page[1].replace("/answer", "/ways"))
    figure = page.locator("#comparison figure").first
    mark = figure.locator(".wide [tabindex='0']")
    mark.focus()

    assert figure.locator(".readout").inner_text() == mark.get_attribute("data-say") != ""
    assert seen.messages == []
    context.close()

"""Proposals and part lists in the real browser: chosen, looked at, taken along, issued; for everyone, any width."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from millhand.run import packed
from millhand.web.kept_record import RECORD
from tests.browser.chromium import watched
from tests.browser.desk import RULES, SCREENS, entered
from tests.intake.test_company import png
from tests.report.fixture_internal import internal_study
from tests.web.live import Live
from tests.web.serving import studied
from tests.web.test_papers import FILES

TINY = Path("examples/4_tiny_lots")


@pytest.fixture(scope="module")
def job(browser: Browser, server: Live) -> tuple[str, str]:
    """An inquiry with a part list and a finished study: the addresses of both; with a company and its logo."""
    context = entered(browser, server)
    page = context.pages[0]
    page.locator("#files").set_input_files([TINY / "inquiry.yaml", TINY / "parts.csv"])
    page.get_by_role("button", name="Take in").click()
    page.wait_for_url("**/inquiries/*")
    inquiry = page.url.removeprefix(server.url)
    page.goto("/company")
    page.get_by_label("Name of the company").fill("Example Cells")
    page.get_by_label("Numbers of proposals begin with").fill("EC-")
    page.locator("#co-logo").set_input_files({"name": "logo.png", "mimeType": "image/png", "buffer": png(120, 40)})
    page.get_by_role("button", name="Keep").click()
    expect(page.locator(".standing")).to_contain_text("Kept")
    expect(page.get_by_alt_text("The logo as it goes onto the paper")).to_be_visible()
    context.close()
    own = {**FILES["own"], RECORD: packed(internal_study())}
    return inquiry, f"/studies/{studied(server.store, inquiry.rpartition('/')[2], {**FILES, 'own': own})}"


def test_a_proposal_is_chosen_looked_at_taken_along_and_issued(
    browser: Browser, server: Live, job: tuple[str, str]
) -> None:
    """Each choice shows its pages and stands in the address; what is issued opens as it went out."""
    context = entered(browser, server)
    page = context.pages[0]
    seen = watched(page)
    page.goto(f"{job[1]}/own/proposal")
    expect(page.locator(".sheets img")).to_have_count(2, timeout=30_000)
    page.get_by_label("language").select_option("de")
    page.wait_for_url("**language=de**")
    expect(page.locator(".sheets img[src*='language=de']")).to_have_count(2, timeout=30_000)
    page.get_by_label("with cost and margin").check()
    expect(page.locator(".inside-house")).to_be_visible()
    page.go_back()
    expect(page.locator(".inside-house")).to_have_count(0)
    loaded = page.locator(".sheets img").first.evaluate("each => each.decode().then(() => each.naturalWidth)")
    assert loaded > 800
    with page.expect_download() as taken:
        page.get_by_role("link", name="proposal.pdf").click()
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF-")
    page.get_by_role("button", name="Issue EC-0001, revision 1").click()
    expect(page.get_by_role("heading", name="EC-0001, revision 1")).to_be_visible(timeout=30_000)
    expect(page.locator(".sheets img")).to_have_count(2)
    assert [each for each in seen.messages if "error" in each] == []
    assert {each for each in seen.requests if not each.startswith((server.url, "data:"))} == set()
    context.close()


def test_columns_are_matched_with_what_is_read_at_once(browser: Browser, server: Live, job: tuple[str, str]) -> None:
    """A choice moves the rows that are read; a tick is kept with its number."""
    context = entered(browser, server)
    page = context.pages[0]
    page.goto(f"{job[0]}/list")
    expect(page.locator("#understood")).to_contain_text("56 parts are read so")
    page.get_by_label("mass needed").select_option("part no.")
    expect(page.locator("#understood")).to_contain_text("read “PL-1000”; write a mass")
    page.get_by_label("mass needed").select_option("")
    expect(page.locator("#understood")).to_contain_text("56 parts are read so")
    page.get_by_label("leave out these 4 rows").check()
    page.get_by_role("button", name="Keep it so").click()
    expect(page.locator("#understood")).to_contain_text("with your consent")
    expect(page.get_by_label("leave out these 4 rows")).to_be_checked()
    context.close()


def pages_of(page: Page, job: tuple[str, str]) -> dict[str, str]:
    """Every page of this file by a name for its picture."""
    page.goto("/issued")
    if not page.locator("th a").count():
        page.goto(f"{job[1]}/own/proposal")
        page.get_by_role("button", name="Issue EC-0001").click()
        page.wait_for_url("**/issued/*", timeout=60_000)
        page.goto("/issued")
    issued = page.locator("th a").first.get_attribute("href") or ""
    return {
        "proposal": f"{job[1]}/own/proposal", "proposal_house": f"{job[1]}/own/proposal?inside=yes",
        "proposal_customer": f"{job[1]}/customer/proposal", "issued": issued, "issued_list": "/issued",
        "proposals": f"{job[0]}/proposals", "company": "/company", "list": f"{job[0]}/list",
        "list_wrong": f"{job[0]}/list?c_mass=part+no.", "questions": f"{job[0]}/questions",
    }  # fmt: skip


@pytest.mark.parametrize(("scheme", "width"), [("light", 1280), ("dark", 1280), ("light", 360)])
def test_the_pages_of_papers_are_for_everybody(
    browser: Browser, server: Live, job: tuple[str, str], scheme: str, width: int
) -> None:
    """No violation of the rules that a program can check, nothing out to the side of a phone; pictures to look at."""
    context = entered(browser, server, scheme=scheme, width=width)
    page = context.pages[0]
    SCREENS.mkdir(parents=True, exist_ok=True)
    found = {}
    for name, path in pages_of(page, job).items():
        page.goto(path)
        if "proposal_" in name or name == "proposal":
            expect(page.locator(".sheets img").first).to_be_visible(timeout=30_000)
        if width == 1280:
            result = Axe().run(page, options=RULES)
            broken = [f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in result.response["violations"]]
        else:
            wide = page.evaluate("document.documentElement.scrollWidth")
            broken = [f"{wide} wide"] if wide > width else []
        if broken:
            found[name] = broken
        page.screenshot(path=SCREENS / f"papers_{name}_{scheme}_{width}.png", full_page=True)
    assert found == {}
    context.close()

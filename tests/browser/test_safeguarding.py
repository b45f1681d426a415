"""The section on safeguarding in the real browser: reached from the head, whole at every width, every digit marked."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from millhand.report.writing import write_study
from tests.browser.test_report import BARE_DIGITS, WIDER_THAN_THE_PAGE, opened
from tests.test_safeguarding import page, two_vises


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A study with its cells guarded, written."""
    target = tmp_path_factory.mktemp("guarded") / "out"
    write_study(two_vises(), target)
    return target


def test_the_head_leads_to_the_section_and_each_way_has_a_row(browser: Browser, folder: Path) -> None:
    """A click on its name shows the heading; a table for each cell, a row for each way, the caution above them."""
    live, _ = opened(browser, folder)
    live.get_by_role("link", name="Safeguarding").click()
    section = live.locator("#safeguarding")

    assert section.get_by_role("heading", name="Safeguarding compared").is_visible()
    assert "competent persons" in section.locator(".caution").first.inner_text()
    tables = section.locator("table.guards:not(.distances)")
    for number, cell in enumerate(page(two_vises()).cells):
        assert tables.nth(number).locator("tbody tr").count() == len(cell.rows)
    live.context.close()


@pytest.mark.parametrize("width", [1280, 390, 320])
def test_it_fits_the_window_with_all_its_chapters_open(browser: Browser, folder: Path, width: int) -> None:
    """Tables scroll inside themselves, nothing else is wider than the page, and no digit stands unmarked."""
    live, seen = opened(browser, folder, width=width)
    live.evaluate("document.querySelectorAll('#safeguarding details').forEach((each) => { each.open = true })")

    assert live.evaluate("document.documentElement.scrollWidth") <= width
    assert live.evaluate(WIDER_THAN_THE_PAGE) == []
    assert live.evaluate(BARE_DIGITS) == []
    assert seen.messages == []
    live.context.close()


def test_the_cells_of_the_rows_lie_beside_the_study(folder: Path) -> None:
    """Each row that was simulated has its cell as a file."""
    for each in page(two_vises()).simulated:
        assert (folder / "cells" / f"{each.name}.json").is_file()

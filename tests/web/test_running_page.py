"""The page of a running cell: there in both copies, with its record, and within what pages may do."""

import json
from pathlib import Path

import pytest

from tests.web.serving import Served, links, running_files, served, studied

pytestmark = pytest.mark.xdist_group("maps")  # the study is worked out once a process
STATIC = Path("src/millhand/web/static")


def test_the_page_and_its_record_are_there_in_both_copies(tmp_path: Path) -> None:
    """The tab leads to it, the page to its script and its lists, the script to the record."""
    with served(tmp_path) as desk:
        piece = studied(desk.store, desk.begin(), running_files())
        for at in (f"/studies/{piece}/own", f"/studies/{piece}/customer"):
            page = got(desk, f"{at}/running")

            assert f"{at}/running" in links(got(desk, f"{at}/answer"))
            assert {"/static/running.js", "/static/running.css", "running-1"} <= set(links(page))
            assert 'data-record="files/shift.json"' in page
            assert json.loads(got(desk, f"{at}/files/shift.json"))["format"] == "millhand-shift/1"
            assert "What happened, list 1 of" in got(desk, f"{at}/running-1")
            assert "<script>" not in page
            assert "shift.json" in got(desk, f"{at}/files")


def test_the_script_needs_nothing_that_the_policy_refuses() -> None:
    """No text that becomes code or markup, no address but that of the record."""
    script = (STATIC / "running.js").read_text(encoding="utf-8")

    assert not [word for word in ("eval", "Function(", "innerHTML", "insertAdjacentHTML", "http:", "https:")
                if word in script.replace("http://www.w3.org/2000/svg", "")]  # fmt: skip
    assert script.count("fetch(") == 1


def got(desk: Served, where: str) -> str:
    """What is answered."""
    answer = desk.browser.get(where)
    assert answer.status_code == 200, where
    return answer.text

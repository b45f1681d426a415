"""The page of what holds the desk to its word: each promise has a test that is there, and no test file is forgotten."""

import re
from pathlib import Path

import pytest

PAGE = Path("docs/desk_tests.md")
FOLDERS = ("tests/web", "tests/store")
ROWS = [each for each in PAGE.read_text(encoding="utf-8").splitlines() if each.startswith("| ")]
PROMISES = [each for each in ROWS if not each.startswith(("| ---", "| promise"))]
NAMED = re.compile(r"`([\w/]+\.py)::(\w+)`")


def place(name: str) -> Path:
    """The file of a test as the page names it."""
    return Path(name) if name.startswith("benchmarks/") else Path("tests") / name


@pytest.mark.parametrize("row", PROMISES, ids=lambda row: row[2:40])
def test_each_promise_has_tests_that_are_there(row: str) -> None:
    """One at least; each is a function of the file that is named."""
    found = NAMED.findall(row)
    assert found
    for file, name in found:
        text = place(file).read_text(encoding="utf-8")
        assert re.search(rf"^def {name}\(", text, re.MULTILINE), f"{file} has no {name}"


def test_no_test_file_of_the_desk_is_forgotten() -> None:
    """A file that no promise names is either a promise that the page lacks or is no test of the desk."""
    named = {place(file) for row in PROMISES for file, _ in NAMED.findall(row)}
    there = {path for folder in FOLDERS for path in Path(folder).glob("test_*.py")}
    assert there - named == set()


def test_what_was_measured_is_kept() -> None:
    """Each figure of the desk has a line among the results."""
    text = Path("benchmarks/results.jsonl").read_text(encoding="utf-8")
    for figure in ("page", "chart_page", "first_paint", "slider", "slider_simulated"):
        assert f'"figure": "desk_{figure}"' in text

"""Inquiries that once broke a study; each file's first line says how."""

from pathlib import Path

import pytest

from tests.study_checks import studied, wrong_faces, wrongs

FOUND = sorted(Path(__file__).parent.glob("*.yaml"))


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_what_broke_once_is_answered(path: Path) -> None:
    """An answer whose figures can be, on every face; simulated and drawn where that broke."""
    text = path.read_text("utf-8")
    found = studied(text, simulated=text.startswith("# In full: "))

    assert wrongs(found) == []
    assert wrong_faces(found) == []


def test_each_file_says_what_it_broke() -> None:
    """A comment in front, and at least one file."""
    assert FOUND
    assert all(path.read_text("utf-8").startswith("# ") for path in FOUND)

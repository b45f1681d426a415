"""Cells of a filled sheet come as somebody would have typed them."""

import datetime
from typing import Any

import pytest

from millhand.intake.question_sheet import LONGEST, text_of


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("  45\u202fs ", "45 s"),
        ("two\nlines", "two lines"),
        ("a\u200bb\x07", "ab"),
        ("x" * 500, "x" * LONGEST),
        (119.0, "119"),
        (0.1 + 0.2, "0.3"),
        (True, "yes"),
        (datetime.date(2026, 11, 20), "2026-11-20"),
        (datetime.datetime(2026, 11, 20, 7, 30), "2026-11-20"),
        (datetime.time(5, 30), "05:30"),
    ],
)
def test_a_cell_is_read_as_it_would_be_typed(value: Any, text: str) -> None:
    """On one line, without what cannot be seen; numbers in short, dates and times of day as people write them."""
    assert text_of(value) == text

"""A company's own past jobs: read with the place of each error, and held against the estimate."""

from pathlib import Path

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.errors import InputErrors
from millhand.report.view import sentence
from tests.stages.money_shop import made

JOBS = "job,quoted,paid\ntwo lathes,100000,110000\npress line,200000,242000\nbench,50000,49500\n"


def test_past_jobs_say_where_one_more_ends(tmp_path: Path) -> None:
    """Three jobs at 1.10, 1.21 and 0.99 of their quotes: 1.096 in the middle."""
    file = tmp_path / "past.csv"
    file.write_text(JOBS, encoding="utf-8")
    priced = made(catalogue=read_catalogue(past=file))
    middle = priced.value(f"concepts.{priced.concept.id}.estimate.past_middle")
    words = sentence(priced.estimate.past, priced.sheet.facts, currency="USD").replace("\u202f", " ")

    assert middle == pytest.approx(priced.value(priced.estimate.installed) * (1.1 * 1.21 * 0.99) ** (1.0 / 3.0))
    assert "In 3 past jobs what was paid came to 110 % of the quote in the middle, scattering by 10 %" in words
    assert made().estimate.past == ""


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("job,quoted,paid\na,1,2\n", "3 jobs and more"),
        (JOBS.replace("242000", "lots"), "past.csv:3:19: read 'lots'; write an amount above nothing, such as 184000"),
        (JOBS.replace("quoted", "offer"), "the heading job,quoted,paid"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_with_a_cure(tmp_path: Path, text: str, words: str) -> None:
    """Too few, no amount, another heading."""
    file = tmp_path / "past.csv"
    file.write_text(text, encoding="utf-8")

    with pytest.raises(InputErrors) as caught:
        read_catalogue(past=file)

    assert words in str(caught.value)

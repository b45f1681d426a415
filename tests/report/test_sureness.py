"""The page says how sure the choice is: concepts in the draws, and what it is worth to know more."""

import re
from dataclasses import replace

from millhand.report.html import report_html
from millhand.report.sureness import MOST, outlook_rows
from tests.report.fixture_study import ARM, VISE, study


def section(page: str) -> str:
    """The section as plain words."""
    found = re.search(r'<section id="sureness">.*?</section>', page, flags=re.DOTALL)
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", found[0])) if found else ""


def test_the_likeliest_best_stands_first_and_today_last() -> None:
    """With its chance, its paybacks (never where one draw in ten does not come back), its worth and its regret."""
    words = section(report_html(study()))

    assert [row.outlook.concept for row in outlook_rows(study())] == [ARM, VISE, "today"]
    for part in (
        "14 20 never",
        "70 %",
        "would bring 4 100 USD more",
        "Known before choosing",
        "People: share usable 50 % 50 % 50 % 50 % 50 %",
    ):
        assert part in words.replace("\u202f", " ").replace("\u00a0", " "), words


def test_a_study_that_drew_nothing_has_no_such_section() -> None:
    """Studies of earlier versions too."""
    done = study()
    plain = replace(done, decision=replace(done.decision, sureness=None))

    assert section(report_html(plain)) == ""
    assert outlook_rows(plain) == ()


def test_many_concepts_are_cut_to_those_that_may_be_the_best() -> None:
    """The advised one and today stay whatever their chance."""
    done = study()
    sure = done.decision.sureness
    assert sure is not None
    today, second, first = sure.outlooks
    many = replace(sure, outlooks=(today, *[first] * (MOST + 3), second))
    rows = outlook_rows(replace(done, decision=replace(done.decision, sureness=many, winner=VISE, second=None)))

    assert len(rows) == MOST + 2
    assert [row.outlook.concept for row in rows[-2:]] == [VISE, "today"]

"""The proposals of each example: all that the long one names, the study holds; the short one has two pages."""

import json
from datetime import date
from importlib.resources import as_file, files
from pathlib import Path

import pytest

from millhand.intake.company import read_company
from millhand.model.company import Company
from millhand.report.proposal.build import told
from millhand.report.proposal.letter import Letter
from millhand.report.proposal.pdf import SHORT_PAGES, TEMPLATE, TIGHTEST, pages_of, settings
from tests.examples.test_examples import NAMES, done


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_the_long_proposal_names_nothing_that_the_study_does_not_hold(name: str) -> None:
    """As from a real study, whose facts are only those that something rests on or names."""
    letter = Letter(on=date(2026, 11, 2), form="long", company=Company())
    assert len(told(done(name), letter)["sections"]) > 10


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_the_short_proposal_has_two_pages_in_the_longer_language(name: str) -> None:
    """On the company's paper, in German, and in letters that are not the smallest."""
    company = read_company(Path("examples/company.yaml"))
    made = told(done(name), Letter(on=date(2027, 1, 31), language="de", company=company), text="{}")
    given = settings(json.dumps({**made, "on": [2027, 1, 31]}), TIGHTEST - 1)

    with as_file(files("millhand.report.proposal") / TEMPLATE) as template:
        assert pages_of(template, given) == SHORT_PAGES

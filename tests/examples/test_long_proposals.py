"""The whole proposal of each example can be told: all that it names, the study holds."""

from datetime import date

import pytest

from millhand.model.company import Company
from millhand.report.proposal.build import told
from millhand.report.proposal.letter import Letter
from tests.examples.test_examples import NAMES, done


@pytest.mark.xdist_group("examples")
@pytest.mark.parametrize("name", NAMES)
def test_the_long_proposal_names_nothing_that_the_study_does_not_hold(name: str) -> None:
    """As from a real study, whose facts are only those that something rests on or names."""
    letter = Letter(on=date(2026, 11, 2), form="long", company=Company())
    assert len(told(done(name), letter)["sections"]) > 10

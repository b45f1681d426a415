"""Who sets the pace is called as people call him, not by the id of the cell file."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.report.told_in import told_in
from millhand.stages.performance.shared import called
from tests.report.fixture_study import study

MILLS = read_cell(Path("examples/cells/one_operator_two_mills.json"))


@pytest.mark.parametrize(
    ("resource", "said"),
    [("operator1", "operator"), ("mill1 and mill2", "mill1 and mill2"), ("mill1 and operator1", "mill1 and operator")],
)
def test_the_only_operator_needs_no_number(resource: str, said: str) -> None:
    """Alone, or within the name of several resources that are loaded alike."""
    assert called(MILLS, resource) == said


def test_one_of_two_operators_keeps_it() -> None:
    """Otherwise nobody could tell them apart; the page writes operator 1 and operator 2."""
    one = MILLS.attendants["operator1"]
    two = replace(MILLS, attendants={"operator1": one, "operator2": one})

    assert called(two, "operator2") == "operator2"


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("operator", "Bediener"),
        ("machine_1 and, close behind, operator", "Maschine 1 und, dicht dahinter, Bediener"),
        ("arm and, close behind, machine_1 and machine_2", "Arm und, dicht dahinter, Maschine 1 und Maschine 2"),
    ],
)
def test_it_is_said_in_german_too(english: str, german: str) -> None:
    """In the sentences in which the pace is told."""
    assert told_in(study(), "de").told(english) == german

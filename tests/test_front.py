"""The public Python interface: load, study, rows, frame."""

import pytest

import millhand
from millhand.errors import ToolError
from tests.examples.test_examples import done, study

pytestmark = pytest.mark.xdist_group("examples")  # their studies are worked out once a process

NAME = "1_two_mills"


def test_the_package_offers_its_calls_and_no_others() -> None:
    """What is offered can be got; what is not says what there is."""
    assert millhand.study is study
    assert {"load", "study", "rows", "frame", "read_cell", "schedule", "simulate"} <= set(millhand.__all__)
    with pytest.raises(AttributeError, match="it has REGISTER, frame, load"):
        _ = millhand.nothing_like_it


@pytest.mark.parametrize("table", ["facts", "results", "ranking", "cash"])
def test_every_table_becomes_a_frame(table: str) -> None:
    """As many rows as the list has, and the columns of its first row."""
    rows = millhand.rows(done(NAME), table)
    frame = millhand.frame(done(NAME), table)

    assert len(frame) == len(rows) > 0
    assert set(rows[0]) <= set(frame.columns)


def test_results_hold_the_figures_of_the_records() -> None:
    """Today ships what the inquiry says, and a figure that does not exist is None."""
    today = millhand.rows(done(NAME), "results")[0]

    assert today["concept"] == "today"
    assert done(NAME).servicing is not None
    assert done(NAME).tending is not None
    assert today["parts_per_shift"] == pytest.approx(105.0)
    assert today["payback_months"] is None


def test_a_table_that_is_not_there_is_named() -> None:
    """With the ones that are."""
    with pytest.raises(ToolError, match="it has facts, results, ranking, cash"):
        millhand.rows(done(NAME), "prices")

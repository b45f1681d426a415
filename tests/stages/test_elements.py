"""The element table of an arm: its pieces add up to the gap, the cycle and the arm's work, in every kind of cell."""

import math

import pytest

from tests.stages.jobs import Planned, job, plan_of

SINGLE = "trays-movable_stand-force_limited_12-parallel_single-scanner"
CELLS = [
    ("one_mill", SINGLE),
    ("one_mill", SINGLE.replace("single", "double")),
    ("line", "trays-floor_track-fenced_20-parallel_single-fence"),
    ("line", "trays-floor_track-fenced_20-parallel_double-fence"),
]


def summed(made: Planned, index: int, side: str) -> float:
    """What the elements of one side come to."""
    elements = made.plan.timing.operations[index].elements
    return math.fsum(made.value(each.time) for each in elements if each.side == side)


@pytest.mark.parametrize(("name", "concept"), CELLS, ids=str)
def test_the_elements_add_up(name: str, concept: str) -> None:
    """Those in which the machine stands to the gap, the arm's own to its other work and ways; with one hand it has none
    of its own, since all of it happens while the machine stands."""
    made = plan_of(job(name), concept)

    for index, row in enumerate(made.plan.timing.operations):
        assert summed(made, index, "machine stands") == pytest.approx(made.value(row.gap), abs=1e-9)
        alone = made.value(row.other) + made.value(row.travel)
        if "single" in concept:
            assert summed(made, index, "arm alone") == 0.0
            assert alone > 0.0
        else:
            assert summed(made, index, "arm alone") == pytest.approx(alone, abs=1e-9)


@pytest.mark.parametrize(("name", "concept"), CELLS, ids=str)
def test_gap_and_run_make_the_machine_bound_cycle(name: str, concept: str) -> None:
    """What the machine stands for and what it runs for, nothing else."""
    made = plan_of(job(name), concept)

    for row in made.plan.timing.operations:
        assert made.value(row.cycle) == pytest.approx(made.value(row.gap) + made.value(row.process), abs=1e-9)


def test_people_have_no_elements_of_an_arm() -> None:
    """By hand the elements are those of the inquiry, and no cycle of an arm is told."""
    row = plan_of(job("one_mill"), "today").plan.timing.operations[0]

    assert row.elements == ()
    assert row.cycle == ""

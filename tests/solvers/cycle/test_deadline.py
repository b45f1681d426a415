"""A search is over when its time is, also while it builds models: with a clock that moves on each time it is asked."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from millhand.errors import NoneInTime, ToolError
from millhand.intake.cell import cell_from, read_cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.deadline import Deadline, TimeUp, within
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import lots_of
from millhand.solvers.cycle.lots.makespan_scale import coarse
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.simple import simple
from tests.solvers.cycle.rows import Row, row_cell
from tests.solvers.cycle.test_makespan import lot_cell

CELLS = Path(__file__).parents[3] / "examples" / "cells"
LONG = 1e9


@dataclass(slots=True)
class Asked:
    """A clock that stands still for so many questions and is far ahead afterwards."""

    patience: int
    times: int = 0

    def __call__(self) -> float:
        """The time."""
        self.times += 1
        return 0.0 if self.times <= self.patience else LONG


def until(clock: Asked) -> Deadline:
    """A deadline that such a clock passes."""
    return Deadline(clock=clock, at_s=1.0)


def hurried(clock: Asked) -> Effort:
    """An effort that is cut off by that clock."""
    return Effort(deterministic=None, seconds=LONG, deadline=until(clock))


def test_a_deadline_is_passed_by_its_clock_alone() -> None:
    """Half of what is left is half of it; no more seconds than are left; nothing goes on when it has passed."""
    clock = Asked(patience=3)
    deadline = until(clock)

    assert deadline.part(0.5).at_s == 0.5
    assert (within(None, deadline), within(0.25, deadline)) == (1.0, 0.25)
    assert within(7.0, deadline) == 0.0
    with pytest.raises(TimeUp):
        deadline.ask()
    assert within(7.0, None) == 7.0


@pytest.mark.parametrize("patience", [60, 300, 700])
def test_a_model_half_built_is_left_and_the_simple_cycle_counts(patience: int) -> None:
    """Wherever in the model the time is over: the cycle known before, not proven, and the search said to be cut off."""
    cell = row_cell(Row(times_s=(20, 35, 10, 50, 5), hold_s=3))
    clock = Asked(patience=patience)
    found, known = best_cycle(cell, effort=hurried(clock)), simple(cell)

    assert known is not None
    assert found.period_steps == known.period_steps
    assert patience < clock.times < patience + 100
    assert "cut off" in found.how
    assert violations(cell, found) == []


def test_loads_have_a_cycle_before_the_time_begins() -> None:
    """A cell that no simple cycle serves, and no time at all: one load after the other, and the search cut off."""
    cell = read_cell(CELLS / "two_vises_behind_one_door.json")
    found = best_cycle(cell, effort=hurried(Asked(patience=0)))

    assert found.how.startswith("one load after the other")
    assert "cut off" in found.how
    assert violations(cell, found) == []


@pytest.mark.parametrize("patience", [0, 50])
def test_arms_on_a_track_keep_the_time_too(patience: int) -> None:
    """Visits and orders of visits are left half built: soon after the time is over the search is, too."""
    cell = read_cell(CELLS / "two_hoists_by_order_of_places.json")
    clock = Asked(patience=patience)

    with pytest.raises(NoneInTime, match=r"^No cycle was found in the time given; give more\.$"):
        best_cycle(cell, effort=hurried(clock))
    assert clock.times < patience + 200


def test_what_was_found_on_a_track_counts_when_the_time_is_over() -> None:
    """Time for some ways of sharing the work, not for all: the best cycle so far, without a proof."""
    cell = read_cell(CELLS / "two_hoists_by_order_of_places.json")
    clock = Asked(patience=2000)
    found = best_cycle(cell, effort=hurried(clock))

    assert not found.proven
    assert "cut off" in found.how
    assert clock.times < 2200


@pytest.mark.parametrize("patience", [400, 2000, 4000])
def test_a_model_of_lots_half_built_is_left_and_the_first_plan_counts(patience: int) -> None:
    """Ten parts: wherever in the model the time is over, the plan made by simple rules is the answer."""
    cell = cell_from(lot_cell(10, machines=2, hands=2))
    clock = Asked(patience=patience)
    found = shortest_makespan(cell, deadline=until(clock), deterministic=None, workers=1, seed=1)
    first = first_plan(coarse(lots_of(cell))[0])

    assert first is not None
    assert (found.period_steps, found.proven) == (first.end, False)
    assert patience < clock.times < patience + 20


def test_no_plan_before_the_time_is_over_is_said() -> None:
    """Not even the first plan of simple rules: more time is what would help."""
    cell = cell_from(lot_cell(10, machines=2, hands=2))

    with pytest.raises(ToolError, match="no plan for the lots was found in the time given; give more"):
        shortest_makespan(cell, deadline=until(Asked(patience=0)), deterministic=None, workers=1, seed=1)

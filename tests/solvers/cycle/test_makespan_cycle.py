"""A plan for a large lot from the best cycle, and the least time of an attendant with several hands, by hand.

Two grippers, exchanges of 10 s, picks and set-downs of 5 s at the ends, 4 s between any two places, and machines that
work for so short a time that the arm sets the pace.
"""

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.lots.makespan_cycle import MANY, cycle_plan
from millhand.solvers.cycle.lots.makespan_graph import timed
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_handfuls import handful_bounds
from millhand.solvers.cycle.lots.makespan_lots import Lots, lots_of
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.small_lots import small_lots
from tests.solvers.cycle.test_makespan import lot_cell
from tests.solvers.kernel.shop import Form


def quick_lots(count: int, *, machines: int = 3, hands: int = 2) -> Form:
    """A lot in a cell whose arm sets the pace."""
    return lot_cell(count, machines=machines, hands=hands, time_s=20.0)


def lots(form: Form) -> Lots:
    """The lots of a cell in its file form."""
    return lots_of(cell_from(form))


def walk_steps(form: Form) -> float:
    """The bound of the arm."""
    (bound,) = handful_bounds(lots(form))
    return bound.steps


@pytest.mark.parametrize("count", [MANY, 25, 40])
def test_a_large_lot_goes_round_the_best_cycle(count: int) -> None:
    """The plan from the cycle keeps all rules and is shorter than those of the simple rules."""
    made, first = cycle_plan(lots(quick_lots(count))), first_plan(lots(quick_lots(count)))

    assert made is not None
    assert first is not None
    assert timed(lots(quick_lots(count)), made).makespan_steps == made.end < first.end


def test_few_parts_are_left_to_the_search() -> None:
    """Below so many parts no cycle is asked for."""
    assert cycle_plan(lots(quick_lots(MANY - 1))) is None


def test_the_gap_of_forty_parts_is_small() -> None:
    """Forty parts, an arm with two grippers before three machines: within 6 % of what nobody can undercut."""
    cell = cell_from(quick_lots(40))
    found = shortest_makespan(cell, deadline=None, deterministic=0.1, workers=1, seed=1)

    assert violations(cell, found) == []
    assert gap(found) < 0.06


def gap(found: Schedule) -> float:
    """How far a plan lies above its bound."""
    return found.period_steps / found.least_steps - 1


def test_one_machine_with_exchanges_is_bound_by_its_arm() -> None:
    """Few parts: the machine with 30 s each, work 20 s and exchange 10 s. Many: the arm with 32 s each, a round of lift
    5 s, way 4 s, exchange 10 s, way 4 s, set-down 5 s and 4 s back to the raw parts."""
    assert walk_steps(quick_lots(9, machines=1)) - walk_steps(quick_lots(8, machines=1)) == 30
    assert walk_steps(quick_lots(31, machines=1)) - walk_steps(quick_lots(30, machines=1)) == 32


@pytest.mark.parametrize("seed", range(0, 60, 4))
def test_the_arm_s_bound_is_kept_by_every_plan(seed: int) -> None:
    """Small random cells: the best plan, proven without this bound, is no shorter; a plan that is found keeps it."""
    form = small_lots(seed, hands=2)
    first = first_plan(lots(form))

    assert first is not None
    assert (
        walk_steps(form)
        <= shortest_makespan(cell_from(form), deadline=None, deterministic=20.0, workers=1, seed=1).period_steps
    )

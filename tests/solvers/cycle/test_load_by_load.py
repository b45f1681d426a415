"""Where a search has no time to find a cycle with loads of several parts, one load after the other is the answer."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.solvers.kernel.shop import Form, arm_cell

NOTHING = Effort(deterministic=0.01, most_sets=1, most_moves=1)  # no period is short enough to be searched


def two_machines(first: int, second: int, *, places: int = 0, types: int = 1) -> Form:
    """An arm, two machines one after the other with loads of so many parts, each type through both."""
    form = arm_cell(2, way_s=2, time_s=20)
    form["stations"]["m1"] |= {"batch": first, "in_queue": places}
    form["stations"]["m2"] |= {"batch": second}
    route = [{"at": ["raw"]}, {"at": ["m1"], "time_s": 20}, {"at": ["m2"], "time_s": 30}, {"at": ["done"]}]
    form["parts"] = {name: {"share": 1 / types, "route": route} for name in ("part", "other")[:types]}
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


@pytest.mark.parametrize("kinds", [(2, 1, 0, 1), (2, 3, 0, 1), (3, 2, 2, 2), (1, 2, 1, 2)])
def test_a_cycle_of_loads_is_there_without_a_search(kinds: tuple[int, int, int, int]) -> None:
    """Loads of unlike sizes, buffers, two types: the cycle keeps all rules and its period, and its gap is told."""
    first, second, places, types = kinds
    cell = cell_from(two_machines(first, second, places=places, types=types))
    best = best_cycle(cell, effort=NOTHING)

    assert best.how.startswith("one load after the other")
    assert violations(cell, best) == []
    assert cycle_bound_steps(cell) * best.parts_per_period / types <= best.least_steps < best.period_steps
    assert not best.proven
    assert keeps_the_period(cell, best)


def test_one_load_after_the_other_takes_its_ways_and_works() -> None:
    """A load of two: twelve visits of 5 s, a way of 2 s after each but the two that wait where they are, both works."""
    cell = cell_from(two_machines(2, 2))
    best = best_cycle(cell, effort=NOTHING)

    visits, ways, works = 12 * 5, (12 - 2) * 2, 20 + 30
    assert best.period_steps == (visits + ways + works) * 1000

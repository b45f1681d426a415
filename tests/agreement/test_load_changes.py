"""The bound for changing loads against the program for cycles: no cycle of whole loads is shorter, some as short."""

import pytest

from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.jobs import jobs_of, rounds
from millhand.solvers.cycle.searching.search import Run, Span, built, run
from tests.agreement.random_loads import loads_cell


def tried(number: int, *, below: int) -> tuple[Run, int]:
    """What the program finds at the bound, or up to so much below it, and the bound."""
    cell = loads_cell(number)
    view = scope(cell)
    sets = rounds(view)
    bound = -int(-round(cycle_bound_steps(cell) * sets, 6) // 1)
    span = Span(least=1 if below else bound, longest=bound - below)
    return run(built(view, jobs_of(view, sets), span, 1), Effort(deterministic=0.5)), bound


@pytest.mark.parametrize("number", range(24))
def test_no_cycle_is_shorter_than_the_change_of_its_loads(number: int) -> None:
    """The program, which knows nothing of this bound, finds no shorter cycle."""
    assert tried(number, below=1)[0].tour is None


def test_some_cycles_are_as_short_as_the_change_of_their_loads() -> None:
    """In at least a third of these cells there is a cycle at the bound, so it is not far from the truth."""
    assert sum(tried(number, below=0)[0].tour is not None for number in range(24)) >= 8

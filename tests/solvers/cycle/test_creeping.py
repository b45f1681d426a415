"""A search whose bound creeps up step by step ends by its conflicts, for it uses up next to nothing of its unit."""

import pytest

from millhand.errors import Contradiction
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.searching.search import CONFLICTS_PER_UNIT
from millhand.solvers.kernel.compile_cycle import BRIEF
from tests.whole_cells import form_of

CREEPS = 251  # two long visits to one machine, a stay of 115 s at most, on a grid of a millisecond


def test_a_bound_that_creeps_ends_the_search_by_its_conflicts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of one such cell a run ends at its conflicts with a tenth of its unit unused; it went on for minutes before."""
    from ortools.sat.python.cp_model import CpSolver

    ended: list[tuple[int, float, float]] = []
    solve = CpSolver.solve

    def heard(solver: CpSolver, model: object, *callbacks: object) -> object:
        status = solve(solver, model, *callbacks)
        whole = solver.parameters.max_deterministic_time
        ended.append((solver.num_conflicts, solver.response_proto.deterministic_time, whole))
        return status

    monkeypatch.setattr(CpSolver, "solve", heard)
    with pytest.raises(Contradiction, match="at most 115 s"):
        best_cycle(cell_from(form_of(CREEPS)), effort=BRIEF)

    crept = [each for each in ended if each[0] >= CONFLICTS_PER_UNIT * each[2] > 1]
    assert crept
    assert all(spent < whole / 2 for _, spent, whole in crept)
    assert all(conflicts <= CONFLICTS_PER_UNIT * whole + 1 for conflicts, _, whole in ended)

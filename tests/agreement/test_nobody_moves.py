"""Cells in which parts move by themselves alone: a cycle there is what the machines need, and what a run makes."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.solvers.kernel.shop import Form, alone_row

Kind = tuple[tuple[int, ...], int, int, int]


def on_belts(works: tuple[int, ...], *, places: int, batch: int, types: int) -> Form:
    """Machines in a row that take in and put out by themselves, each type a second longer everywhere than the last."""
    form = alone_row(len(works), fault_mean_s=1, repair=1) | {"duties": {}}
    for name in (f"m{number + 1}" for number in range(len(works))):
        del form["stations"][name]["faults"]
        form["stations"][name] |= {"out_queue": places, "batch": batch}
    form["parts"] = {
        f"part{more}": {
            "share": 1 / types,
            "route": [
                {"at": ["raw"]},
                *({"at": [f"m{number + 1}"], "time_s": work + more} for number, work in enumerate(works)),
                {"at": ["done"]},
            ],
        }
        for more in range(types)
    }
    return form


@pytest.mark.parametrize(
    "kind", [((20,), 0, 1, 1), ((20, 30, 10), 0, 1, 1), ((30, 20), 1, 1, 1), ((20, 30), 0, 2, 1), ((12, 9), 1, 1, 2)]
)
def test_the_slowest_machine_sets_the_period(kind: Kind) -> None:
    """As long as the longest work of a load of each type, proven, and kept by the run to the grid step."""
    works, places, batch, types = kind
    cell = cell_from(on_belts(works, places=places, batch=batch, types=types))
    best = best_cycle(cell, effort=Effort(deterministic=0.3, most_sets=1))
    loads = best.parts_per_period // (batch * types)

    assert best.period_steps == loads * sum(max(works) + more for more in range(types)) * 1000
    assert best.proven
    assert violations(cell, best) == []
    assert keeps_the_period(cell, best)

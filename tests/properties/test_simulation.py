"""Whatever the cell: no part is lost and no second is lost."""

from hypothesis import HealthCheck, Phase, assume, given, settings

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.refusals import refusals
from millhand.solvers.kernel.replications import finished_run
from tests.cells_strategy import FEATURES, Data, cell_forms
from tests.solvers.kernel.shop import books_of, counts_of, in_cell

COMPUTED = FEATURES
HOURS = 9.5  # ends in the second part of the day shift


def may_lock_up(cell: Cell) -> bool:
    """Two part types that pass one store in different order can lock each other out: an error by itself."""
    return len(cell.parts) > 1 and any(station.kind == "store" for station in cell.stations.values())


@settings(
    max_examples=40,
    derandomize=True,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(form=cell_forms(COMPUTED))
def test_no_part_and_no_second_is_lost(form: Data) -> None:
    """Lifted = good + scrapped + escaped + in the cell; states of machines and attendants add up to the grid step."""
    try:
        cell = cell_from(form)
    except InputErrors:
        assume(False)
    assume(not list(refusals(cell)) and not may_lock_up(cell))
    horizon = round(HOURS * 3600 / cell.grid_s)
    run = finished_run(compiled(cell), horizon, seed=7, replication=0)
    counts = counts_of(run)

    assert counts["picked"] == counts["good"] + counts["scrapped"] + counts["escaped"] + in_cell(run)
    assert counts["parts"] == counts["good"] + counts["scrapped"] + counts["escaped"]
    assert counts["parts"] == counts["attended"] + counts["unattended"]
    for times in books_of(run):
        assert min(times) >= 0
        assert sum(times) == horizon

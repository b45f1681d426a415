"""Whether a run keeps the period of the schedule that it follows."""

import pytest

from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import finished_run

PERIODS = 60


def assert_keeps_period(cell: Cell, best: Schedule) -> None:
    """Over the second half of the run; a period may be a little longer than the one after it."""
    horizon = PERIODS * best.period_steps
    run = finished_run(compiled(cell, schedule=best), horizon, seed=1, replication=0, logging=True)
    out = [float(line["t_s"]) for line in log_of(run) if line["what"] == "out"]
    late = out[len(out) // 2 :]

    assert violations(cell, best) == []
    assert len(late) > PERIODS * best.parts_per_period / 3
    one_s = best.period_steps * cell.grid_s / best.parts_per_period
    assert (late[-1] - late[0]) / (len(late) - 1) == pytest.approx(one_s, rel=2 * best.parts_per_period / len(late))

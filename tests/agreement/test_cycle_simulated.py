"""Rule `cycle` against the schedule: with nothing left to chance the simulation makes what the schedule promises."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.model.cell import AttendantFault, Cell, Dispatch
from millhand.model.span import Span
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import Finished, finished_run, run_on
from tests.solvers.kernel.shop import attendant_s, counts_of, in_cell

CELLS = sorted(Path("examples/cells").glob("published_*.json"))
PERIODS = 60  # looked at, after as many in which the line fills


def under_cycle(cell: Cell) -> Cell:
    """The same cell with its attendants under the rule `cycle`."""
    return replace(cell, dispatch={name: Dispatch(rule="cycle") for name in cell.attendants})


def parts_in(run: Finished, horizon: int) -> int:
    """Parts up to a horizon."""
    run_on(run, horizon)
    return counts_of(run)["parts"]


@pytest.mark.parametrize("path", CELLS, ids=lambda path: path.stem)
def test_the_simulation_keeps_the_period_of_the_schedule(path: Path) -> None:
    """Once the line is full, each number of periods brings exactly the schedule's parts of as many periods."""
    cell = under_cycle(read_cell(path))
    best = schedule(cell)
    assert len(cell.attendants) == 1
    c = compiled(cell)
    assert not [words for words in c.left_out if "cycle" in words]
    run = finished_run(c, PERIODS * best.period_steps, seed=1, replication=0)
    before = counts_of(run)["parts"]

    for more in (1, 7, PERIODS):
        parts = parts_in(run, (PERIODS + more) * best.period_steps)
        assert parts - before == more * best.parts_per_period


@pytest.mark.parametrize("path", CELLS, ids=lambda path: path.stem)
def test_the_period_comes_back_after_a_stop(path: Path) -> None:
    """The arm stands for more than three periods; later the pace is the schedule's again, and no part was lost."""
    cell = under_cycle(read_cell(path))
    best = schedule(cell)
    period_s = best.period_steps * cell.grid_s
    jam = AttendantFault(
        id="jam", on="clock", every=Span(mean_s=(PERIODS + 0.4) * period_s), self_s=Span(mean_s=3.3 * period_s)
    )
    name, attendant = next(iter(cell.attendants.items()))
    stopped = replace(cell, attendants={name: replace(attendant, faults=(jam,))})
    run = finished_run(compiled(stopped), round(1.4 * PERIODS) * best.period_steps, seed=1, replication=0)
    before = counts_of(run)["parts"]
    parts = parts_in(run, 2 * PERIODS * best.period_steps)
    counts = counts_of(run)

    assert attendant_s(run, name)["failed"] == pytest.approx(3.3 * period_s, abs=cell.grid_s)
    assert parts - before == (2 * PERIODS - round(1.4 * PERIODS)) * best.parts_per_period
    assert counts["picked"] == counts["good"] + counts["escaped"] + counts["scrapped"] + in_cell(run)
    assert counts["scrapped"] == 0

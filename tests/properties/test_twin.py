"""The compiled loop against its plain twin: whatever the cell, the same events and the same books to the grid step."""

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from millhand.errors import InputErrors, ToolError
from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import counts_of
from millhand.solvers.kernel.running import finished_run
from tests.cells_strategy import FEW, TENDING, Data, cell_forms
from tests.twin.known import TWIN_KNOWS, twin_refuses
from tests.twin.run import twin_counts, twin_run

HOURS = 9.5  # ends in the second part of the day shift
KEPT = ("counted", "stations", "attendants", "duty_ended", "duty_steps", "attended_steps", "alone", "events", "late")
PUBLISHED = sorted(Path("examples/cells").glob("*.json"))


def same(cell: Cell, *, hours: float, seed: int) -> bool:
    """True where both count the same, or both say that the cell locks up."""
    c, horizon = compiled(cell), round(hours * 3600 / cell.grid_s)
    try:
        plain = twin_counts(twin_run(c, horizon, seed=seed, replication=3))
    except ToolError as trouble:
        with pytest.raises(ToolError) as ours:
            finished_run(c, horizon, seed=seed, replication=3)
        return ours.value.code == trouble.code
    found = counts_of(finished_run(c, horizon, seed=seed, replication=3))
    return all(getattr(plain, name) == getattr(found, name) for name in KEPT)


TRIED = settings(
    max_examples=75,
    derandomize=True,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def runs_the_same(form: Data) -> None:
    """Every count, every state time, every duty, every absence and the number of events are equal."""
    try:
        cell = cell_from(form)
    except InputErrors:
        assume(False)
    assume(not twin_refuses(cell))

    assert same(cell, hours=HOURS, seed=7), json.dumps(form)


@TRIED
@given(form=cell_forms(TWIN_KNOWS))
def test_random_cells_run_the_same_in_the_plain_twin(form: Data) -> None:
    """Cells with whatever the twin knows."""
    runs_the_same(form)


@TRIED
@given(form=cell_forms(TWIN_KNOWS & TENDING))
def test_random_tending_runs_the_same_in_the_plain_twin(form: Data) -> None:
    """Cells that mostly go into a loop where the rest is left out."""
    runs_the_same(form)


@TRIED
@given(form=cell_forms(TWIN_KNOWS & FEW))
def test_random_cells_with_few_traits_run_the_same_in_the_plain_twin(form: Data) -> None:
    """Cells that mostly go into the loops where most is left out."""
    runs_the_same(form)


@pytest.mark.parametrize("path", PUBLISHED, ids=lambda path: path.stem)
def test_published_cells_run_the_same_in_the_plain_twin(path: Path) -> None:
    """The cells that come with the project, for a day and a half."""
    cell = read_cell(path)
    if twin_refuses(cell):
        pytest.skip("the plain twin has no such cell: gates, tracks and cycles are held against the schedule instead")

    assert same(cell, hours=36.0, seed=1)

"""What a cell has nothing of is left out of the loop that it runs in: the loop with everything gives the same bytes."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from millhand.errors import InputErrors, NotYet, ToolError
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.kernel import running
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.events import traits as asked
from millhand.solvers.kernel.fields import TRAITS
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.records import LARGE, SHAPES, Shape, packed, shape_of, started
from millhand.solvers.kernel.running import Finished, finished_run, run_on
from millhand.solvers.kernel.traits import traits_of
from tests.agreement.test_endless_slots import oven
from tests.cells_strategy import FEW, TENDING, Data, cell_forms
from tests.reference_variants import reference_form
from tests.whole_cells import form_of

VALID, FEW_CELLS = (2, 3, 19, 52, 106), (0, 1)  # numbers of random cells that have and lack all that is asked for
HOURS, SEED, REPLICATION = 9.5, 7, 3
STOPPED = Path(__file__).parents[1] / "found" / "cell_stopped_as_its_duty_ended.json"
WHOLE = next(shape for shape in SHAPES if shape.lengths == LARGE)


def books(c: Compiled, horizon: int, shape: Shape, patch: pytest.MonkeyPatch) -> Counts | str:
    """All that a run counts in the loop of a shape, or the code of the error that ends it."""
    record, loop = packed(c, shape), running.loop_for(shape)
    run = Finished(c=c, k=started(record, shape, seed=SEED).view(np.recarray)[0])
    run.k.replication = REPLICATION
    patch.setattr(running, "ready", lambda _c, **_: (shape, record, loop))
    try:
        run_on(run, horizon)
    except ToolError as trouble:
        return trouble.code
    return counts_of(run)


TRIED = settings(
    max_examples=60,
    derandomize=True,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def fitted(form: Data) -> tuple[Cell, Compiled, Shape] | None:
    """A valid cell with the least shape that it goes into, where something is left out of that; else nothing."""
    try:
        cell = cell_from(form)
        c = compiled(cell)
        least = shape_of(c)
    except (InputErrors, NotYet):
        return None
    return (cell, c, least) if least.lengths != WHOLE.lengths and WHOLE.holds(least) else None


def agrees(cell: Cell, c: Compiled, least: Shape) -> bool:
    """Every figure of a cell is the same in the least shape that it fits into and in the one with everything."""
    horizon = round(HOURS * 3600 / cell.grid_s)
    with pytest.MonkeyPatch.context() as patch:
        return books(c, horizon, least, patch) == books(c, horizon, WHOLE, patch)


def runs_the_same(form: Data) -> None:
    """The same of any random cell; those that cannot show it are passed over."""
    found = fitted(form)
    assume(found is not None)
    assert found is not None
    assert agrees(*found), json.dumps(form)


@TRIED
@given(form=cell_forms(TENDING))
def test_random_tending_runs_the_same_in_the_loop_with_everything(form: Data) -> None:
    """Cells with faults, wear, hours, zones, duties of all kinds."""
    runs_the_same(form)


@TRIED
@given(form=cell_forms(FEW))
def test_random_cells_with_few_traits_run_the_same_in_the_loop_with_everything(form: Data) -> None:
    """Cells with little besides machines, stops and refills."""
    runs_the_same(form)


def test_a_person_who_is_stopped_as_a_duty_ends_goes_on_in_each_loop() -> None:
    """It stood for good, and what it was at was read from beside the list, so that the loops disagreed; now parts come
    out."""
    found = fitted(json.loads(STOPPED.read_text("utf-8"))["cell"])
    assert found is not None
    cell, c, _ = found
    run = finished_run(c, round(HOURS * 3600 / cell.grid_s), seed=SEED, replication=REPLICATION)

    assert agrees(*found)
    assert run.k.p_out.sum() > 0


def test_each_loop_is_run_by_cells_with_few_traits() -> None:
    """The numbered cells below go into both of the loops where something is left out."""
    assert {shape_of(compiled(cell_from(form_of(number, FEW)))) for number in FEW_CELLS} >= set(SHAPES[:2])


def test_each_trait_is_asked_for_by_its_name() -> None:
    """The loop has a question for each trait, and random cells have each of them and lack each of them."""
    shut = reference_form()
    shut["stations"]["drawers"]["calendar"] = "day"
    # No random cell has endless slots, or a supply with hours of its own.
    forms = [*map(form_of, VALID), oven((None, None), None, time_s=37.0), shut]
    found = [set(traits_of(compiled(cell_from(form)))) for form in forms]

    for name in TRAITS:
        assert hasattr(asked, f"has_{name}"), name
        assert any(name in each for each in found), name
        assert any(name not in each for each in found), name


def test_a_log_needs_a_shape_with_room_for_it() -> None:
    """A run without a log has no line; with one it counts the same."""
    c = compiled(cell_from(form_of(VALID[0])))
    silent, told = (finished_run(c, 3_600_000, seed=1, replication=0, logging=each) for each in (False, True))

    assert not silent.log
    assert told.log
    assert counts_of(silent) == counts_of(told)

"""The warm-up that a pilot finds, on cells whose transient is known."""

from typing import Any

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import log_lines
from millhand.solvers.output.pilot import LEAST_SLICES, Pilot, Slices, good_by_slice, pilot, slice_s
from millhand.solvers.output.runs import Run
from tests.reference_variants import reference_form
from tests.solvers.kernel.shop import alone_row, arm_cell, with_person

RUN = Run(hours=24.0)


def chancy(time_s: float, **more: Any) -> Any:
    """An arm and a machine whose loads take times that spread, so that a first part comes only after one of them."""
    form = arm_cell(1, time_s={"dist": "lognormal", "mean_s": time_s, "cv": 0.2})  # type: ignore[arg-type]
    return form | more


def found(form: Any) -> Pilot:
    """What the pilot says about a cell."""
    return pilot(cell_from(form), run=RUN)


def test_a_slice_is_an_hour_where_there_is_no_calendar_and_the_longest_calendar_else() -> None:
    """A week beside a day is a week."""
    form = with_person(arm_cell(), on=[[0, 28_800]])
    assert slice_s(cell_from(arm_cell())) == 3600.0
    assert slice_s(cell_from(form)) == 86_400.0
    form["calendars"]["week"] = {"period_s": 604_800, "on": [[0, 600_000]]}
    assert slice_s(cell_from(form)) == 604_800.0


def test_slices_are_what_leaves_in_them() -> None:
    """Slice by slice the good parts of the log, which is written by the same run in one piece."""
    cell = cell_from(chancy(300.0))
    slices = good_by_slice(Slices(cell=compiled(cell), steps=3_600_000, slices=6, seed=1, replication=2))
    out_s = [line["t_s"] for line in log_lines(cell, hours=6, replication=2) if line["what"] == "out"]

    assert list(slices) == [sum(at <= float(t) / 3600 < at + 1 for t in out_s) for at in range(6)]


def test_a_transient_is_cut_off_in_whole_batches() -> None:
    """Loads of five hours: nothing at all leaves in the first hours, so they are cut, and no more than half."""
    told = found(chancy(18_000.0))

    assert told.by_chance
    assert told.long_enough
    assert told.cut_h in (5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
    assert (told.batch, told.slices, told.slice_h) == (5, LEAST_SLICES, 1.0)


def test_days_are_batches_by_themselves() -> None:
    """The reference cell starts full, so of a hundred days none or few are cut."""
    told = found(reference_form())

    assert (told.batch, told.slices, told.slice_h, told.replications) == (1, LEAST_SLICES, 24.0, 10)
    assert told.long_enough
    assert told.cut_h <= 5 * 24.0


def test_where_nothing_is_left_to_chance_nothing_is_looked_for() -> None:
    """Replications that are all alike are no series of chance; no cut, and no complaint about its length."""
    told = found(arm_cell())

    assert not told.by_chance
    assert told.long_enough
    assert told.cut_h == 0.0


def test_a_cell_that_never_settles_is_too_short_for_any_pilot() -> None:
    """Eight machines that break for good, 80 h each in the mean, make ever less in the pilot's 100 h."""
    form = alone_row(8, fault_mean_s=288_000, repair=3_600_000, repairers=8)
    form["parts"]["part"]["route"][1]["time_s"] = 600
    told = found(form)

    assert not told.long_enough
    assert told.cut_h == 0.0

"""Machines without a slot: nothing comes there, in the schedule, in its bounds and in the simulation."""

from dataclasses import replace

import pytest

from millhand.errors import InputError
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.cycle.closed import with_open_machines
from millhand.solvers.kernel.compile_cycle import BRIEF
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of, station_s, times_s

HOURS = 2.0


def closed(number: int, machines: int = 2) -> Form:
    """The row of machines of which one has no slot."""
    form = arm_cell(machines, time_s=60.0)
    form["stations"][f"m{number}"]["capacity"] = 0
    return form


def test_the_schedule_is_that_of_the_other_machines() -> None:
    """Of two machines one is left: pace and bound of a cell with one."""
    cell, one = with_open_machines(cell_from(closed(1))), cell_from(arm_cell(1, time_s=60.0))
    found, alone = (best_cycle(each, effort=BRIEF) for each in (cell, one))

    assert (found.period_steps, found.parts_per_period) == (alone.period_steps, alone.parts_per_period)
    assert found.proven
    assert rate_bound_per_h(cell) == pytest.approx(rate_bound_per_h(one))


@pytest.mark.parametrize("rule", ["first_to_finish", "cycle"])
def test_the_run_is_that_of_the_other_machines(rule: str) -> None:
    """It stands empty, calls nobody, and is named; all others do the same at the same moments."""
    form, one = closed(2), arm_cell(1, time_s=60.0)
    form["stations"]["m2"]["faults"] = [{"id": "jam", "on": "clock", "every": 100.0, "self_s": 5, "stops": ["all"]}]
    for each in (form, one):
        each["dispatch"] = {"arm": {"rule": rule}}
    ours, theirs = run_of(form, HOURS), run_of(one, HOURS)

    assert times_s(ours, "out") == times_s(theirs, "out")
    assert counts_of(ours) == counts_of(theirs)
    assert station_s(ours, "m2") == {"starved": HOURS * 3600}
    assert ours.c.left_out == ("m2 has no slot, so nothing comes there",)


def test_times_of_its_own_go_with_it() -> None:
    """A step that names a time for each machine."""
    form = closed(1, machines=3)
    form["parts"]["part"]["route"][1]["time_s"] = {"m1": 10, "m2": 60, "m3": 90}
    step = with_open_machines(cell_from(form)).parts["part"].route[1]

    assert step.at == ("m2", "m3")
    assert step.times_s is not None
    assert {name: span.mean_s for name, span in step.times_s.items()} == {"m2": 60, "m3": 90}


def test_a_step_without_any_slot_leads_nowhere() -> None:
    """A record that no check has seen is told in the same words as a file."""
    cell = cell_from(closed(1))
    shut = {name: replace(each, capacity=0) for name, each in cell.stations.items() if name.startswith("m")}

    with pytest.raises(
        InputError, match=r"/parts/part/route/1/at: read 'm1, m2, capacity 0'; write a machine that has"
    ):
        with_open_machines(replace(cell, stations={**cell.stations, **shut}))

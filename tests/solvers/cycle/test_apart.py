"""Machines one by one: shares that add up, pace alone and here, limits held against each."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.model.station import Station
from millhand.solvers.cycle.apart import dragged, machines
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.kernel.compile_cycle import BRIEF
from tests.solvers.cycle.rows import Row, row_cell, span
from tests.solvers.kernel.shop import arm_cell

CELLS = Path("examples/cells")


def unlike(quick_s: float, slow_s: float, *, hands: int = 2) -> Cell:
    """Two machines that do the same job side by side, one quicker than the other, under one arm."""
    cell = row_cell(Row(times_s=(quick_s,), machines=2, hands=hands))
    first, work, last = cell.parts["part"].route
    times = {"m1": span(quick_s), "m2": span(slow_s)}
    route = (first, replace(work, time_s=None, times_s=times), last)
    return replace(cell, parts={"part": replace(cell.parts["part"], route=route)})


@pytest.mark.parametrize(
    "name", ["phillips_unger_1976", "turn_wash_and_gauge", "one_operator_two_mills", "reference_cell"]
)
def test_shares_of_each_machine_add_up(name: str) -> None:
    """Works, hands on it, stands: the whole of its time."""
    cell = read_cell(CELLS / f"{name}.json")

    for each in machines(cell, schedule(cell)):
        assert each.works + each.hands + each.stands == pytest.approx(1.0)


def test_a_quick_machine_waits_for_the_arm_that_keeps_pace_with_a_slow_one() -> None:
    """By hand: 60 s and 100 s, each with an exchange of 2 s; served in turn both make a part in 102 s."""
    cell = unlike(60, 100)
    plan = schedule(cell)
    quick, slow = machines(cell, plan)

    assert plan.period_steps == 102_000
    assert (quick.own_steps, slow.own_steps) == (62_000, 102_000)
    assert (quick.wait_steps, slow.wait_steps) == (40_000, 0)
    assert quick.alone_per_h(cell.grid_s) == pytest.approx(3600 / 62)
    assert quick.here_per_h(cell.grid_s) == pytest.approx(3600 / 102)
    (told,) = dragged(cell, plan)
    assert (told.machine.name, told.attendants, told.slower) == ("m1", ("arm",), ("m2",))


def test_a_load_counts_once_however_many_parts_it_has() -> None:
    """By hand: two parts in and out at 5 s each, the second brought while the first lies there, 100 s of work. Nobody
    could serve a machine quicker, so it makes alone what it makes here, and no machine waits."""
    form = arm_cell(2)
    for name in ("m1", "m2"):
        form["stations"][name]["batch"] = 2
    cell = cell_from(form)
    plan = best_cycle(cell, effort=BRIEF)

    assert (plan.period_steps, plan.parts_per_period, plan.proven) == (168_000, 4, True)
    for each in machines(cell, plan):
        assert (each.loads, each.slots, each.own_steps, each.wait_steps) == (1, 1, 168_000, 0)
        assert each.alone_per_h(cell.grid_s) == each.here_per_h(cell.grid_s) == pytest.approx(3600 / 168)
        assert each.works + each.hands + each.stands == pytest.approx(1.0)
    assert list(dragged(cell, plan)) == []


def test_equal_machines_that_wait_for_nobody_are_not_named() -> None:
    """Nothing is dragged where each makes what it could alone."""
    cell = unlike(100, 100)

    assert list(dragged(cell, schedule(cell))) == []


def test_an_arm_without_time_keeps_all_machines_below_their_pace() -> None:
    """Eight machines under one arm: no machine is slower, the arm itself has no time left."""
    cell = read_cell(CELLS / "published_identical_8_machines_two_grippers.json")
    told = list(dragged(cell, schedule(cell)))

    assert len(told) == 8
    assert {(each.attendants, each.slower) for each in told} == {(("arm",), ())}


def test_machines_in_line_are_not_dragged_by_each_other() -> None:
    """Each part passes all three: the slowest sets the pace of all in any case."""
    cell = row_cell(Row(times_s=(20, 35, 25)))

    assert list(dragged(cell, schedule(cell))) == []


def test_limited_stays_are_held_against_each_machine() -> None:
    """The published hoist line keeps every window; the least time left is 1 s at s8, and s9 has no window."""
    cell = read_cell(CELLS / "phillips_unger_1976.json")
    own = {each.name: each for each in machines(cell, schedule(cell))}

    assert own["s8"].slack_steps == 1
    assert own["s9"].slack_steps is None
    assert sum(each.late for each in own.values()) == 0


def test_a_stay_beyond_its_limit_is_counted_where_it_is() -> None:
    """With the limit of s8 cut to 50 s behind the schedule's back, s8 is late and no other."""
    cell = read_cell(CELLS / "phillips_unger_1976.json")
    plan = schedule(cell)
    route = tuple(replace(step, stay_max_s=50.0) if step.at == ("s8",) else step for step in cell.parts["panel"].route)
    changed = replace(cell, parts={"panel": replace(cell.parts["panel"], route=route)})

    assert {each.name: each.late for each in machines(changed, plan) if each.late} == {"s8": 1}


def test_slots_that_are_told_by_name_are_one_machine() -> None:
    """Two slots with a buffer before them: two loads a period, both slots at work for 20 s of each 21 s."""
    cell = row_cell(Row(times_s=(20,)))
    two = Station(kind="process", place=cell.stations["m1"].place, capacity=2, in_queue=1)
    cell = replace(cell, stations={**cell.stations, "m1": two})
    plan = best_cycle(cell, effort=Effort(most_sets=1))
    (machine,) = machines(cell, plan)

    assert (machine.name, machine.loads, machine.slots) == ("m1", 2, 2)
    assert machine.works == pytest.approx(2 * 20_000 / (2 * plan.period_steps))

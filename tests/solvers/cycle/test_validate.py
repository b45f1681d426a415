"""The independent validator: good schedules pass, spoilt ones are told what is wrong with them."""

from dataclasses import replace
from functools import cache
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Arc, Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.rows import Row, row_cell, visit
from tests.whole_cells import form_of

ROWS = {
    "one hand": Row(times_s=(20, 35, 25), tail_s=1.5),
    "windows": Row(times_s=(20, 35, 25), longest_s=(30, 60, 40)),
    "two hands": Row(times_s=(20, 35, 25), hands=2, turn_s=0.5),
    "side by side": Row(times_s=(60,), machines=3),
    "side by side, two hands": Row(times_s=(100,), machines=3, hands=2),
}


@cache
def sound(name: str) -> tuple[Cell, Schedule]:
    """A cell and its schedule."""
    cell = row_cell(ROWS[name])
    return cell, schedule(cell)


def longest_wait(schedule: Schedule, arc: Arc) -> float:
    """The longest way along the arcs between the two ends of an arc, over as many laps: what they demand without it."""
    reached = {(arc.before, 0): 0.0}
    changed = True
    while changed:
        changed = False
        for each in schedule.arcs:
            for (event, lap), lag in list(reached.items()):
                there = (each.after, lap + each.laps)
                if event == each.before and abs(there[1]) < 4 and lag + each.lag_steps > reached.get(there, -inf):
                    reached[there], changed = lag + each.lag_steps, True
    return reached.get((arc.after, arc.laps), -inf)


@pytest.mark.parametrize("name", ROWS)
def test_a_sound_schedule_passes(name: str) -> None:
    """What the builders make breaks no rule."""
    assert violations(*sound(name)) == []


def test_visits_of_no_time_at_the_turn_of_the_period_keep_their_order() -> None:
    """Taking and putting away take nothing at one place: both stand at the period's turn, the last one first."""
    row = Row(times_s=(5,), hands=2, hold_s=0.0, step_s=4.0)
    cell = row_cell(row)
    together = replace(cell, stations={**cell.stations, "o": replace(cell.stations["o"], place="i")})
    found = schedule(together)

    assert {event.at_steps for event in found.events if event.station in ("i", "o")} == {0}
    assert violations(together, found) == []


def test_a_visit_that_begins_as_another_one_there_ends_keeps_its_own_end() -> None:
    """Everything but putting away takes no time: one visit at the outfeed ends at the moment the next one begins."""
    cell = row_cell(Row(times_s=(1,), machines=2, hands=2, hold_s=0.0, step_s=0.0))
    slow = tuple(replace(row, place=visit(4.0)) if row.at == ("o",) else row for row in cell.handling)
    found = schedule(replace(cell, handling=slow))
    ends = {event.at_steps for event in found.events if event.what == "placed" and event.station == "o"}

    assert ends == {event.at_steps for event in found.events if event.what == "set" and event.station == "o"}
    assert violations(replace(cell, handling=slow), found) == []


@pytest.mark.parametrize("number", [20001832, 20003392, 10015903])
def test_work_of_no_time_stands_between_its_visits(number: int) -> None:
    """Three random cells: set down, worked on and lifted in one moment, in this order by the arcs alone."""
    cell = cell_from(form_of(number))

    assert violations(cell, schedule(cell)) == []


@settings(max_examples=60)
@given(name=st.sampled_from(sorted(ROWS)), data=st.data())
def test_a_shifted_event_is_caught(name: str, data: st.DataObject) -> None:
    """Lifting or setting down earlier or later than planned breaks a hold at least."""
    cell, found = sound(name)
    handled = [event for event in found.events if event.attendant]
    event = data.draw(st.sampled_from(handled))
    by = data.draw(st.integers(1, found.period_steps - 1))
    moved = replace(event, at_steps=(event.at_steps + by) % found.period_steps)

    assert violations(cell, replace(found, events=tuple(moved if each is event else each for each in found.events)))


@settings(max_examples=80)
@given(name=st.sampled_from(sorted(ROWS)), data=st.data())
def test_a_dropped_arc_is_caught(name: str, data: st.DataObject) -> None:
    """Every arc that no other one covers is needed, and its absence is told."""
    cell, found = sound(name)
    arc = data.draw(st.sampled_from(found.arcs))
    left = replace(found, arcs=tuple(each for each in found.arcs if each is not arc))

    assert longest_wait(left, arc) >= arc.lag_steps or violations(cell, left)


@settings(max_examples=40)
@given(name=st.sampled_from(sorted(ROWS)), data=st.data())
def test_a_wrong_lap_is_caught(name: str, data: st.DataObject) -> None:
    """A lift or a set-down one lap off means other parts at the stations and in the hands when a period begins."""
    cell, found = sound(name)
    event = data.draw(st.sampled_from([each for each in found.events if each.what in ("lift", "set")]))
    moved = replace(event, lap=event.lap + data.draw(st.sampled_from([-1, 1])))

    assert violations(cell, replace(found, events=tuple(moved if each is event else each for each in found.events)))


@settings(max_examples=40)
@given(name=st.sampled_from(sorted(ROWS)), data=st.data())
def test_a_shortened_arc_is_caught(name: str, data: st.DataObject) -> None:
    """An arc that asks for one step less than the cell does is told."""
    cell, found = sound(name)
    arc = data.draw(st.sampled_from([each for each in found.arcs if each.lag_steps > 0]))
    short = replace(arc, lag_steps=arc.lag_steps - 1)
    changed = replace(found, arcs=tuple(short if each is arc else each for each in found.arcs))

    assert longest_wait(changed, arc) >= arc.lag_steps or violations(cell, changed)


@pytest.mark.parametrize("by", [-1, 1])
def test_another_period_is_caught(by: int) -> None:
    """A period one step off is not the one that the circuit gives."""
    cell, found = sound("one hand")

    assert violations(cell, replace(found, period_steps=found.period_steps + by))


def test_a_wrong_number_of_parts_is_told() -> None:
    """The parts of a period are counted where they enter."""
    cell, found = sound("side by side")

    assert violations(cell, replace(found, parts_per_period=2)) == ["3 parts enter a period, not 2"]


def spoilt(row: Row) -> list[str]:
    """The violations when the schedule of the one-hand row is used for another row."""
    return violations(row_cell(row), sound("one hand")[1])


def test_a_slower_machine_is_told() -> None:
    """35.5 s in a cycle made for 35 s: the stay is too short by half a second."""
    words = spoilt(replace(ROWS["one hand"], times_s=(20, 35.5, 25)))

    assert "part stays 36500 steps at m2, at least 37000 are needed" in words


def test_a_slower_arm_is_told() -> None:
    """Ways that take longer than planned make the arm late."""
    words = spoilt(replace(ROWS["one hand"], step_s=2.1))

    assert any("steps too late for its" in each for each in words)


def test_a_longer_hold_is_told() -> None:
    """A pick of 1.2 s does not fit into the planned second."""
    words = spoilt(replace(ROWS["one hand"], hold_s=1.2))

    assert "the pick at m1 takes 1000 steps, not 1200" in words


def test_a_window_that_is_too_short_is_told() -> None:
    """A part that stays longer than it may."""
    words = spoilt(replace(ROWS["one hand"], longest_s=(21.5, 36.5, 26.5)))

    assert any("at most" in each for each in words)


def test_a_missing_hand_is_told() -> None:
    """An exchange with one hand is not possible."""
    cell, found = sound("two hands")
    arm = replace(cell.attendants["arm"], hands=1)

    assert "arm cannot do a swap at m1" in violations(replace(cell, attendants={"arm": arm}), found)


def test_a_station_that_is_not_cleared_is_told() -> None:
    """A longer tail than planned: the machine does not yet work, so the part is lifted too early."""
    words = spoilt(replace(ROWS["one hand"], tail_s=4.0))

    assert any(each.startswith("part stays") for each in words)

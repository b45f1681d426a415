"""How long an exchange binds a station, at least, by hand."""

from dataclasses import replace

import pytest

from millhand.model.cell import Cell, CellPart, Step
from millhand.model.station import Station
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import load_bounds
from millhand.solvers.cycle.loads.exchange import around, exchange_steps
from millhand.solvers.cycle.loads.flows import flows
from millhand.solvers.cycle.steady import steady
from tests.solvers.cycle.rows import Row, row_cell


def least(cell: Cell, station: str, step: int) -> float:
    """The least exchange at a station, in seconds."""
    near = around(flows(cell, {"part": 1}, plain=True).hops)
    return exchange_steps(steady(cell), near, ("part", step), station) * cell.grid_s


def test_one_hand_carries_away_and_fetches() -> None:
    """m2 of three on a line: pick 1, way 2, place 1, back over two 4, pick 1, way 2, place 1."""
    assert least(row_cell(Row(times_s=(1, 1, 1))), "m2", 2) == 12.0


def test_two_hands_exchange_and_turn() -> None:
    """A swap of 2 s, a turn of 0.5 s and a tail of 4 s."""
    assert least(row_cell(Row(times_s=(1, 1), hands=2, turn_s=0.5, tail_s=4)), "m1", 1) == 6.5


def test_two_hands_without_a_swap_row_lift_and_set_down() -> None:
    """Pick 1, turn 0.5, place 1."""
    cell = row_cell(Row(times_s=(1, 1), hands=2, turn_s=0.5))
    cell = replace(cell, handling=tuple(replace(row, swap=None) for row in cell.handling))

    assert least(cell, "m1", 1) == 2.5


def test_one_arm_for_infeed_and_one_for_outfeed_meet_at_the_machine() -> None:
    """The second arm may set down as soon as the first has lifted: pick 1, place 1."""
    cell = row_cell(Row(times_s=(1,)))
    arm = cell.attendants["arm"]
    both = {
        "arm": replace(arm, take_from=("i",), put_to=("m1",)),
        "out": replace(arm, take_from=("m1",), put_to=("o",)),
    }
    handling = tuple(replace(row, who=("arm", "out")) for row in cell.handling)

    assert least(replace(cell, attendants=both, handling=handling), "m1", 1) == 2.0


@pytest.mark.parametrize("constant", [True, False])
def test_the_way_back_depends_on_the_layout(constant: bool) -> None:
    """One way of 2 s between any two places: 3 ways instead of 4 steps."""
    expected = 4 + (6 if constant else 8)

    assert least(row_cell(Row(times_s=(1, 1, 1), constant=constant)), "m2", 2) == expected


def bound_of_m1(cell: Cell) -> float:
    """What m1 needs for a part set, in seconds."""
    return next(each.steps for each in load_bounds(cell) if each.resource == "m1") * cell.grid_s


def test_two_types_that_cross_bring_each_other() -> None:
    """One type goes from left to right, the other one from right to left: where one is set down the next one lies.

    Work 30, lift 1, way 2, set down 1, lift 1, way 2, set down 1; of one type alone each takes a way of 4 more.
    """
    cell = row_cell(Row(times_s=(30,)))
    there, back = Step(at=("i",)), Step(at=("o",))
    work = cell.parts["part"].route[1]
    ends = {"i": Station(kind="gate", place="i"), "o": Station(kind="gate", place="o")}
    rows = tuple(replace(row, pick=row.pick or row.place, place=row.place or row.pick) for row in cell.handling)
    parts = {
        "part": CellPart(share=0.5, route=(there, work, back)),
        "other": CellPart(share=0.5, route=(back, work, there)),
    }
    crossed = replace(cell, stations={**cell.stations, **ends}, handling=rows, parts=parts)
    found = best_cycle(crossed)

    assert bound_of_m1(crossed) == 76.0
    assert (found.period_steps * crossed.grid_s, found.parts_per_period, found.proven) == (76.0, 2, True)


def test_a_part_set_down_where_it_was_lifted_needs_no_way() -> None:
    """Two steps in a row at one machine, 11 s and 23 s, set-down and lift of 1 s each; then the next part: way 4, set
    down 1, way 6, lift 1, way 2."""
    cell = row_cell(Row(times_s=(11, 23)))
    start, first, second, end = cell.parts["part"].route
    route = (start, first, replace(second, at=first.at), end)
    again = replace(cell, parts={"part": replace(cell.parts["part"], route=route)})
    found = best_cycle(again)

    assert bound_of_m1(again) == 52.0
    assert (found.period_steps * again.grid_s, found.proven) == (52.0, True)

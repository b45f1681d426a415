"""Changed cells: one thing is different, every list follows, and what is left is still a cell."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.intake.cell_check import check_cell
from millhand.model.cell import Cell
from millhand.solvers.cycle.changed import (
    free_name,
    in_halves,
    with_machine,
    with_one_gripper,
    with_second_arm,
    with_second_gripper,
    without_machine,
)

CELLS = Path("examples/cells")


def example(name: str) -> Cell:
    """An example cell."""
    return read_cell(CELLS / f"{name}.json")


def test_a_machine_more_stands_in_every_list_beside_the_one_it_is_like() -> None:
    """Route, handling and calls of the reference cell know m4; its stops and wear are those of m3."""
    cell = example("reference_cell")
    changed, new = with_machine(cell, "m3")

    assert new == "m4"
    assert changed.stations["m4"] == cell.stations["m3"]
    assert list(changed.stations)[list(changed.stations).index("m3") + 1] == "m4"
    assert changed.parts["flange"].route[1].at == ("m1", "m2", "m3", "m4")
    assert any("m4" in row.at for row in changed.handling)
    assert not check_cell(changed)


def test_a_machine_more_takes_its_own_time_over() -> None:
    """Where stations have times of their own, the new one has that of the one it is like."""
    cell = example("three_machines_on_a_track")
    step = cell.parts["flange"].route[1]
    assert step.time_s is not None
    slow = replace(step.time_s, mean_s=200.0)
    route = (
        cell.parts["flange"].route[0],
        replace(step, time_s=None, times_s={"m1": step.time_s, "m2": step.time_s, "m3": slow}),
        cell.parts["flange"].route[2],
    )
    changed, new = with_machine(replace(cell, parts={"flange": replace(cell.parts["flange"], route=route)}), "m3")

    assert (changed.parts["flange"].route[1].times_s or {})[new] == slow


def test_more_and_fewer_undo_each_other() -> None:
    """What was added is gone without a trace, but for the origins, which point into a file."""
    cell = replace(example("reference_cell"), origins={})
    changed, new = with_machine(cell, "m3")

    assert without_machine(changed, new) == cell


def test_a_machine_fewer_is_in_no_list() -> None:
    """And what is left is a cell."""
    changed = without_machine(example("reference_cell"), "m3")

    assert "m3" not in str(changed)
    assert not check_cell(changed)


def test_two_grippers_exchange_in_the_time_of_a_pick_and_a_place() -> None:
    """9 s and 11 s are 20 s; lead and tail stay what they were; supply and outfeed have no exchange."""
    changed, added = with_second_gripper(example("three_machines_on_a_track_one_gripper"), "arm")
    swaps = [(row.at, row.swap) for row in changed.handling if row.swap is not None]

    assert added
    assert len(swaps) == 1
    at, swap = swaps[0]
    assert at == ("m1", "m2", "m3")
    assert (swap.lead_s.mean_s, swap.hold_s.mean_s, swap.tail_s.mean_s, swap.lead_on) == (2, 20, 3, "finish")
    assert changed.attendants["arm"].hands == 2
    assert not check_cell(changed)


def test_a_row_shared_with_somebody_else_is_parted() -> None:
    """Only the arm with two grippers exchanges; the other one keeps its row."""
    changed, _ = with_second_gripper(example("two_arms_on_a_track"), "left")
    told = [(row.who, row.swap is not None) for row in changed.handling if "m1" in row.at]

    assert told == [(("left",), True), (("right",), False)]
    assert not check_cell(changed)


def test_one_gripper_has_no_exchange() -> None:
    """The row keeps its pick and its place."""
    changed = with_one_gripper(example("three_machines_on_a_track"), "arm")

    assert changed is not None
    assert changed.attendants["arm"].hands == 1
    assert all(row.swap is None for row in changed.handling)
    assert not check_cell(changed)


def test_one_gripper_is_not_offered_where_only_an_exchange_serves() -> None:
    """With a swap row and nothing else one hand could do nothing there."""
    cell = example("three_machines_on_a_track")
    only = tuple(replace(row, pick=None, place=None) if row.swap else row for row in cell.handling)

    assert with_one_gripper(replace(cell, handling=only), "arm") is None


def test_a_second_arm_stands_at_the_free_place_farthest_away() -> None:
    """At park2, 19 m from the first one's home, above it on the track."""
    changed, new, aside = with_second_arm(example("two_arms_or_one"), "left")

    assert (new, aside) == ("left2", "park2")
    assert changed.tracks["overhead"].attendants == ("left", "left2")
    assert changed.attendants["left2"].home == "park2"
    assert all(("left" in row.who) == ("left2" in row.who) for row in changed.handling)
    assert not check_cell(changed)


def test_a_track_without_a_free_place_says_so() -> None:
    """Every place of the three machines' track is in use."""
    assert with_second_arm(example("three_machines_on_a_track"), "arm")[2] is None


def test_halves_share_the_machines_and_nothing_else() -> None:
    """Each arm reaches its own machines and both ends."""
    cell, new, _ = with_second_arm(example("published_identical_4_machines_one_gripper"), "arm")
    halved = in_halves(cell, ("arm", new), ("m1", "m2", "m3", "m4"))
    first, second = (set(halved.attendants[who].take_from or ()) for who in ("arm", new))

    assert first & {"m1", "m2", "m3", "m4"} == {"m1", "m2"}
    assert second & {"m1", "m2", "m3", "m4"} == {"m3", "m4"}
    assert first - {"m1", "m2"} == second - {"m3", "m4"}


@pytest.mark.parametrize(
    ("like", "taken", "name"), [("m1", {"m1", "m2"}, "m3"), ("lathe", {"lathe"}, "lathe2"), ("m9", {"m9"}, "m2")]
)
def test_names_go_on_counting(like: str, taken: set[str], name: str) -> None:
    """The next number that is free, from 2."""
    assert free_name(like, taken) == name

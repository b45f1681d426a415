"""The table of what would change a cell."""

from dataclasses import replace
from fractions import Fraction
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand.cli.main import group
from millhand.cli.schedule_changes import change_lines, like_words, tended_words
from millhand.errors import NotYet
from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.setters import Setter
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.variants import Like, Tended

CELLS = Path("examples/cells")


def said(name: str) -> str:
    """The lines of an example cell."""
    return "\n".join(change_lines(read_cell(CELLS / f"{name}.json"), schedule))


def test_each_change_has_its_load_its_cycle_and_its_gain() -> None:
    """One gripper against two on the track: 61.75 against 74.74 parts an hour."""
    lines = said("three_machines_on_a_track").splitlines()

    assert "  as it is                                      74.7     74.7" in lines
    assert "  one gripper on arm                            63.7     61.7     -13.0, -17 %" in lines
    assert max(map(len, lines)) <= 80


def test_a_gain_by_load_alone_is_marked() -> None:
    """Two arms on one track: this version finds no cycle, the load says what could be gained at most."""
    words = said("two_arms_or_one")

    assert "+43.5, +50 % *" in words
    assert "* by load: the most that any cycle could gain, not what one does." in words
    assert "left2 stands aside at park2" in words.replace("\n", " ")


def test_a_search_cut_short_says_that_the_cycle_as_it_is_would_do() -> None:
    """Nothing better was found where something is added: no loss, no gain, and the words say why."""
    cell = read_cell(CELLS / "published_identical_4_machines_one_gripper.json")
    words = " ".join(change_lines(cell, partial(only_for, cell)))

    assert "one machine more (m5 like m4)                112.5    100.0             none" in words
    assert (
        "no better cycle was found for one machine more (m5 like m4), two grippers on arm and a second arm (arm2): "
        "said is the cycle as it is, in which what is added stands still."
    ) in words
    assert "No cycle for one machine fewer (no m4)" in words


def test_the_cycle_above_the_table_counts_where_the_search_finds_a_worse_one() -> None:
    """A short search that knows only one machine after the other: gains count from the cycle that is printed."""
    cell = read_cell(CELLS / "three_machines_on_a_track.json")
    found = schedule(cell)
    slow = replace(found, period_steps=2 * found.period_steps)
    lines = list(change_lines(cell, lambda asked: slow, found))

    assert "  as it is                                      74.7     74.7" in lines
    assert not any("no better cycle was found for as it is" in line for line in lines)
    assert "  as it is                                      74.7     37.4" in change_lines(cell, lambda asked: slow)


def only_for(cell: Cell, asked: Cell) -> Schedule:
    """A search that knows one cell and no changed one."""
    if asked is not cell:
        raise NotYet("anything")
    return schedule(cell)


def test_load_and_cycle_are_both_told_where_they_differ() -> None:
    """Three machines by the load, two by the cycles found."""
    words = said("three_machines_on_a_track_one_gripper").replace("\n", " ")

    assert "By load arm could keep 3 machines like m3 at work without a wait (3.914 of them)" in words
    assert "in the cycles found 2 of them do not wait." in words
    assert "an exchange takes as long as a pick and a place one after the other" in words


def test_a_single_machine_that_does_not_wait_is_one() -> None:
    """The verb goes with the number."""
    words = tended_words(Tended(machines=("a1", "a2"), arm="robot", by_load=2, share=2.9, by_cycle=1))

    assert words.endswith("in the cycles found 1 of them does not wait.")


def test_it_says_why_these_machines_are_changed() -> None:
    """Where there are others: those that set the pace, or the one with the largest load; else nothing."""
    cell = read_cell(CELLS / "two_part_types_two_to_one.json")

    assert like_words(cell, Like(machines=("drill",))) == (
        "Machines more or fewer are like drill, which has the largest load of them."
    )
    assert like_words(cell, Like(machines=("drill",), pace=(paced("arm"),))).endswith("; the pace is set by arm.")
    assert like_words(cell, Like(machines=("mill",), pace=(paced("mill"), paced("arm")))) == (
        "Machines more or fewer are like mill, which sets the pace, beside arm."
    )
    assert like_words(read_cell(CELLS / "three_machines_on_a_track.json"), Like(machines=("m1", "m2", "m3"))) == ""


def paced(name: str) -> Setter:
    """One of those that set the pace."""
    return Setter(name=name, kind="", period_steps=Fraction(1), beside=())


def test_lots_have_no_table() -> None:
    """What is finished early does not repeat."""
    cell = replace(read_cell(CELLS / "three_machines_on_a_track.json"), goal="makespan")

    assert len(list(change_lines(cell, schedule))) == 2


def test_the_table_comes_with_its_option_also_where_the_cycle_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Behind the bounds; without the option there is none."""

    def refused(_: Cell, **__: object) -> Schedule:
        raise NotYet("a cycle for this cell")

    monkeypatch.setattr("millhand.cli.schedule.best_cycle", refused)
    path = str(CELLS / "one_operator_two_mills.json")
    with_it = CliRunner().invoke(group, ["schedule", path, "--what-if"])
    without = CliRunner().invoke(group, ["schedule", path])

    assert (with_it.exit_code, without.exit_code) == (1, 1)
    assert "What would change it" in with_it.stdout
    assert "What would change it" not in without.stdout

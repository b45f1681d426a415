"""The machines of a cycle in the terminal."""

from dataclasses import replace
from pathlib import Path

from millhand.cli.schedule_machines import drag_words, machine_lines
from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.solvers.cycle.apart import dragged
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.rows import Row, row_cell
from tests.solvers.cycle.test_apart import unlike

CELLS = Path("examples/cells")


def said(cell: Cell) -> list[str]:
    """The lines of a cell."""
    return list(machine_lines(cell, schedule(cell)))


def test_a_dragged_machine_is_told_with_whom_the_arm_keeps_pace() -> None:
    """58.1 an hour alone, 35.3 in the cycle, 40 s of waiting a load."""
    head, quick, slow, *words = said(unlike(60, 100))

    assert head.split() == ["machine", "loads", "works", "hands", "stands", "waits", "alone/h", "here/h"]
    assert quick.split() == ["m1", "1", "59", "%", "2", "%", "39", "%", "40", "s", "58.1", "35.3"]
    assert slow.split() == ["m2", "1", "98", "%", "2", "%", "0", "%", "0", "s", "35.3", "35.3"]
    assert " ".join(words) == (
        "m1 could make 58.1 an hour alone, in this cycle 35.3: it waits 40 s a load for arm, which keeps pace with m2."
    )


def test_machines_of_which_the_same_is_to_be_said_share_a_sentence() -> None:
    """Eight machines, one arm without time."""
    words = " ".join(said(read_cell(CELLS / "published_identical_8_machines_two_grippers.json"))[9:])

    assert words == (
        "m1, m2, m3, m4, m5, m6, m7 and m8 could make 32.4 an hour each alone, in this cycle 13.6: each waits 153 s a "
        "load for arm, which has no time left."
    )


def test_limits_have_columns_of_their_own_only_where_there_are_some() -> None:
    """The hoist line has them; the machines on a track do not."""
    hoist = said(read_cell(CELLS / "phillips_unger_1976.json"))
    track = said(read_cell(CELLS / "three_machines_on_a_track.json"))

    assert hoist[0].endswith("  to limit late")
    assert hoist[8].split()[-3:] == ["1", "s", "0"]
    assert hoist[9].split()[-2:] == ["-", "-"]
    assert all(len(line) == len(hoist[0]) for line in hoist[1:])
    assert "limit" not in track[0]


def test_a_single_machine_needs_no_table() -> None:
    """Its pace is that of the cell."""
    assert said(row_cell(Row(times_s=(10,), hands=2))) == []


def test_an_arm_whose_round_waits_for_others_is_not_said_to_have_no_time() -> None:
    """What the round waits for is named."""
    cell = unlike(60, 100)
    plan = schedule(cell)
    (told,) = dragged(cell, plan)
    words = drag_words([replace(told, slower=(), beside=("drill", "mill"))], plan)

    assert words.endswith("it waits 40 s a load for arm, whose round waits for drill and mill.")


def test_loads_of_several_parts_are_told_as_loads() -> None:
    """The figure an hour is one of loads, not of parts."""
    cell = unlike(60, 100)
    plan = schedule(cell)
    (told,) = dragged(cell, plan)
    words = drag_words([replace(told, machine=replace(told.machine, batch=2))], plan)

    assert words.startswith("m1 could make 58.1 loads of 2 an hour alone, in this cycle 35.3: it waits 40 s a load")

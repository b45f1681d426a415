"""The chart in the terminal: names in full, round seconds, the end of the cycle, who is where on a track."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Literal

import click
import pytest

from millhand.cli.schedule_axis import ticks_s
from millhand.cli.schedule_chart import axis, chart_lines, kept_words
from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.solvers.cycle.positions import rails
from millhand.solvers.cycle.simple import schedule
from tests.solvers.cycle.two_arms import two_arms

CELLS = Path("examples/cells")
LONG = "machining_centre_beside_the_door"  # as long as a name may be


def drawn(cell: Cell) -> list[str]:
    """The chart without its colours."""
    return click.unstyle("\n".join(chart_lines(schedule(cell), cell=cell))).splitlines()


def long_names(folder: Path) -> Cell:
    """An example cell whose first machine has the longest name there is."""
    text = (CELLS / "three_machines_on_a_track.json").read_text(encoding="utf-8").replace('"m1"', f'"{LONG}"')
    path = folder / "long.json"
    path.write_text(json.dumps(json.loads(text)), encoding="utf-8")
    return read_cell(path)


def test_the_longest_name_stands_in_full_and_the_lines_fit(tmp_path: Path) -> None:
    """80 columns, whatever the machines are called."""
    lines = drawn(long_names(tmp_path))

    assert any(line.startswith(f"{LONG} ") for line in lines)
    assert max(len(line) for line in lines) <= 80


def test_what_goes_on_over_the_end_of_the_cycle_has_open_edges() -> None:
    """The machines run through it, the arm does not."""
    lines = drawn(read_cell(CELLS / "three_machines_on_a_track.json"))

    assert lines[0].startswith("arm |")
    assert lines[0].endswith("|")
    assert all(line[4] == line[-1] == "~" for line in lines[1:4])


def test_ticks_are_round_seconds_and_the_end_is_written() -> None:
    """Ticks at each 20 s of 144.5 s, each below its own column."""
    ticks, words = axis(144.5, 75)

    assert [words[index : index + 3].strip() for index, mark in enumerate(ticks) if mark == "+"][:4] == [
        "0", "20", "40", "60",
    ]  # fmt: skip
    assert words.endswith("144.5 s")
    assert list(ticks_s(144.5, 8)) == [0, 20, 40, 60, 80, 100, 120, 140]


def test_two_arms_on_a_track_are_shown_where_they_are() -> None:
    """A row a place, the highest on top; the left arm waits aside at park1 while the right one is at the infeed."""
    cell, plan = two_arms()
    lines = click.unstyle("\n".join(chart_lines(plan, cell=cell))).splitlines()
    panel = lines[lines.index("On track overhead, at least 1.5 m apart: who is nearest to which place") + 1 :]
    rows = {line.split()[0]: line for line in panel[:-1]}

    assert list(rows) == ["park2", "outfeed", "p4", "p3", "p2", "p1", "infeed", "park1"]
    at = rows["infeed"].index("bbb")
    assert rows["park1"][at : at + 3] == "aaa"
    assert "A" in rows["p2"]  # carrying on its way
    assert panel[-1] == "a left  b right  (a capital: carrying; X: two nearest to one place)"


@pytest.mark.parametrize(
    ("rule", "keep_m", "said"),
    [("apart", 0.0, ""), ("apart", 1.5, ", at least 1.5 m apart"), ("order", 0.0, ", by the order of places"),
     ("order", 1.5, ", by the order of places, at least 1.5 m apart while both stand")],
)  # fmt: skip
def test_what_is_kept_on_a_track_is_said_as_it_is(rule: Literal["apart", "order"], keep_m: float, said: str) -> None:
    """Under the rule `order` the distance binds only while both stand: in motion they may be nearer."""
    cell, plan = two_arms()
    track = replace(cell.tracks["overhead"], rule=rule, keep_m=keep_m)
    (rail,) = rails(replace(cell, tracks={"overhead": track}), plan)

    assert kept_words(rail) == said


def test_one_arm_needs_no_panel() -> None:
    """Nobody can be in its way."""
    assert not any("On track" in line for line in drawn(read_cell(CELLS / "three_machines_on_a_track.json")))

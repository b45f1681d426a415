"""What is played of a run is the run: shares, levels and parts rebuilt from it are those that the engine counts."""

import math
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.model.performance import Output
from millhand.solvers.kernel.replications import Plan, simulate
from millhand.solvers.played import Played, overview, played

CELLS = Path("examples/cells")
FROM_H, HOURS = 30.0, 3.0
NAMES = (
    "reference_cell", "one_arm_two_grippers", "two_arms_on_a_track", "turn_wash_and_gauge", "two_vises_behind_one_door",
)  # fmt: skip


def both(name: str) -> tuple[Played, Output]:
    """Some hours of a cell as they are played, and as the simulation counts them without looking."""
    cell = read_cell(CELLS / f"{name}.json")
    looked = played(cell, start_s=FROM_H * 3600, end_s=(FROM_H + HOURS) * 3600, seed=3)
    counted = simulate(cell, hours=FROM_H + HOURS, replications=1, seed=3, plan=Plan(warm_up_hours=FROM_H))
    return looked, counted


def lasting(marks: Sequence[tuple[float, str | int]]) -> list[tuple[str | int, float]]:
    """What it was, and for how long."""
    ends = [*(since for since, _ in marks[1:]), HOURS * 3600]
    return [(what, until - since) for (since, what), until in zip(marks, ends, strict=True)]


@pytest.mark.parametrize("name", NAMES)
def test_shares_levels_and_parts_are_those_of_the_simulation(name: str) -> None:
    """To the step of the grid, on the way of the simulation that takes its short cuts and stops nowhere."""
    looked, counted = both(name)
    found = {
        each.name: {state: sum(t for what, t in lasting(each.states) if what == state) / (HOURS * 3600)
                    for state in {what for _, what in each.states}}
        for each in (*looked.stations, *looked.attendants) if each.states
    }  # fmt: skip
    levels = {
        each.name: sum(int(n) * t for n, t in lasting(each.parts)) / (HOURS * 3600)
        for each in looked.stations if each.name in counted.levels
    }  # fmt: skip

    assert {owner: pytest.approx(shares, abs=1e-9) for owner, shares in counted.states.items()} == found
    assert pytest.approx(counted.levels, abs=1e-6) == levels
    assert looked.out[-1][1][0] == round(counted.parts_per_h.mean * HOURS)
    assert looked.out[-1][1][1] == round(counted.good_per_h.mean * HOURS)
    assert counted.parts_per_h.mean > 0


def test_every_way_begins_where_the_last_one_ended_and_takes_the_time_of_its_table() -> None:
    """Nobody jumps; and what is in hand is there from a pick to the next setting down."""
    cell = read_cell(CELLS / "one_arm_two_grippers.json")
    done = played(cell, start_s=FROM_H * 3600, end_s=(FROM_H + HOURS) * 3600, seed=3)
    arm = next(each for each in done.attendants if each.kind == "arm")
    own = cell.attendants[arm.name]
    tables = [cell.moves[name or ""] for name in (own.moves_full, own.moves_slow)]
    picks = {float(line["t_s"]) for line in done.events if line["what"] in ("pick", "place", "swap")}

    assert len(arm.ways) > 100
    assert all(one.goal == other.start for one, other in pairwise(arm.ways) if other.goal != one.goal)
    whole = [
        one for one, other in pairwise(arm.ways)
        if one.share == 0.0 and one.until_s is not None and other.at_s >= one.until_s
    ]  # fmt: skip
    took = {round((each.until_s or 0.0) - each.at_s, 3) for each in whole}
    assert took <= {round(time, 3) for table in tables for row in table.empty_s for time in row if time is not None}
    assert {since for since, _ in arm.holds[1:]} <= picks
    assert {part for _, held in arm.holds for part in str(held)} == {"r", "b", "f"}  # a gauge follows the machine


def test_the_overview_finds_the_stops_that_the_log_tells() -> None:
    """Each stop of the played hours is among those of the whole run, and the hours have as many lines."""
    cell = read_cell(CELLS / "reference_cell.json")
    seen = overview(cell, (), hours=12, seed=3)
    done = played(cell, start_s=3600.0, end_s=12 * 3600.0, seed=3)
    fails = [float(line["t_s"]) + 3600.0 for line in done.events if line["what"] == "fails"]

    within = overview(cell, [(0.0, 3600.0), (fails[0] - 60.0, fails[0] + 60.0)], hours=12, seed=3)

    assert fails
    assert len(within.lines) == math.ceil((fails[0] + 60.0) / 3600.0)
    assert {round(each, 6) for each in fails} == {round(each, 6) for each in seen.stops_s}
    assert sum(seen.lines[1:]) == len(done.events)

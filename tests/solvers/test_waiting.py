"""How often several machines wait at once: from the log, against the tracks that are read off the same run."""

import json
from bisect import bisect_right
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.kernel.codes import LOG_ATTENDANT, LOG_STATION, PROCESS, S_WAITING, STATION_STATES
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.played import Played, played
from millhand.solvers.waiting import changes, tally_of, waited
from tests.solvers.kernel.shop import arm_cell

CELLS = Path("examples/cells")
DAY_S = 86_400.0


def cell_of(name: str) -> Cell:
    """A cell of the examples."""
    return cell_from(json.loads((CELLS / f"{name}.json").read_text(encoding="utf-8")))


@cache
def seen() -> Played:
    """A day of two mills that one operator loads."""
    return played(cell_of("one_operator_two_mills"), start_s=0.0, end_s=DAY_S, seed=3)


def at(marks: tuple[tuple[float, str | int], ...], now: float) -> str | int:
    """What it is at a moment."""
    return marks[max(0, bisect_right(marks, now, key=lambda each: each[0]) - 1)][1]


def test_the_log_counts_what_the_tracks_show() -> None:
    """Of one day: time with both machines waiting while somebody is there, over the time in which he is."""
    c = compiled(cell_of("one_operator_two_mills"))
    machines = [s for s, kind in enumerate(c.stations.kind) if kind == PROCESS]
    tally = tally_of(c, machines, round(DAY_S / c.grid_s), 3, 0)
    done = seen()
    states = [each.states for each in done.stations if each.kind == "process"]
    people = [each.states for each in done.attendants]
    times = sorted({since for track in (*states, *people) for since, _ in track} | {0.0, DAY_S})
    several = there = waiting = 0.0
    for begin, end in pairwise(times):
        count = sum(at(each, begin) == "waiting_attendant" for each in states)
        present = any(at(each, begin) not in ("off", "break") for each in people)
        running = any(at(each, begin) != "off" for each in states)
        waiting += count * (end - begin)
        there += (end - begin) * (present and running)
        several += (end - begin) * (present and running and count >= 2)
    books = sum(done.books.stations[s * len(STATION_STATES) + S_WAITING] for s in machines)

    assert several > 0.0
    assert tally.several * c.grid_s == pytest.approx(several, abs=0.01)
    assert tally.open * c.grid_s == pytest.approx(there, abs=0.01)
    assert tally.waiting == books
    assert tally.waiting * c.grid_s == pytest.approx(waiting, abs=0.01)


def test_an_arm_that_never_rests_leaves_two_of_three_waiting() -> None:
    """By hand: all three are emptied, then all three filled, 20 s of the arm for each; each works for 1 s. Two wait
    but for the second in which the one filled last works while the first is emptied: 59 of 60 s."""
    found = waited(cell_from(arm_cell(3, way_s=0.0, time_s=1.0)), weeks=1, seed=1)

    assert found is not None
    assert found.several.mean == pytest.approx(59 / 60, abs=2e-4)


def test_one_machine_has_no_other_to_wait_with() -> None:
    """Nothing is counted for it."""
    assert waited(cell_from(arm_cell(1)), weeks=1, seed=1) is None


def test_changes_come_in_the_order_of_time_and_stop_at_the_end() -> None:
    """A phase that was told ahead stands behind what happens before it; other lines are none."""
    log = [
        (5, LOG_STATION + S_WAITING, -1, 1, 0), (9, LOG_ATTENDANT + 2, 0, 0, 0), (3, LOG_STATION, -1, 0, 0),
        (4, 7, 0, 0, 0), (20, LOG_STATION, -1, 0, 0),
    ]  # fmt: skip

    assert list(changes(log, 10)) == [
        (3, "station", (0, 0)), (5, "station", (1, S_WAITING)), (9, "attendant", (0, 2)), (10, "end", (0, 0)),
    ]  # fmt: skip

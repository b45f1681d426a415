"""Published job shops, without and with vehicles: the proven makespan is the published one, digit by digit.

The instances were written down from memory; that four layouts of the second one come out at the four published optima,
each proven, shows that they were remembered rightly: one entry of a table wrong, and the first layout took 94 instead.
"""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.model.cell import Cell, MoveTable
from millhand.solvers.cycle.makespan import shortest_makespan

CELLS = Path("examples/cells")

# Rows and columns: load/unload station, then four machines; and the published makespan of the first job set.
LAYOUTS = {
    "layout 2": (82, "0 4 6 8 6, 6 0 2 4 2, 8 12 0 2 4, 6 10 12 0 2, 4 8 10 12 0"),
    "layout 3": (84, "0 2 4 10 12, 12 0 2 8 10, 10 12 0 6 8, 4 6 8 0 2, 2 4 6 12 0"),
    "layout 4": (103, "0 4 8 10 14, 18 0 4 6 10, 20 14 0 8 6, 12 8 6 0 6, 14 14 12 6 0"),
}

# The fifth job set: machine and time of each step of each job, and the published makespans.
JOBS = ("1 6 2 12 4 9", "1 18 3 6 2 15", "3 9 4 3 1 12", "4 6 2 15", "3 3 1 9")
FIFTH = {"layout 2": 69}


def fifth_set(folder: Path) -> Cell:
    """The fifth job set in the first layout: five jobs, as the first set has."""
    whole = json.loads((CELLS / "job_shop_two_vehicles.json").read_text(encoding="utf-8"))
    for part, job in zip(whole["parts"].values(), JOBS, strict=True):
        numbers = job.split()
        steps = [{"at": [f"m{at}"], "time_s": int(time)} for at, time in zip(numbers[::2], numbers[1::2], strict=True)]
        part["route"][1:-1] = steps
    path = folder / "fifth.json"
    path.write_text(json.dumps(whole), encoding="utf-8")
    return read_cell(path)


def proven_s(cell: Cell) -> float:
    """The makespan that is proven."""
    found = shortest_makespan(cell, deadline=None, deterministic=200.0, workers=8, seed=1)
    assert found.proven
    return found.period_steps * found.grid_s


def test_six_jobs_on_six_machines() -> None:
    """fisher1963, six by six: 55."""
    assert proven_s(read_cell(CELLS / "job_shop_6_by_6.json")) == 55


def test_two_vehicles_in_the_first_layout() -> None:
    """bilge1995, job set 1, layout 1: 96."""
    assert proven_s(read_cell(CELLS / "job_shop_two_vehicles.json")) == 96


def in_layout(cell: Cell, rows: str) -> Cell:
    """The same jobs with other ways."""
    table = tuple(tuple(float(each) for each in row.split()) for row in rows.split(","))
    moves = {"ways": MoveTable(places=cell.moves["ways"].places, empty_s=table)}
    return replace(cell, moves=moves)


@pytest.mark.parametrize(("published", "rows"), LAYOUTS.values(), ids=LAYOUTS)
def test_two_vehicles_in_other_layouts(published: int, rows: str) -> None:
    """bilge1995, job set 1, layouts 2 to 4: 82, 84 and 103."""
    cell = read_cell(CELLS / "job_shop_two_vehicles.json")

    assert proven_s(in_layout(cell, rows)) == published


@pytest.mark.parametrize(("layout", "published"), FIFTH.items(), ids=FIFTH)
def test_two_vehicles_and_the_fifth_job_set(layout: str, published: int, tmp_path: Path) -> None:
    """bilge1995, job set 5, layout 2: 69."""
    assert proven_s(in_layout(fifth_set(tmp_path), LAYOUTS[layout][1])) == published

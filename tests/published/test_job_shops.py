"""Published job shops, without and with vehicles: the proven makespan is the published one, digit by digit.

The instances were written down from memory; that four layouts of the second one come out at the four published optima,
each proven, shows that they were remembered rightly: one entry of a table wrong, and the first layout took 94 instead.
"""

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


def proven_s(cell: Cell) -> float:
    """The makespan that is proven."""
    found = shortest_makespan(cell, seconds=None, deterministic=200.0, workers=8, seed=1)
    assert found.proven
    return found.period_steps * found.grid_s


def test_six_jobs_on_six_machines() -> None:
    """fisher1963, six by six: 55."""
    assert proven_s(read_cell(CELLS / "job_shop_6_by_6.json")) == 55


def test_two_vehicles_in_the_first_layout() -> None:
    """bilge1995, job set 1, layout 1: 96."""
    assert proven_s(read_cell(CELLS / "job_shop_two_vehicles.json")) == 96


@pytest.mark.parametrize(("published", "rows"), LAYOUTS.values(), ids=LAYOUTS)
def test_two_vehicles_in_other_layouts(published: int, rows: str) -> None:
    """bilge1995, job set 1, layouts 2 to 4: 82, 84 and 103."""
    cell = read_cell(CELLS / "job_shop_two_vehicles.json")
    table = tuple(tuple(float(each) for each in row.split()) for row in rows.split(","))
    moves = {"ways": MoveTable(places=cell.moves["ways"].places, empty_s=table)}

    assert proven_s(replace(cell, moves=moves)) == published

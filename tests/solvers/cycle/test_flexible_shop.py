"""Jobs of unlike length at machines with alternatives, which move by themselves."""

from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.solvers.cycle.makespan import shortest_makespan


def test_jobs_of_unlike_length_share_a_queue() -> None:
    """Four jobs of two to four steps are out after 16 s, as a program that knows intervals and machines only says."""
    cell = read_cell(Path("tests/solvers/cycle/flexible_shop.json"))
    found = shortest_makespan(cell, deadline=None, deterministic=5.0, workers=1, seed=1)

    assert (found.period_steps * found.grid_s, found.proven) == (16, True)

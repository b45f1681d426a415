"""What is known of a cycle that leaves trays before machines empty, where a run may use them."""

from dataclasses import replace

from millhand.model.cell import Cell
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for, load_bounds
from millhand.solvers.cycle.kept import Kept
from millhand.solvers.cycle.trays import left_empty


def bounded_by(cell: Cell, found: Kept, unused: list[str]) -> Kept:
    """A cycle that leaves trays empty: it holds, and what the loads of the cell with its trays say is all that is known
    of others."""
    cycle = replace(found.cycle, bounds=load_bounds(cell))
    least = min(cycle.period_steps, least_for(cycle_bound_steps(cell), cell, cycle))
    proven = cycle.period_steps <= least
    known = "equals the load bound" if proven else left_empty(unused, "cycle")
    return replace(found, cycle=cycle, others=()).knowing(known, least=least, proven=proven)

"""Duties that cycles hold, as a load of whoever may do them."""

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.loads.sharing import Job
from millhand.solvers.cycle.parts_duties import has_duties
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.steady import steps


def held_jobs(cell: Cell) -> list[Job]:
    """The work of the duties that every cycle of the cell holds, in grid steps per part set; none where no cycle is
    looked for."""
    if cell.goal == "makespan" or not has_duties(cell):
        return []
    try:
        held = scope(cell).special.duties
    except NotYet:
        return []
    return [
        dict.fromkeys(cell.duties[name].who, float(often * steps(cell.duties[name].takes.mean_s, cell.grid_s)))
        for name, often in held.items()
    ]

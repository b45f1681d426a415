"""Cycles in which nothing is exchanged in one visit, where loads of several parts could be.

Whoever exchanges keeps one hand free of raw parts (rule 9 of the format), so a load for two comes in two goes. Without
an exchange all hands may bring raw parts at once. Which of the two is better depends on ways and times, so both are
looked for and the better one counts: a row for exchanges never makes a cycle longer.
"""

from collections.abc import Callable
from dataclasses import replace

from millhand.errors import Contradiction, ToolError
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for, load_bounds
from millhand.solvers.cycle.checking.validate import passed
from millhand.solvers.cycle.deadline import part
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.kept import Kept

FIRST_SHARE = 0.6  # of the time that there is, for cycles with exchanges
HOW = "without exchanges in one visit"
Search = Callable[[Cell, Effort], Kept]


def without_swaps(cell: Cell) -> Cell | None:
    """The cell without its exchanges; None where no load of several parts is exchanged, or something only by one."""
    loads = {name for name, each in cell.stations.items() if each.kind == "process" and each.batch > 1}
    swapped = [row for row in cell.handling if row.swap is not None]
    if not any(loads & set(row.at) for row in swapped):
        return None
    if any(row.pick is None or row.place is None for row in swapped):
        return None
    return replace(cell, handling=tuple(replace(row, swap=None) for row in cell.handling))


def better_of(cell: Cell, plain: Cell, search: Search, effort: Effort) -> Kept:
    """The better of the best cycle of a cell and that of the cell without exchanges."""
    first = tried(search, cell, replace(effort, deadline=part(effort.deadline, FIRST_SHARE)))
    if isinstance(first, Kept) and first.cycle.period_steps <= least_for(cycle_bound_steps(cell), cell, first.cycle):
        return first
    second = as_of(cell, tried(search, plain, effort))
    if not isinstance(second, Kept):
        return known(first, second, cell)
    if isinstance(first, Kept) and per_part(first) <= per_part(second):
        return known(first, second, cell)
    return known(second, first, cell)


def tried(search: Search, cell: Cell, effort: Effort) -> Kept | ToolError:
    """The best cycle, or why there is none."""
    try:
        return search(cell, effort)
    except ToolError as refused:
        return refused


def as_of(cell: Cell, found: Kept | ToolError) -> Kept | ToolError:
    """The cycle of the cell without exchanges as one of the cell itself, where that holds."""
    if not isinstance(found, Kept):
        return found
    cycle = replace(found.cycle, cell=content_hash(cell), bounds=load_bounds(cell))
    try:
        return replace(found, cycle=passed(cell, cycle), others=(*found.others, HOW), swaps=False)
    except ToolError as wrong:
        return wrong


def known(best: Kept | ToolError, other: Kept | ToolError, cell: Cell) -> Kept:
    """The better one, with what is proven about both kinds."""
    if not isinstance(best, Kept):
        raise best
    if isinstance(other, Contradiction):
        return best
    same = isinstance(other, Kept) and other.cycle.parts_per_period == best.cycle.parts_per_period
    theory = least_for(cycle_bound_steps(cell), cell, best.cycle)
    least = min(best.cycle.least_steps, other.cycle.least_steps if isinstance(other, Kept) and same else theory)
    if best.cycle.proven and least < best.cycle.period_steps:
        kind = HOW if best.swaps else "with exchanges in one visit"
        if isinstance(other, Kept) and other.whole:
            why = "only loads exchanged whole were looked at"
        elif same or not isinstance(other, Kept):
            why = "the search was cut off"
        else:
            why = "other periods were searched"
        return best.knowing(f"{kind} {why}", least=least)
    return replace(best, cycle=replace(best.cycle, least_steps=least))


def per_part(found: Kept) -> float:
    """Grid steps a part."""
    return found.cycle.period_steps / found.cycle.parts_per_period

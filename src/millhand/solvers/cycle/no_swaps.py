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
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for, load_bounds
from millhand.solvers.cycle.checking.validate import passed
from millhand.solvers.cycle.deadline import part
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.part_exchanges import WHOLE

FIRST_SHARE = 0.6  # of the time that there is, for cycles with exchanges
HOW = "without exchanges in one visit"
Search = Callable[[Cell, Effort], Schedule]


def without_swaps(cell: Cell) -> Cell | None:
    """The cell without its exchanges; None where no load of several parts is exchanged, or something only by one."""
    loads = {name for name, each in cell.stations.items() if each.kind == "process" and each.batch > 1}
    swapped = [row for row in cell.handling if row.swap is not None]
    if not any(loads & set(row.at) for row in swapped):
        return None
    if any(row.pick is None or row.place is None for row in swapped):
        return None
    return replace(cell, handling=tuple(replace(row, swap=None) for row in cell.handling))


def better_of(cell: Cell, plain: Cell, search: Search, effort: Effort) -> Schedule:
    """The better of the best cycle of a cell and that of the cell without exchanges."""
    first = tried(search, cell, replace(effort, deadline=part(effort.deadline, FIRST_SHARE)))
    if isinstance(first, Schedule) and first.period_steps <= least_for(cycle_bound_steps(cell), cell, first):
        return first
    second = as_of(cell, tried(search, plain, effort))
    if not isinstance(second, Schedule):
        return known(first, second, cell)
    if isinstance(first, Schedule) and per_part(first) <= per_part(second):
        return known(first, second, cell)
    return known(second, first, cell)


def tried(search: Search, cell: Cell, effort: Effort) -> Schedule | ToolError:
    """The best cycle, or why there is none."""
    try:
        return search(cell, effort)
    except ToolError as refused:
        return refused


def as_of(cell: Cell, found: Schedule | ToolError) -> Schedule | ToolError:
    """The cycle of the cell without exchanges as one of the cell itself, where that holds."""
    if not isinstance(found, Schedule):
        return found
    told = replace(found, cell=content_hash(cell), bounds=load_bounds(cell), how=f"{found.how}; {HOW}")
    try:
        return passed(cell, told)
    except ToolError as wrong:
        return wrong


def known(best: Schedule | ToolError, other: Schedule | ToolError, cell: Cell) -> Schedule:
    """The better one, with what is proven about both kinds."""
    if not isinstance(best, Schedule):
        raise best
    if isinstance(other, Contradiction):
        return best
    same = isinstance(other, Schedule) and other.parts_per_period == best.parts_per_period
    least = (
        other.least_steps if isinstance(other, Schedule) and same else least_for(cycle_bound_steps(cell), cell, best)
    )
    least = min(best.least_steps, least)
    if best.proven and least < best.period_steps:
        kind = "with exchanges in one visit" if best.how.endswith(HOW) else HOW
        if isinstance(other, Schedule) and WHOLE in other.how:
            why = "only loads exchanged whole were looked at"
        elif same or not isinstance(other, Schedule):
            why = "the search was cut off"
        else:
            why = "other periods were searched"
        return replace(best, proven=False, least_steps=least, how=f"{best.how}; {kind} {why}")
    return replace(best, least_steps=least)


def per_part(found: Schedule) -> float:
    """Grid steps a part."""
    return found.period_steps / found.parts_per_period

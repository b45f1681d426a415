"""The load bound of a cell as a function of the facts behind its slots; the share of it that phases of a lot make."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import NamedTuple

from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.slots import Paths, paths_of, scaled
from millhand.model.study import Result
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.cycle.in_turn import by_loads
from millhand.trace import Solved


class Moving(NamedTuple):
    """A cell whose slots are to follow its facts: where the slots are, and the values before."""

    cell: Cell
    paths: Paths
    behind: Mapping[str, float]


def bounds_of(cells: Mapping[str, Cell], facts: Mapping[str, Fact]) -> Solved:
    """How the load bound of each cell (by the fact id it gave) follows when the facts behind its slots change."""
    return {fact_id: partial(_bound, moving(cell, facts), facts[fact_id].value) for fact_id, cell in cells.items()}


def shares_of(results: Sequence[Result], facts: Mapping[str, Fact]) -> Solved:
    """How what the phases of a lot make of their mean follows the facts: by all load bounds anew."""
    found = {}
    for each in results:
        if each.cell is not None and each.performance is not None and each.performance.phases is not None:
            fact_id = each.performance.phases.share
            cells = [moving(cell, facts) for cell in (each.cell, *(phase.cell for phase in each.phases))]
            found[fact_id] = partial(_share, cells, facts[fact_id].value)
    return found


def moving(cell: Cell, facts: Mapping[str, Fact]) -> Moving:
    """A cell with the values of the facts behind its slots."""
    behind = {origin.fact: facts[origin.fact].value for origin in cell.origins.values()}
    return Moving(cell, paths_of(cell), behind)


def _bound(one: Moving, before: float, numbers: Mapping[str, float]) -> float:
    """The load bound of one cell after its slots follow the numbers; as before when none of them moved."""
    cell = _moved(one, numbers)
    return before if cell is one.cell else rate_bound_per_h(cell)


def _share(cells: Sequence[Moving], before: float, numbers: Mapping[str, float]) -> float:
    """The share that phases make, the mean first among the cells, after the numbers."""
    now = [_moved(each, numbers) for each in cells]
    if all(cell is each.cell for cell, each in zip(now, cells, strict=True)):
        return before
    return by_loads(now[0], now[1:])


def _moved(one: Moving, numbers: Mapping[str, float]) -> Cell:
    """A cell whose slots follow the numbers; the same one when none of them moved."""
    factors = {
        fact_id: numbers[fact_id] / value
        for fact_id, value in one.behind.items()
        if value != 0.0 and numbers[fact_id] != value
    }
    return scaled(one.cell, factors, one.paths) if factors else one.cell

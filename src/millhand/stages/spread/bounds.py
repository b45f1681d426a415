"""The load bound of a cell as a function of the facts behind its slots."""

from collections.abc import Mapping
from functools import partial
from typing import NamedTuple

from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.slots import Paths, paths_of, scaled
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.trace import Solved


def bounds_of(cells: Mapping[str, Cell], facts: Mapping[str, Fact]) -> Solved:
    """How the load bound of each cell (by the fact id it gave) follows when the facts behind its slots change."""
    return {
        fact_id: partial(_bound, Moving(cell, paths_of(cell), facts[fact_id].value, _behind(cell, facts)))
        for fact_id, cell in cells.items()
    }


def _behind(cell: Cell, facts: Mapping[str, Fact]) -> dict[str, float]:
    """The values of the facts behind the slots of a cell."""
    return {origin.fact: facts[origin.fact].value for origin in cell.origins.values()}


class Moving(NamedTuple):
    """A cell whose slots are to follow its facts: where the slots are, and the values before."""

    cell: Cell
    paths: Paths
    bound: float
    behind: Mapping[str, float]


def _bound(moving: Moving, numbers: Mapping[str, float]) -> float:
    """The load bound of one cell after its slots follow the numbers; as before when none of them moved."""
    factors = {
        fact_id: numbers[fact_id] / value
        for fact_id, value in moving.behind.items()
        if value != 0.0 and numbers[fact_id] != value
    }
    return rate_bound_per_h(scaled(moving.cell, factors, moving.paths)) if factors else moving.bound

"""A lot that goes through the same machines several times: its phases one after the other, beside the mean of them.

As many loads are made in each phase, so n loads take the sum of a load's times over the n phases. A cell with the mean
of their times is never slower than that: the largest of means is at most the mean of the largest.
"""

from collections.abc import Sequence
from math import fsum

from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import rate_bound_per_h

ROUNDED = 1e-4  # nearer to one, a share is what the grid of the cells leaves of one


def in_turn(mean: Cell, cycle: Schedule | None, phases: Sequence[tuple[Cell, Schedule | None]]) -> float:
    """What the phases make of the loads that the cell of their mean makes, at the most: by load bounds, and by the best
    cycles where all have one; the smaller share."""
    shares = [by_loads(mean, [each for each, _ in phases]), by_cycles(cycle, [each for _, each in phases])]
    least = min(shares)
    return 1.0 if least > 1.0 - ROUNDED else least


def by_loads(mean: Cell, phases: Sequence[Cell]) -> float:
    """Loads an hour that the bounds of the phases let through one after the other, against the bound of the mean."""
    return len(phases) / fsum(1.0 / rate_bound_per_h(each) for each in phases) / rate_bound_per_h(mean)


def by_cycles(mean: Schedule | None, phases: Sequence[Schedule | None]) -> float:
    """The same of the best cycles; one where a cycle is missing."""
    times = [load_s(each) for each in phases if each is not None]
    if mean is None or len(times) < len(phases):
        return 1.0
    return len(times) * load_s(mean) / fsum(times)


def load_s(cycle: Schedule) -> float:
    """Time of a load in a cycle."""
    return cycle.period_steps * cycle.grid_s / cycle.parts_per_period

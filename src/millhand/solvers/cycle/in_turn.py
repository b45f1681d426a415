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


def by_loads(mean: Cell, phases: Sequence[Cell]) -> float:
    """Loads an hour that the bounds of the phases let through one after the other, against the bound of the mean."""
    share = len(phases) / fsum(1.0 / rate_bound_per_h(each) for each in phases) / rate_bound_per_h(mean)
    return 1.0 if share > 1.0 - ROUNDED else share


def by_cycles(mean: Schedule, phases: Sequence[Schedule]) -> float:
    """The same of best cycles."""
    share = len(phases) * load_s(mean) / fsum(load_s(each) for each in phases)
    return 1.0 if share > 1.0 - ROUNDED else share


def load_s(cycle: Schedule) -> float:
    """Time of a load in a cycle."""
    return cycle.period_steps * cycle.grid_s / cycle.parts_per_period

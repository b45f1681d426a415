"""The phases of a lot that goes through the same machines several times: a cell of each, and what they come to."""

from dataclasses import dataclass

from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.model.timing import Timing


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseCell:
    """A concept while all of a lot is in one of its operations: `name` also names the file of its cell."""

    name: str
    operation: str
    timing: Timing
    cell: Cell
    schedule: Schedule | None = None  # None too where no cycle can be found for the cell


@dataclass(frozen=True, slots=True, kw_only=True)
class PhasePace:
    """What one phase comes to, as fact ids."""

    operation: str
    bound: str  # loads an hour at its load bound
    cycle: str | None  # time of a load in its best cycle; None where none was found
    pace_setters: tuple[str, ...]  # which resource sets the pace, then one within 5 % of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Phases:
    """All phases of a concept beside the mean of them, as fact ids."""

    each: tuple[PhasePace, ...]
    mean_bound: str  # loads an hour that the load bound of the mean would claim
    mean_cycle: str | None  # time of a load in the best cycle of the mean; None where none was found
    share: str  # what the load bounds of the phases, one after the other, leave of that of the mean
    left: str | None  # the same of the best cycles; None where one was not found

"""The best cycle on a shared track: the visits are chosen first, then their motions, and again while that costs.

The model of the visits knows of the track only what holds for any motions, so its best period is a lower bound. Where
the motions for its tours reach that period, the cycle is proven. Otherwise these tours in this order are left out and
the next best are tried. What is left out is no proof, because motions are not searched without end; so the bound
stays that of the first search.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from millhand.solvers.cycle.rails.rail_motions import Allowance
from millhand.solvers.cycle.rails.rail_search import motions
from millhand.solvers.cycle.rails.rail_tours import Asked, Timed

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar

VISITS_SHARE = 0.6  # of what is left, for one search for visits: their motions need something, too


@dataclass(frozen=True, slots=True, kw_only=True)
class Visits:
    """A model of the visits that minimizes its period, what has been chosen when all of `choices` are known, and how
    a solution is read as tours that need motions; their floor is the period of the solution."""

    model: "CpModel"
    period: "IntVar"
    choices: "Sequence[IntVar]"
    asked: "Callable[[CpSolver], Asked]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """The best that was found: tours, motions, and the least period that any cycle could have."""

    asked: Asked
    timed: Timed
    least_steps: int

    @property
    def proven(self) -> bool:
        """Whether no cycle of this kind is shorter."""
        return self.timed.period_steps <= self.least_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What a search gave: the best round if any, the least period that is not ruled out, None where all are."""

    best: Round | None
    least_steps: int | None


def best_round(visits: Visits, allowance: Allowance) -> Round | None:
    """The best cycle with all its motions; None where none was found in the time."""
    return tried_rounds(visits, allowance, least_steps=0).best


def tried_rounds(visits: Visits, allowance: Allowance, *, least_steps: int) -> Tried:
    """The same with what is known besides; no period is below `least_steps`."""
    first, least, best = True, least_steps, None
    while not allowance.spent:
        ran = allowance.solved_or_not(visits.model, allowance.work * VISITS_SHARE, VISITS_SHARE)
        if first:
            if ran.impossible:
                return Tried(best=None, least_steps=None)
            first, least = False, max(least, ran.least)
        solver = ran.solver
        if solver is None:
            break
        asked = visits.asked(solver)
        timed = motions(asked, allowance, below=best.timed.period_steps if best else None)
        if timed is not None:
            best = Round(asked=asked, timed=timed, least_steps=least)
            visits.model.add(visits.period <= timed.period_steps - 1)
        if best is not None and best.proven:
            break
        visits.model.add_bool_or([~each if solver.value(each) else each for each in visits.choices])
    return Tried(best=best, least_steps=least)

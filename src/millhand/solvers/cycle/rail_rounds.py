"""The best cycle on a shared track: the visits are chosen first, then their motions, and again while that costs.

The model of the visits knows of the track only what holds for any motions, so its best period is a lower bound. Where
the motions for its tours reach that period, the cycle is proven. Otherwise these tours in this order are left out and
the next best are tried. What is left out is no proof, because motions are not searched without end; so the bound
stays that of the first search.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from millhand.solvers.cycle.rail_motions import Allowance
from millhand.solvers.cycle.rail_search import motions
from millhand.solvers.cycle.rail_tours import Asked, Timed

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar


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


def best_round(visits: Visits, allowance: Allowance) -> Round | None:
    """The best cycle with all its motions; None where none was found in the time."""
    least: int | None = None
    best: Round | None = None
    while not allowance.spent:
        solver = allowance.solved(visits.model, allowance.work)
        if solver is None:
            break
        if least is None:
            least = round(solver.best_objective_bound)
        asked = visits.asked(solver)
        timed = motions(asked, allowance, below=best.timed.period_steps if best else None)
        if timed is not None:
            best = Round(asked=asked, timed=timed, least_steps=least)
            visits.model.add(visits.period <= timed.period_steps - 1)
        if best is not None and best.proven:
            break
        visits.model.add_bool_or([~each if solver.value(each) else each for each in visits.choices])
    return best

"""What if one figure were another: payback and worth of the concept that is looked at, at once and by simulation.

At once, the map of facts is worked out again with what the simulation gave as it was. By simulation, the cell and today
are run for some weeks as they would be then, and the figures move by the ratio to their own cells in the same weeks.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from millhand.maps import WEEKS, Base, Pair, is_simulated, moved, runs_of
from millhand.model.fact import Fact
from millhand.model.study import Result
from millhand.solvers.kernel.varied import Variants
from millhand.stages.maps import Point
from millhand.stages.spread import factors, origins
from millhand.trace import needed, recomputed, steps

MOST = 12  # figures that can be moved
BEYOND = 0.5  # of the way from the value to each end of its range, beyond that end
HALF = 0.5  # down and up, of a figure without a range


@dataclass(frozen=True, slots=True, kw_only=True)
class Lever:
    """A figure that can be moved, and between which values, in the unit of its fact."""

    fact: Fact
    low: float
    high: float


def levers(base: Base) -> tuple[Lever, ...]:
    """Wage, price, orders, what a part leaves, machining time, then what moves the payback most; each a little beyond
    its range."""
    able = {step.id for step in base.again.each} | set(_behind_cells(base))
    assert base.result.estimate is not None
    wanted = [base.inquiry.people.wage_per_h.id, base.result.estimate.installed]
    for part in base.inquiry.parts[:1]:
        told = (part.orders_per_y, part.contribution_per_part, *(each.time_s for each in part.operations[:1]))
        wanted += [fact.id for fact in told if fact is not None]
    wanted += [each.fact for each in base.done.decision.drivers]
    facts = [base.done.facts[name] for name in dict.fromkeys(wanted) if name in able and name in base.done.facts]
    return tuple(_lever(fact) for fact in facts if fact.value > 0.0)[:MOST]


def _lever(fact: Fact) -> Lever:
    """How far a figure can be moved; shares stay shares."""
    value, low, high = fact.value, fact.low, fact.high
    if low is None or high is None or not low < high:
        low, high = value * (1.0 - HALF), value * (1.0 + HALF)
    low, high = max(low - BEYOND * (value - low), 0.0), high + BEYOND * (high - value)
    is_share = fact.unit == "1" and 0.0 < value <= 1.0 and high <= 1.5
    return Lever(fact=fact, low=min(low, value), high=max(min(high, 1.0) if is_share else high, value))


def at_once(base: Base, changes: Mapping[str, float]) -> Point:
    """Payback and worth with some facts changed, and all that was simulated as it was."""
    return base.at(changes, {})


def simulated(base: Base, changes: Mapping[str, float]) -> Point | None:
    """The same with today and the concept run anew; None where one of them cannot be run then."""
    pairs: dict[str, Pair] = {}
    for result in (base.today, base.result):
        if not is_simulated(result):
            continue
        own = _factors(base, result, changes)
        if own:
            assert result.cell is not None
            task = Variants(cell=result.cell, factors=({}, own), seed=1, weeks=WEEKS)
            before, after = runs_of(base, "what if", [task])[0]
            pairs[result.concept.id] = (before, after)
    return moved(base, changes, pairs)


def _factors(base: Base, result: Result, changes: Mapping[str, float]) -> dict[str, float]:
    """How the numbers of a cell move with the facts behind them; empty where none does."""
    assert result.cell is not None
    behind = steps(needed(base.done.facts, origins(result.cell)))
    found = factors(result.cell, base.done.facts, recomputed(behind, changes, {}))
    return {name: factor for name, factor in found.items() if factor != 1.0}


def _behind_cells(base: Base) -> Iterator[str]:
    """The facts that the cells of today and of the concept rest on."""
    for result in (base.today, base.result):
        if is_simulated(result) and result.cell is not None:
            yield from needed(base.done.facts, origins(result.cell))

"""The simulation in the draws: every simulated cell again with its numbers scaled, in the same weeks each time.

Where a draw was simulated its own figures are taken; elsewhere (other draws, an end of a range, a turning point) a
response that was fitted to those that were. Both move what the study's long simulation found: by the ratio of the short
run to a short run of the unchanged cell in the same weeks.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple, Protocol

import numpy as np

from millhand.model.cell import Cell
from millhand.model.fact import Fact
from millhand.model.slots import Paths, paths_of, scaled
from millhand.model.study import Result
from millhand.solvers.cycle.bounds import long_run_loads, per_hour
from millhand.solvers.kernel.varied import Rates, Variants
from millhand.solvers.knowing.response import Response, response
from millhand.stages.spread.draws import draws, uncertain
from millhand.stages.spread.worlds import Asked
from millhand.trace import Solved, needed, recomputed, steps

Numbers = Mapping[str, float]
Count = Callable[[Rates], float]
ABSENCE = "absence_"  # so begin the duties that stand for somebody who did not come
Short = tuple[Variants, Sequence[Rates | None]]  # the short runs of one cell
COUNTS: Mapping[str, Count] = {  # what a short run counts, by name
    "attended": lambda rates: rates.attended_per_h,
    "parts": lambda rates: rates.parts_per_h,
    "unattended": lambda rates: rates.unattended_per_h,
    "duties": lambda rates: sum(share for name, share in rates.duties.items() if not name.startswith(ABSENCE)),
    "walking": lambda rates: rates.walking,
    "late": lambda rates: rates.late_per_h,
}
FOLLOWS = {  # what a count follows but for its response; nothing: it stays where there is no response
    "attended": "bound", "parts": "bound", "unattended": "", "duties": "parts", "walking": "parts", "late": "parts",
}  # fmt: skip
COVERED = "covered"  # hours with somebody there: a share of the load bound is counted in them
FEWEST = 16  # simulated draws below which no response can be fitted


def simulated(results: Sequence[Result]) -> tuple[Result, ...]:
    """The results whose cells were simulated."""
    return tuple(each for each in results if each.cell and each.performance and each.performance.output)


def variants(results: Sequence[Result], facts: Mapping[str, Fact], asked: Asked) -> tuple[Variants, ...]:
    """One task a simulated cell: the cell as it is, then as it is in the first draws."""
    cells = [each.cell for each in simulated(results) if each.cell]
    behind = sorted({fact_id for cell in cells for fact_id in origins(cell)})
    part = needed(facts, behind)
    again = steps(part)
    rows = draws(uncertain(part), count=asked.count, seed=asked.seed, together=asked.together)[: asked.resimulated]
    worlds = [recomputed(again, row, {}) for row in rows]
    return tuple(
        Variants(
            cell=cell,
            factors=({}, *(factors(cell, facts, world) for world in worlds)),
            seed=asked.seed,
            weeks=asked.weeks,
        )
        for cell in cells
    )


def origins(cell: Cell) -> tuple[str, ...]:
    """The facts behind the slots of a cell."""
    return tuple(sorted({origin.fact for origin in cell.origins.values()}))


def factors(cell: Cell, facts: Mapping[str, Fact], numbers: Numbers) -> dict[str, float]:
    """By which factor each fact behind a cell has moved; a fact of nought moves nothing."""
    moved = ((fact_id, facts[fact_id].value) for fact_id in origins(cell))
    return {fact_id: numbers[fact_id] / value for fact_id, value in moved if value and numbers[fact_id] != value}


@dataclass(frozen=True, slots=True, kw_only=True)
class Follower:
    """How one cell's figures follow the facts behind it: simulated draws by their factors, and what was fitted."""

    cell: Cell
    paths: Paths
    behind: Mapping[str, float]  # fact id: its value in the study
    loads: tuple[float, ...]  # of the unchanged cell
    bound: float
    base: Mapping[str, float]  # the short run of the unchanged cell
    known: Mapping[tuple[float, ...], Rates]
    fitted: Mapping[str, Response]
    last: dict[tuple[float, ...], dict[str, float]] = field(default_factory=dict)  # the place that was asked for last

    def ratios(self, numbers: Numbers) -> Mapping[str, float]:
        """Every count against that of the unchanged cell, and the load bound; asked for several times a draw."""
        key = tuple(
            numbers[fact_id] / value if value and numbers[fact_id] != value else 1.0
            for fact_id, value in self.behind.items()
        )
        if key not in self.last:
            self.last.clear()
            self.last[key] = self._ratios(key)
        return self.last[key]

    def _ratios(self, key: tuple[float, ...]) -> dict[str, float]:
        """The same for the factors of the facts behind the cell: simulated, or fitted."""
        moved = {fact_id: factor for fact_id, factor in zip(self.behind, key, strict=True) if factor != 1.0}
        if not moved:
            return {"bound": 1.0, **dict.fromkeys(self.base, 1.0)}
        if key in self.known:
            rates = self.known[key]
            return {"bound": rates.bound_per_h / self.bound, **self.counted(rates)}
        cell = scaled(self.cell, moved, self.paths)
        needs = long_run_loads(cell)
        at = self.logarithms(moved, tuple(each.time for each in needs))
        ratios = {"bound": per_hour(cell, needs) / self.bound}
        for name, follows in FOLLOWS.items():
            if name in self.base and (follows in ratios or name in self.fitted):
                factor = self.fitted[name].factor(at) if name in self.fitted else 1.0
                ratios[name] = factor * ratios.get(follows, 1.0)
        return ratios

    def counted(self, rates: Rates) -> dict[str, float]:
        """What a short run counted, against that of the unchanged cell."""
        return {name: COUNTS[name](rates) / base for name, base in self.base.items()}

    def logarithms(self, moved: Numbers, loads: tuple[float, ...]) -> tuple[float, ...]:
        """What a response is asked for: facts and loads against those of the unchanged cell."""
        facts = tuple(logarithm(moved.get(fact_id, 1.0)) for fact_id in self.behind)
        return (*facts, *(logarithm(now / before) for now, before in zip(loads, self.loads, strict=True)))


def logarithm(factor: float) -> float:
    """Of a factor; of one that is nothing or turned its sign, as if nothing had moved."""
    return math.log(factor) if factor > 0.0 else 0.0


def follower(task: Variants, rates: Sequence[Rates | None], facts: Mapping[str, Fact]) -> Follower | None:
    """How a cell follows, from its short runs; None where even the unchanged one cannot be run in them."""
    first, *others = rates
    if first is None or first.bound_per_h <= 0.0:
        return None
    behind = {fact_id: facts[fact_id].value for fact_id in origins(task.cell)}
    base = {name: count(first) for name, count in COUNTS.items() if count(first) > 0.0}
    plain = Follower(
        cell=task.cell, paths=paths_of(task.cell), behind=behind, loads=first.loads, bound=first.bound_per_h,
        base=base, known={}, fitted={},
    )  # fmt: skip
    runs = [(moved, each) for moved, each in zip(task.factors[1:], others, strict=True) if each is not None]
    return replace(
        plain,
        known={tuple(moved.get(fact_id, 1.0) for fact_id in behind): each for moved, each in runs},
        fitted=dict(_fitted(plain, runs)) if len(runs) >= FEWEST else {},
        last={},
    )


def _fitted(plain: Follower, runs: Sequence[tuple[Numbers, Rates]]) -> Iterator[tuple[str, Response]]:
    """A response for each count that moves otherwise than what it follows."""
    numbers = np.array([plain.logarithms(moved, rates.loads) for moved, rates in runs])
    ratios = [{"bound": rates.bound_per_h / plain.bound} | plain.counted(rates) for _, rates in runs]
    for name, follows in FOLLOWS.items():
        if name in plain.base:
            figure = np.array([logarithm(each[name]) - logarithm(each.get(follows, 1.0)) for each in ratios])
            found = response(figure, numbers)
            if found.terms or follows == "bound":  # of output the error is told where there is no response too
                yield name, found


class Ratios(Protocol):
    """What says by how much each count of a cell has moved."""

    def ratios(self, numbers: Numbers) -> Mapping[str, float]:
        """Every count against that of the unchanged cell, and the load bound."""


class Told(NamedTuple):
    """The ratios of another cell that stands in the place of the first, whatever the numbers."""

    counts: Mapping[str, float]

    def ratios(self, _: Numbers) -> Mapping[str, float]:
        """As told."""
        return self.counts


@dataclass(frozen=True, slots=True, kw_only=True)
class Figured:
    """One figure of a performance that a simulation gave, and the count that it follows."""

    follower: Ratios
    value: float
    count: str
    of_bound: bool = False  # a share of the load bound, which moves too
    expected: str = ""  # fact id of what it is a factor on, which moves too
    expected_value: float = 0.0

    def after(self, numbers: Numbers) -> float:
        """The figure once the facts behind its cell have moved."""
        ratios = self.follower.ratios(numbers)
        if self.count not in ratios:
            return self.value
        moved = self.value * ratios[self.count]
        if self.of_bound:
            return moved / (ratios["bound"] * ratios.get(COVERED, 1.0)) if ratios["bound"] else 0.0
        now = numbers.get(self.expected, self.expected_value)
        return moved * self.expected_value / now if self.expected_value and now > 0.0 else moved


FIGURES: Mapping[str, str] = {  # figure of a performance: the count that it follows
    "bound_loads_per_h": "bound",
    "achieved": "attended",
    "achieved_outside_breaks": "attended",
    "loads_per_h": "parts",
    "duty_share": "duties",
    "walking_share": "walking",
    "late_per_h": "late",
    "alone_factor": "unattended",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """How the figures of the study follow its facts: by fact id; in how many draws cells were simulated again, and the
    largest error of a response in output, as a share; None where nothing was simulated again."""

    solved: Solved
    runs: int = 0
    error: float | None = None


def followed(bounds: Solved, results: Sequence[Result], facts: Mapping[str, Fact], short: Sequence[Short]) -> Followed:
    """The load bounds, and for each simulated concept all that its simulation gave."""
    solved: dict[str, Callable[[Numbers], float]] = dict(bounds)
    errors = []
    for result, (task, rates) in zip(simulated(results), short, strict=True):
        one = follower(task, rates, facts)
        if one is not None:
            solved |= {figure: each.after for figure, each in _figured(result, one, facts)}
            errors += [each.error for name, each in one.fitted.items() if name in ("parts", "attended")]
    runs = max((len(task.factors) - 1 for task, _ in short), default=0)
    return Followed(solved=solved, runs=runs, error=max(errors, default=None))


def elsewhere(
    result: Result, facts: Mapping[str, Fact], before: Rates, after: Rates, *, covered: float = 1.0
) -> Solved:
    """The figures of one concept's performance once another cell stands in the place of its own: by the ratio of a
    short run of the one to a short run of the other. covered: hours with somebody there, against those before."""
    counted = {name: count(after) / count(before) for name, count in COUNTS.items() if count(before) > 0.0}
    told = Told({"bound": after.bound_per_h / before.bound_per_h, COVERED: covered, **counted})
    return {figure: each.after for figure, each in _figured(result, told, facts)}


def _figured(result: Result, one: Ratios, facts: Mapping[str, Fact]) -> Iterator[tuple[str, Figured]]:
    """The figures of one concept's performance that follow its cell."""
    at = f"concepts.{result.concept.id}.performance."
    by_hand = result.concept.kind != "cell"  # a part that comes out just after people went home is theirs
    alone = facts.get(f"{at}expected_loads_alone")
    for name, count in FIGURES.items():
        if at + name in facts:
            yield (
                at + name,
                Figured(
                    follower=one,
                    value=facts[at + name].value,
                    count="parts" if by_hand and count == "attended" else count,
                    of_bound=name.startswith("achieved"),
                    expected=alone.id if alone and name == "alone_factor" else "",
                    expected_value=alone.value if alone and name == "alone_factor" else 0.0,
                ),
            )

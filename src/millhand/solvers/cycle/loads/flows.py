"""How often the parts of one minimal set visit each step of their routes, and pass from step to step, on average."""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from math import lcm, prod

from millhand.model.cell import Cell, Step
from millhand.solvers.cycle.chains import rhythm_of
from millhand.solvers.cycle.loads.fates import going_on, spoilt_by_clock

LONGEST_PATTERN = 600  # parts counted through one by one; above, steps by samples are taken as independent

Hop = tuple[str, int, int]  # part, from step, to step


@dataclass(frozen=True, slots=True, kw_only=True)
class Flows:
    """Visits of each step and hops between steps per minimal part set."""

    visits: Mapping[tuple[str, int], float]
    hops: Mapping[Hop, float]

    def going_on(self, part: str, index: int) -> float:
        """The share of the parts that come to a step which go on from it."""
        out = [times for (name, start, _), times in self.hops.items() if (name, start) == (part, index)]
        came = self.visits.get((part, index), 0.0)
        return min(1.0, sum(out) / came) if out and came else 1.0


def flows(cell: Cell, part_set: Mapping[str, float], *, plain: bool, period_s: float = 0.0) -> Flows:
    """The mean flow of one part set, behind checks and spoiling stops the least. `plain`: every part is good, goes to
    its end, and skips what only each n-th part visits. `period_s`: how long a set takes, for stops by the clock."""
    visits: defaultdict[tuple[str, int], float] = defaultdict(float)
    hops: defaultdict[Hop, float] = defaultdict(float)
    for part, count in part_set.items():
        route = cell.parts[part].route
        for path, share in paths(route, plain=plain).items():
            left, bad, before = count * share, 0.0, -1
            for step in path:
                if before >= 0:
                    hops[part, before, step] += left
                visits[part, step] += left
                bad = 1 - (1 - bad) * route[step].good
                if not plain:
                    left = left * going_on(cell, part, step, bad) - spoilt_by_clock(cell, route[step], period_s)
                    left = max(0.0, left)
                    bad = 0.0 if route[step].on_bad else bad
                before = step
    return Flows(visits=visits, hops=hops)


def paths(route: tuple[Step, ...], *, plain: bool) -> dict[tuple[int, ...], float]:
    """The ways through a route and the share of parts that take each."""
    each = [rhythm_of(route, index) for index in range(len(route))]
    rhythms = sorted({*each} - {1})
    if plain or not rhythms:
        return {tuple(index for index, every in enumerate(each) if every == 1): 1.0}
    whole = lcm(*rhythms)
    if whole <= LONGEST_PATTERN:
        counted = Counter(
            tuple(index for index, every in enumerate(each) if number % every == 0) for number in range(1, whole + 1)
        )
        return {path: times / whole for path, times in counted.items()}
    found: dict[tuple[int, ...], float] = {}
    for taken in product((False, True), repeat=len(rhythms)):
        visited = {1, *(rhythm for rhythm, take in zip(rhythms, taken, strict=True) if take)}
        path = tuple(index for index, every in enumerate(each) if every in visited)
        share = prod((1 / n if take else 1 - 1 / n) for n, take in zip(rhythms, taken, strict=True))
        found[path] = found.get(path, 0.0) + share
    return found


def good_share(cell: Cell, part_set: Mapping[str, float]) -> float:
    """The share of the parts started that end as good ones, over the mix."""
    goods = [count * prod(step.good for step in cell.parts[part].route) for part, count in part_set.items()]
    return sum(goods) / sum(part_set.values()) if goods else 1.0

"""The choice of the best concept, replication by replication, with a guarantee under common random numbers.

Kim and Nelson, A fully sequential procedure for indifference-zone selection in simulation, 2001 (kimnelson2001), with
its constant c = 1. A concept is left out as soon as its sum falls behind another's by more than a bound that narrows
with every replication and closes in the end, so a choice is always made. Where the best concept is better than every
other by the indifference zone or more, it is chosen with the stated chance, for normal values, whatever hangs together.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import variance
from typing import Literal

from millhand.formulas.statistics import kim_nelson_eta

# (concepts, first, count): for each of them the values of replications first, first + 1, ...; greater is better
RunConcepts = Callable[[Sequence[str], int, int], Mapping[str, Sequence[float]]]
Pairs = Mapping[tuple[str, str], float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What a selection is to find: a difference that matters, the chance to find it, and how far to go for it."""

    indifference: float  # a lead below this does not matter
    level: float = 0.95
    least: int = 10  # replications of each concept from which the spread of the differences is taken
    most: int = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Selection:
    """Where a selection ended: the chosen concept, those never left out, and what was run."""

    best: str
    left: tuple[str, ...]  # a best one that leads by the zone is among these; one only unless `most` ended it
    means: Mapping[str, float]  # at the concept's last replication
    replications: Mapping[str, int]  # looked at
    chance: float
    ended_by: Literal["selection", "most"]


def select_best(run: RunConcepts, *, names: Sequence[str], aim: Aim) -> Selection:
    """Run concepts, fewer and fewer of them, until one is left or `most` replications are done.

    Values come in batches of `least`, and are looked at one replication after the other, as the procedure has it.
    """
    if len(names) < 2 or not 2 <= aim.least <= aim.most or aim.indifference <= 0.0:
        raise ValueError("it takes two concepts, 2 <= least <= most, and an indifference zone above nothing")
    batch = run(names, 0, aim.least)
    closes = _closes(batch, aim)
    sums = {name: math.fsum(batch[name]) for name in names}
    seen = dict.fromkeys(names, aim.least)
    left, r = _screened(names, sums, closes, r=aim.least, aim=aim), aim.least
    while _open(left, closes, r=r) and r < aim.most:
        if r % aim.least == 0:
            batch = run(left, r, min(aim.least, aim.most - r))
        for name in left:
            sums[name] += batch[name][r % aim.least]
            seen[name] = r + 1
        r += 1
        left = _screened(left, sums, closes, r=r, aim=aim)
    best = max(left, key=sums.__getitem__)  # of equal ones the first
    undecided = _open(left, closes, r=r)
    return Selection(
        best=best,
        left=tuple(left) if undecided else (best,),
        means={name: sums[name] / seen[name] for name in names},
        replications=seen,
        chance=aim.level,
        ended_by="most" if undecided else "selection",
    )


def _closes(first: Mapping[str, Sequence[float]], aim: Aim) -> Pairs:
    """For each pair the replications at which its bound closes: h^2 S^2 / zone^2, S^2 of the paired differences."""
    eta = kim_nelson_eta(len(first), replications=aim.least, error_share=1.0 - aim.level)
    h2 = 2.0 * eta * (aim.least - 1)
    found: dict[tuple[str, str], float] = {}
    for a, b in combinations(first, 2):
        spread = variance([x - y for x, y in zip(first[a], first[b], strict=True)])
        found[a, b] = found[b, a] = h2 * spread / aim.indifference**2
    return found


def _screened(left: Sequence[str], sums: Mapping[str, float], closes: Pairs, *, r: int, aim: Aim) -> list[str]:
    """Those whose sum is behind nobody's by more than the bound, zone / 2 for each replication until it closes."""

    def bound(a: str, b: str) -> float:
        return max(0.0, aim.indifference / 2.0 * (closes[a, b] - r))

    return [a for a in left if all(sums[a] >= sums[b] - bound(a, b) for b in left if b != a)]


def _open(left: Sequence[str], closes: Pairs, *, r: int) -> bool:
    """True while two are left whose bound has not closed."""
    return any(r <= closes[pair] for pair in combinations(left, 2))

"""Several cells under common random numbers: each against the first, and which is best and how surely."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from millhand.model.performance import Figure
from millhand.solvers.output.comparison import common_numbers_gain, paired_difference
from millhand.solvers.output.ranking import Standing, standing
from millhand.solvers.output.runs import Runs, good_per_h, more
from millhand.solvers.output.selection import Aim, Selection, select_best

ZONE = 0.01  # a lead below this share of the greatest mean does not matter, where no other is asked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """One cell less the first, in good parts an hour."""

    difference: Figure
    pairs: int  # replications that both did
    gain: float | None  # so many times as many replications independent runs would have taken; None: without end


@dataclass(frozen=True, slots=True, kw_only=True)
class Contest:
    """All cells against the first; and the best one, by ranking after a number of replications or by selection."""

    first: str
    against_first: Mapping[str, Against]
    zone: float  # a lead below this share of the greatest mean is taken not to matter
    indifference: float  # the same in good parts an hour
    standing: Standing | None
    selection: Selection | None


def ranked(runs: Mapping[str, Runs], *, count: int) -> Contest:
    """`count` replications of each cell, two or more, and what they say."""
    for each in runs.values():
        more(each, count)
    values = {name: good_per_h(each) for name, each in runs.items()}
    indifference = ZONE * greatest_mean(values)
    return Contest(
        first=next(iter(runs)),
        against_first=against_first(values),
        zone=ZONE,
        indifference=indifference,
        standing=standing(values, indifference=indifference),
        selection=None,
    )


def selected(runs: Mapping[str, Runs], *, zone: float, least: int, most: int) -> Contest:
    """Replications until one cell is left, fewer and fewer of the others; `zone` is a share of the greatest mean.

    The mean is that of the first `least` replications, which the procedure takes for the spread anyway.
    """
    first = {name: more(each, least) for name, each in runs.items()}
    indifference = zone * greatest_mean(first)

    def run(names: Sequence[str], start: int, count: int) -> Mapping[str, Sequence[float]]:
        if start == 0:
            return {name: first[name][:count] for name in names}
        return {name: more(runs[name], count) for name in names}

    found = None
    if indifference > 0.0:
        aim = Aim(indifference=indifference, least=least, most=most)
        found = select_best(run, names=list(runs), aim=aim)
    values = {name: good_per_h(each) for name, each in runs.items()}
    return Contest(
        first=next(iter(runs)),
        against_first=against_first(values),
        zone=zone,
        indifference=indifference,
        standing=None,
        selection=found,
    )


def greatest_mean(values: Mapping[str, Sequence[float]]) -> float:
    """The greatest of the cells' means."""
    return max(math.fsum(own) / len(own) for own in values.values())


def against_first(values: Mapping[str, Sequence[float]]) -> Mapping[str, Against]:
    """Each other cell less the first, replication by replication as far as both went."""
    first, *others = values
    found = {}
    for name in others:
        pairs = min(len(values[name]), len(values[first]))
        a, b = values[name][:pairs], values[first][:pairs]
        gain = common_numbers_gain(a, b)
        found[name] = Against(
            difference=paired_difference(a, b), pairs=pairs, gain=gain if math.isfinite(gain) else None
        )
    return found

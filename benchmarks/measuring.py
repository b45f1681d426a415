"""How figures are measured: pairs in turn, medians with their intervals, lines, gates."""

import math
import os
import statistics
import subprocess
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """What a figure must reach: at least `least` or at most `most`; an aim and a stretch beyond it are only told."""

    least: float | None = None
    most: float | None = None
    aim: float | None = None
    stretch: float | None = None

    def met(self, value: float) -> bool:
        """True where the value is as the gate asks."""
        return (self.least is None or value >= self.least) and (self.most is None or value <= self.most)

    def words(self, value: float) -> str:
        """The gate, the aims beyond it and whether each is met."""
        ends = [("at least", self.least), ("at most", self.most)]
        asked = " and ".join(f"{word} {level:g}" for word, level in ends if level is not None)
        beyond = [("aim", self.aim), ("stretch", self.stretch)]
        told = [f"gate {asked}: {'met' if self.met(value) else 'MISSED'}"]
        told += [
            f"{name} {level}: {'met' if value >= level else 'not yet'}" for name, level in beyond if level is not None
        ]
        return ", ".join(told)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One figure; low and high hold the median of the rounds 95 times in 100, and are None for what has no rounds."""

    figure: str
    value: float
    low: float | None = None
    high: float | None = None
    unit: str
    rounds: int
    gate: Gate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two numbers to be measured in turn, seconds or rates; the figure is the first one over the second one."""

    ours: Callable[[], float]
    other: Callable[[], float]


def seconds_of(work: Callable[[], object]) -> Callable[[], float]:
    """Wall-clock time of one piece of work, as one side of a pair."""

    def run() -> float:
        start = time.perf_counter()
        work()
        return time.perf_counter() - start

    return run


def process(*words: str) -> Callable[[], None]:
    """A whole process, from its start to its end, with its output thrown away."""

    def run() -> None:
        subprocess.run(words, check=True, stdout=subprocess.DEVNULL)

    return run


def paired_ratios(pair: Pair, *, rounds: int) -> list[float]:
    """One ratio a round, after one round that only warms up; who goes first changes from round to round."""
    pair.ours()
    pair.other()
    return [ratio_of(pair, turn=turn) for turn in range(rounds)]


def ratio_of(pair: Pair, *, turn: int) -> float:
    """The ratio of one round; the number of the round says who goes first."""
    if turn % 2:
        other, ours = pair.other(), pair.ours()
    else:
        ours, other = pair.ours(), pair.other()
    return ours / other


def median_interval(values: Sequence[float]) -> tuple[float, float]:
    """The order statistics that hold the median 95 times in 100, whatever the distribution (from the binomial).

    With fewer than six values no pair of them does; then the least and the greatest are given.
    """
    ordered = sorted(values)
    count, tail = len(ordered), 0.0
    for rank in range(count):
        tail += math.comb(count, rank) / 2**count
        if tail > 0.025:
            cut = max(rank - 1, 0)
            return ordered[cut], ordered[count - 1 - cut]
    return ordered[0], ordered[-1]


def median_line(figure: str, values: Sequence[float], *, unit: str, gate: Gate | None = None) -> Line:
    """The median of the rounds with its interval."""
    low, high = median_interval(values)
    middle = statistics.median(values)
    return Line(figure=figure, value=middle, low=low, high=high, unit=unit, rounds=len(values), gate=gate)


def rounded(value: float) -> float:
    """Three significant digits: more than a busy machine can promise."""
    return float(f"{value:.3g}")


@contextmanager
def one_core() -> Iterator[None]:
    """This process and those that it starts stay on one core meanwhile, where the system can do that."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {max(before)})
    try:
        yield
    finally:
        os.sched_setaffinity(0, before)

"""Attendants on a track as positions over time, from the events of a schedule alone, in exact fractions."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from millhand.solvers.cycle.rails.rail import Rail


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One motion of every period: from a place at one time to another at a later time."""

    start: str
    goal: str
    depart: int
    arrive: int


def position(rail: Rail, legs: Sequence[Leg], period: int, when: Fraction) -> Fraction:
    """Where an attendant is; jumps count at their time."""
    found = []
    for leg in legs:
        since, length = (when - leg.depart) % period, leg.arrive - leg.depart
        share = Fraction(1) if since >= length else since / length
        found.append((since, -length, rail.at_m[leg.start] + (rail.at_m[leg.goal] - rail.at_m[leg.start]) * share))
    return min(found)[2]


def least_distance_m(rail: Rail, paths: Mapping[str, Sequence[Leg] | str], period: int) -> Fraction | None:
    """The least distance of neighbours, less what is to be kept; looked at at every end of a motion."""
    times = {Fraction(t) for path in paths.values() if not isinstance(path, str)
             for leg in path for t in (leg.depart, leg.arrive)}  # fmt: skip
    least: Fraction | None = None
    for below, above in zip(rail.arms, rail.arms[1:], strict=False):
        for when in times or {Fraction(0)}:
            low, high = (
                rail.at_m[path] if isinstance(path, str) else position(rail, path, period, when)
                for path in (paths[below], paths[above])
            )
            left = high - low - rail.track(below).keep_m
            least = left if least is None else min(least, left)
    return least

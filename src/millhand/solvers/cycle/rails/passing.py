"""Two attendants on one track: how soon one motion may follow another, in whole grid steps, exactly.

The first attendant in a track's order has the smaller metres. It is over a level when it is farther along than the
level; for the other one everything is mirrored. At rest an attendant stands at its place, in motion its position grows
evenly, so the distance of two is least at a departure or an arrival. Hence two rest places that are too near each
other (u + keep > v) only have to be held one after the other, and this has two sides: who leaves must be clear of the
place that the other comes to before the other arrives, and who comes must not enter the nearness of the place that
the other leaves before the other departs.

Under the rule `order` only the places count, from where and to where, and while one of the two moves these may be the
same. Then who leaves a place beyond the other's goal must have arrived before the other arrives, and who comes to a
place beyond the other's must not set out before the other has.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from typing import Literal

Rule = Literal["apart", "order"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """A motion at even speed between two positions; with `steps` 0 it is a jump."""

    from_m: Fraction
    to_m: Fraction
    steps: int

    @property
    def mirrored(self) -> "Motion":
        """The same motion seen from the other end of the track."""
        return Motion(from_m=-self.from_m, to_m=-self.to_m, steps=self.steps)


def exact_m(metres: float) -> Fraction:
    """Metres as they are written, in decimals, without the rounding of a float.

    >>> exact_m(0.1) * 3 == exact_m(0.3)
    True
    """
    return Fraction(repr(float(metres)))


def enter_steps(motion: Motion, level_m: Fraction) -> int:
    """The last whole step after the departure at which a motion that ends over a level is not over it yet.

    >>> enter_steps(Motion(from_m=Fraction(0), to_m=Fraction(3), steps=10), Fraction(1))
    3
    """
    return floor(motion.steps * (level_m - motion.from_m) / (motion.to_m - motion.from_m))


def leave_steps(motion: Motion, level_m: Fraction) -> int:
    """The first whole step after the departure at which a motion that starts over a level is over it no more.

    >>> leave_steps(Motion(from_m=Fraction(3), to_m=Fraction(0), steps=10), Fraction(1))
    7
    """
    return ceil(motion.steps * (motion.from_m - level_m) / (motion.from_m - motion.to_m))


def enter_by_order_steps(motion: Motion, other_m: Fraction) -> int:
    """The same where only places count: none of it beyond the other's place, all of it up to there."""
    return 0 if motion.to_m > other_m else motion.steps


def leave_by_order_steps(motion: Motion, other_m: Fraction) -> int:
    """The same where only places count: all of it beyond the other's place, none of it up to there."""
    return motion.steps if motion.from_m > other_m else 0


def too_near(below_m: Fraction, above_m: Fraction, keep_m: Fraction) -> bool:
    """Whether two attendants cannot be at these positions at the same time; exactly `keep_m` apart they can."""
    return below_m + keep_m > above_m


def least_lag_steps(first: Motion, second: Motion, keep_m: Fraction) -> int | None:
    """The least number of steps from the departure of `first` to that of `second`, which may be negative.

    `first` belongs to the attendant below, and its start is too near to the goal of `second`, so that the first must
    have left before the second comes. None where no lag will do, because the two starts or the two goals are too near
    each other as well. For an attendant above that goes first both motions are mirrored by the caller.
    """
    if too_near(first.from_m, second.from_m, keep_m) or too_near(first.to_m, second.to_m, keep_m):
        return None
    clear = leave_steps(first, second.to_m - keep_m)
    entering = enter_steps(second.mirrored, -(first.from_m + keep_m))
    return max(clear - second.steps, -entering)


def least_lag_by_order_steps(first: Motion, second: Motion, keep_m: Fraction) -> int | None:
    """The same under the rule `order`."""

    def clash(below_m: Fraction, above_m: Fraction) -> bool:
        return too_near(below_m, above_m, keep_m) or below_m == above_m

    if clash(first.from_m, second.from_m) or clash(first.to_m, second.to_m):
        return None
    clear = leave_by_order_steps(first, second.to_m)
    entering = enter_by_order_steps(second.mirrored, -first.from_m)
    return max(clear - second.steps, -entering)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A motion at even speed, or a stand where both places are the same, from one step to another of a carry."""

    begins: int
    ends: int
    from_m: Fraction
    to_m: Fraction
    stands: bool = False

    def seen_from(self, side: int) -> "Stretch":
        """The same as seen by an attendant below (1) or above (-1)."""
        return replace(self, from_m=side * self.from_m, to_m=side * self.to_m)

    def at_m(self, step: int | Fraction) -> Fraction:
        """Where it is at a step of the carry."""
        if self.ends == self.begins:
            return self.to_m
        return self.from_m + (self.to_m - self.from_m) * (step - self.begins) / (self.ends - self.begins)


def shifts_too_near(below: Stretch, above: Stretch, keep_m: Fraction, rule: Rule) -> tuple[Fraction, Fraction] | None:
    """Between which shifts of the second carry's beginning against the first's two stretches are too near; None where
    they never are. Under the rule `order` that is as long as they overlap and their places are out of order."""
    whole = Fraction(below.begins - above.ends), Fraction(below.ends - above.begins)
    if rule == "order":
        both_stand = below.stands and above.stands
        clash = too_near(below.from_m, above.from_m, keep_m) or below.from_m == above.from_m
        crossed = above.from_m < below.from_m or above.to_m < below.to_m
        return whole if (clash if both_stand else crossed) else None
    corners = [(x, y) for x in (below.begins, below.ends) for y in (above.begins, above.ends)]
    ring = [corners[0], corners[1], corners[3], corners[2]]
    gaps = [above.at_m(y) - below.at_m(x) - keep_m for x, y in ring]
    if all(gap >= 0 for gap in gaps):
        return None
    shifts = [Fraction(x - y) for (x, y), gap in zip(ring, gaps, strict=True) if gap < 0]
    for number, (one, first) in enumerate(zip(ring, gaps, strict=True)):
        other, second = ring[(number + 1) % 4], gaps[(number + 1) % 4]
        if min(first, second) < 0 <= max(first, second):
            share = first / (first - second)
            shifts.append((one[0] - one[1]) + ((other[0] - other[1]) - (one[0] - one[1])) * share)
    return min(shifts), max(shifts)

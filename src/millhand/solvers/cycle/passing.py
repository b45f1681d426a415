"""Two attendants on one track: how soon one motion may follow another, in whole grid steps, exactly.

The first attendant in a track's order has the smaller metres. It is over a level when it is farther along than the
level; for the other one everything is mirrored. At rest an attendant stands at its place, in motion its position grows
evenly, so the distance of two is least at a departure or an arrival. Hence two rest places that are too near each
other (u + keep > v) only have to be held one after the other, and this has two sides: who leaves must be clear of the
place that the other comes to before the other arrives, and who comes must not enter the nearness of the place that
the other leaves before the other departs.

Under the rule `order` positions between the places do not count: an attendant counts as being where it last set out
for.
"""

from dataclasses import dataclass
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


def enter_steps(motion: Motion, level_m: Fraction, rule: Rule) -> int:
    """The last whole step after the departure at which a motion that ends over a level is not over it yet.

    >>> enter_steps(Motion(from_m=Fraction(0), to_m=Fraction(3), steps=10), Fraction(1), "apart")
    3
    """
    if rule == "order":
        return 0
    return floor(motion.steps * (level_m - motion.from_m) / (motion.to_m - motion.from_m))


def leave_steps(motion: Motion, level_m: Fraction, rule: Rule) -> int:
    """The first whole step after the departure at which a motion that starts over a level is over it no more.

    >>> leave_steps(Motion(from_m=Fraction(3), to_m=Fraction(0), steps=10), Fraction(1), "apart")
    7
    """
    if rule == "order":
        return 0
    return ceil(motion.steps * (motion.from_m - level_m) / (motion.from_m - motion.to_m))


def too_near(below_m: Fraction, above_m: Fraction, keep_m: Fraction) -> bool:
    """Whether two attendants cannot be at these positions at the same time; exactly `keep_m` apart they can."""
    return below_m + keep_m > above_m


def least_lag_steps(first: Motion, second: Motion, keep_m: Fraction, rule: Rule = "apart") -> int | None:
    """The least number of steps from the departure of `first` to that of `second`, which may be negative.

    `first` belongs to the attendant below, and its start is too near to the goal of `second`, so that the first must
    have left before the second comes. None where no lag will do, because the two starts or the two goals are too near
    each other as well. For an attendant above that goes first both motions are mirrored by the caller.
    """
    if too_near(first.from_m, second.from_m, keep_m) or too_near(first.to_m, second.to_m, keep_m):
        return None
    clear = leave_steps(first, second.to_m - keep_m, rule)
    entering = enter_steps(second.mirrored, -(first.from_m + keep_m), rule)
    if rule == "order":
        return 0
    return max(clear - second.steps, -entering)

"""When two stretches of two attendants on one track are clear of each other: exact, in fractions."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from millhand.solvers.cycle.unrolled import At

Point = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A motion or a rest of one attendant: from which event to which, and from where to where on the track.

    A motion takes just its time; a rest (`takes` None) lasts as long as it lasts, without an event for ever.
    """

    who: str
    words: str
    start: At | None
    end: At | None
    takes: int | None
    leaves_m: Fraction
    comes_m: Fraction

    def at_m(self, since: Fraction) -> Fraction:
        """Where a motion is so long after its beginning."""
        return self.leaves_m + (self.comes_m - self.leaves_m) * since / (self.takes or 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clear:
    """`after` comes at least so long after `before`; `high_first`: the higher attendant's event comes first."""

    before: At
    after: At
    lag: Fraction
    high_first: bool


def apart(low: Stretch, high: Stretch, *, keep: Fraction, by_order: bool) -> tuple[Clear | None, Clear | None] | None:
    """What keeps two stretches from each other: the lower attendant's before the higher one's, or after it.

    None where they never come too near. Under the rule 'order' only the places count, from where and to where, and
    they may be the same as long as one of the two moves.
    """
    if low.takes is None and high.takes is None:
        gap = high.leaves_m - low.leaves_m
        return (
            (wait(low.end, high.start, 0), wait(high.end, low.start, 0, high_first=True))
            if (gap < keep or (by_order and gap <= 0))
            else None
        )
    window = moving_window(low, high, keep) if not by_order else order_window(low, high)
    if window is None:
        return None
    return clear_of(low, high, window)


def clear_of(low: Stretch, high: Stretch, window: Point) -> tuple[Clear | None, Clear | None]:
    """The two ways out of a window: of the beginning of the higher motion after that of the lower one; against a rest,
    of the time since the motion began."""
    near, far = window
    if low.takes is None:
        return wait(low.end, high.start, -near), wait(high.start, low.start, far, high_first=True)
    if high.takes is None:
        return wait(low.start, high.start, far), wait(high.end, low.start, -near, high_first=True)
    return wait(low.start, high.start, far), wait(high.start, low.start, -near, high_first=True)


def wait(before: At | None, after: At | None, lag: Fraction | int, *, high_first: bool = False) -> Clear | None:
    """A wait, where both events exist."""
    if before is None or after is None:
        return None
    return Clear(before=before, after=after, lag=Fraction(lag), high_first=high_first)


def order_window(low: Stretch, high: Stretch) -> Point | None:
    """The whole of both where the places are out of order."""
    if high.leaves_m >= low.leaves_m and high.comes_m >= low.comes_m:
        return None
    ends = (Fraction(low.takes or 0), Fraction(high.takes or 0))
    if low.takes is None or high.takes is None:
        return Fraction(0), max(ends)
    return -ends[1], ends[0]


def moving_window(low: Stretch, high: Stretch, keep: Fraction) -> Point | None:
    """When two motions, or a motion and a rest, are too near.

    Over the two times since the beginnings 'too near' is one side of a straight line, so what is left of the rectangle
    of both is a polygon, and the ends of the window stand at two of its corners.
    """
    width, height = Fraction(low.takes or 0), Fraction(high.takes or 0)

    def gap(point: Point) -> Fraction:
        return high.at_m(point[1]) - low.at_m(point[0]) - keep

    corners = [(Fraction(0), Fraction(0)), (width, Fraction(0)), (width, height), (Fraction(0), height)]
    if all(gap(corner) >= 0 for corner in corners):
        return None
    reached = [corner for corner in corners if gap(corner) < 0] + crossings(corners, [gap(each) for each in corners])
    if low.takes is None:
        times = [point[1] for point in reached]
    elif high.takes is None:
        times = [point[0] for point in reached]
    else:
        times = [point[0] - point[1] for point in reached]
    return min(times), max(times)


def crossings(corners: Sequence[Point], gaps: Sequence[Fraction]) -> list[Point]:
    """Where the sides of a rectangle meet the line on which the gap is nothing."""
    found = []
    for (one, first), (other, last) in pairwise([*zip(corners, gaps, strict=True), (corners[0], gaps[0])]):
        if min(first, last) < 0 <= max(first, last):
            share = first / (first - last)
            found.append((one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share))
    return found

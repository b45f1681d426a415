"""Whether people get to where they have to be: the widest way on the floor from outside, past all that stands there.

Somebody is a square along the plan's ways, which fits wherever a round one of the same width does not quite. All pieces
are rectangles: made wider by half of that width on every side, their edges cut the floor into fields that are free or
not as a whole, and what hangs together is exact, not a matter of a grid's step.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from millhand.solvers.placing.site import Rect
from millhand.solvers.pose.links import Bools, Floats

WAYS = ((1, 0), (-1, 0), (0, 1), (0, -1))
BEYOND_M = 2.0  # round all that stands there the floor is taken for free: any length does, nobody is so wide
TOUCH_M = 1e-7  # so much is let past, so that what just fits does
WITHIN_M = 0.001  # to which a width is found: it is told in millimetres


def reachable(pieces: Sequence[Rect], targets: Sequence[Rect], width_m: float) -> list[bool]:
    """For each target whether the middle of somebody so wide gets from outside to some point of it."""
    around = [_wider(piece, width_m - TOUCH_M) for piece in pieces]
    x, y = (_lines([*around, *targets], axis) for axis in (0, 1))
    free = np.ones((len(x) - 1, len(y) - 1), dtype=bool)
    for low_x, high_x, low_y, high_y in around:
        free[_inside(x, low_x, high_x), _inside(y, low_y, high_y)] = False
    reached = _filled(free)
    return [
        bool(reached[_inside(x, low_x, high_x), _inside(y, low_y, high_y)].any())
        for low_x, high_x, low_y, high_y in (_wider(each, 0.0) for each in targets)
    ]


def widest_way_m(pieces: Sequence[Rect], target: Rect, *, most_m: float) -> float:
    """How wide somebody may be to get there, no more than `most_m`; 0 where not even the slimmest gets there."""
    if reachable(pieces, [target], most_m)[0]:
        return most_m
    low, high = 0.0, most_m
    while high - low > WITHIN_M:
        middle = (low + high) / 2.0
        low, high = (middle, high) if reachable(pieces, [target], middle)[0] else (low, middle)
    return low if low > WITHIN_M else 0.0


def aisle(rect: Rect, way: tuple[int, int], deep_m: float) -> Rect:
    """The strip of floor beside a rectangle on one side."""
    dx, dy = way
    half = ((rect.width_m if dx else rect.depth_m) + deep_m) / 2.0
    beside = replace(rect, x_m=rect.x_m + dx * half, y_m=rect.y_m + dy * half)
    return replace(beside, width_m=deep_m) if dx else replace(beside, depth_m=deep_m)


def sides_away(foot: tuple[float, float], rect: Rect, high: Rect) -> list[tuple[int, int]]:
    """The ways of the plan that lead from a stand away from the arm's foot: first to the side that stands high, then
    the furthest."""
    far = {way: (rect.x_m - foot[0]) * way[0] + (rect.y_m - foot[1]) * way[1] for way in WAYS}
    up = {way: (high.x_m - rect.x_m) * way[0] + (high.y_m - rect.y_m) * way[1] for way in WAYS}
    return sorted((way for way in WAYS if far[way] > 0.0), key=lambda way: (-round(up[way], 6), -far[way]))


def _wider(rect: Rect, by_m: float) -> tuple[float, float, float, float]:
    """Ends along x and y of a rectangle made wider."""
    half = (rect.width_m + by_m) / 2.0, (rect.depth_m + by_m) / 2.0
    return rect.x_m - half[0], rect.x_m + half[0], rect.y_m - half[1], rect.y_m + half[1]


def _lines(things: Sequence[Rect | tuple[float, float, float, float]], axis: int) -> Floats:
    """Where the floor is cut along one axis, with free floor beyond at both ends."""
    ends = [each if isinstance(each, tuple) else _wider(each, 0.0) for each in things]
    at = np.unique([each[2 * axis + end] for each in ends for end in (0, 1)])
    return np.concatenate([[at[0] - BEYOND_M], at, [at[-1] + BEYOND_M]])


def _inside(lines: Floats, low: float, high: float) -> slice:
    """The fields between two lines."""
    return slice(int(np.searchsorted(lines, low)), int(np.searchsorted(lines, high)))


def _filled(free: Bools) -> Bools:
    """All free fields that hang together with the outermost one."""
    from scipy.ndimage import label  # a quarter of a second to import: only who sets out a floor waits for it

    together, _ = label(free)
    found: Bools = (together == together[0, 0]) & free
    return found

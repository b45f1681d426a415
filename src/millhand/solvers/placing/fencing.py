"""Where a fence runs: round all that it encloses, along the stands that are filled from outside, with gates in it.

The fence of the floor's formula is a rectangle. Where somebody stands on its line to fill or to empty something, it is
led round that strip, so that the stand closes it there; machines that it meets close it too.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from millhand.solvers.placing.site import Rect
from millhand.solvers.placing.walks import reachable

GATES = 2  # at most: judged, each more is one more lock to be watched
THICK_M = 0.04  # of a fence as something to walk round: judged, the posts of a usual one
ALIKE_M = 1e-6  # the same as a length
Piece = tuple[float, float, float, float]  # x, y of one end, x, y of the other


@dataclass(frozen=True, slots=True, kw_only=True)
class Fence:
    """Its straight pieces, and the gates in it, none where no piece is long enough for one."""

    pieces: tuple[Piece, ...]
    gates: tuple[Piece, ...]

    @property
    def walls(self) -> tuple[Rect, ...]:
        """The pieces as something to walk round."""
        return tuple(_wall(each) for each in self.pieces)


def notch(fence: Rect, strip: Rect, way: tuple[int, int]) -> Rect:
    """A strip where somebody stands, led on to the fence's side that lies in the way away from the stand."""
    dx, dy = way
    near = (strip.x_m - dx * strip.width_m / 2.0, strip.y_m - dy * strip.depth_m / 2.0)
    far = (fence.x_m + dx * fence.width_m / 2.0, fence.y_m + dy * fence.depth_m / 2.0)
    if dx:
        return replace(strip, x_m=(near[0] + far[0]) / 2.0, width_m=max(0.0, (far[0] - near[0]) * dx))
    return replace(strip, y_m=(near[1] + far[1]) / 2.0, depth_m=max(0.0, (far[1] - near[1]) * dy))


def fenced(fence: Rect, notches: Sequence[Rect], machines: Sequence[Rect]) -> tuple[Piece, ...]:
    """The straight pieces round the rectangle without the notches, as far as they do not lie in machines."""
    things = (fence, *notches, *machines)
    # To the nanometre, so that edges that lie on one line by two ways of reckoning are one line.
    xs = np.unique(np.round([each.x_m + side * each.width_m / 2.0 for each in things for side in (-1.0, 1.0)], 9))
    ys = np.unique(np.round([each.y_m + side * each.depth_m / 2.0 for each in things for side in (-1.0, 1.0)], 9))
    middles = [(float(a + b) / 2.0 for a, b in pairwise(at)) for at in (xs, ys)]
    mid_x, mid_y = (list(each) for each in middles)
    inside = np.zeros((len(mid_x) + 2, len(mid_y) + 2), dtype=bool)
    for i, x in enumerate(mid_x, start=1):
        for j, y in enumerate(mid_y, start=1):
            inside[i, j] = _in(fence, x, y) and not any(_in(each, x, y) for each in notches)
    upright = [
        ((float(xs[i]), float(ys[j]), float(ys[j + 1])))
        for i, j in zip(*np.nonzero(inside[:-1, 1:-1] != inside[1:, 1:-1]), strict=True)
        if not any(_in(each, float(xs[i]), mid_y[j]) for each in machines)
    ]
    level = [
        ((float(ys[j]), float(xs[i]), float(xs[i + 1])))
        for i, j in zip(*np.nonzero(inside[1:-1, :-1] != inside[1:-1, 1:]), strict=True)
        if not any(_in(each, mid_x[i], float(ys[j])) for each in machines)
    ]
    return (
        *((at, low, at, high) for at, low, high in _joined(upright)),
        *((low, at, high, at) for at, low, high in _joined(level)),
    )


def with_gates(
    pieces: tuple[Piece, ...],
    standing: Sequence[Rect],
    doors: Sequence[Rect],
    *,
    gate_m: float,
    width_m: float,
    wide_m: float = 0.0,
) -> Fence:
    """The fence with a gate from which somebody gets to most doors, and of such one wide enough, and the nearest to
    them; where that leaves out a door, with one more for it. A gate is no narrower than `gate_m`, and where there is
    room `wide_m` wide."""
    made = Fence(pieces=pieces, gates=())
    left = list(doors)
    while left and len(made.gates) < GATES:
        found = [
            _opened(made, number, min(max(gate_m, wide_m), length_m(piece)))
            for number, piece in enumerate(made.pieces) if length_m(piece) >= gate_m
        ]  # fmt: skip
        there = [reachable((*standing, *each.walls), left, width_m) for each in found]
        costs = [
            (-sum(each), length_m(one.gates[-1]) < wide_m - ALIKE_M, _far_m(one, left))
            for each, one in zip(there, found, strict=True)
        ]
        if not found or (made.gates and min(costs)[0] == 0):
            break
        best = costs.index(min(costs))
        made = found[best]
        left = [door for door, well in zip(left, there[best], strict=True) if not well]
    return made


def _far_m(fence: Fence, doors: Sequence[Rect]) -> float:
    """How far the last gate is from all doors, along the plan's ways; to the micrometre, so that equal is equal."""
    x, y, to_x, to_y = fence.gates[-1]
    return round(sum(abs(each.x_m - (x + to_x) / 2.0) + abs(each.y_m - (y + to_y) / 2.0) for each in doors), 6)


def _in(rect: Rect, x: float, y: float) -> bool:
    """Whether a point lies inside."""
    return abs(x - rect.x_m) < rect.width_m / 2.0 and abs(y - rect.y_m) < rect.depth_m / 2.0


def _joined(parts: list[tuple[float, float, float]]) -> Iterator[tuple[float, float, float]]:
    """Parts (where, from, to) on one line that touch, as one."""
    open_part: tuple[float, float, float] | None = None
    for at, low, high in sorted(parts):
        if open_part is not None and (open_part[0], open_part[2]) == (at, low):
            open_part = (at, open_part[1], high)
            continue
        if open_part is not None:
            yield open_part
        open_part = (at, low, high)
    if open_part is not None:
        yield open_part


def length_m(piece: Piece) -> float:
    """How long a piece is."""
    return abs(piece[2] - piece[0]) + abs(piece[3] - piece[1])


def _opened(fence: Fence, number: int, gate_m: float) -> Fence:
    """A fence with one more gate, in the middle of one of its pieces."""
    piece = fence.pieces[number]
    x, y, to_x, to_y = piece
    low, high = (0.5 - gate_m / length_m(piece) / 2.0), (0.5 + gate_m / length_m(piece) / 2.0)
    a, b = ((x + share * (to_x - x), y + share * (to_y - y)) for share in (low, high))
    rest = [each for each in ((x, y, *a), (*b, to_x, to_y)) if length_m(each) > 1e-9]
    whole = (*fence.pieces[:number], *rest, *fence.pieces[number + 1 :])
    return Fence(pieces=whole, gates=(*fence.gates, (*a, *b)))


def _wall(piece: Piece) -> Rect:
    """A piece as a thin rectangle."""
    x, y, to_x, to_y = piece
    return Rect(
        name="fence", x_m=(x + to_x) / 2.0, y_m=(y + to_y) / 2.0, width_m=max(THICK_M, abs(to_x - x)),
        depth_m=max(THICK_M, abs(to_y - y)),
    )  # fmt: skip

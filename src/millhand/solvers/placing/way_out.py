"""The longest way out of a fence: from the place inside that lies farthest from any gate, past what stands there.

Somebody goes from field to field of a fine grid, straight, slanting or as a knight does, so that a way comes out at
most some three per cent longer than it is.
"""

import heapq
import math
from collections.abc import Iterator, Sequence

from millhand.solvers.placing.fencing import THICK_M, Piece
from millhand.solvers.placing.site import Rect

STEP_M = 0.1
STEPS = tuple(
    (x, y) for x in range(-2, 3) for y in range(-2, 3) if math.gcd(abs(x), abs(y)) == 1
)  # king's and knight's
Field = tuple[int, int]


def longest_way_out_m(
    whole: Rect, pieces: Sequence[Rect], fence: Sequence[Piece], gates: Sequence[Piece], *, foot: tuple[float, float]
) -> float | None:
    """From the farthest place that hangs together with the arm's foot to the nearest gate; None where none does.

    whole: the rectangle that the fence lies in; pieces: what nobody walks through; foot: of the arm, inside.
    """
    free = frozenset(_free(whole, [*pieces, *(_wall(each) for each in fence)]))
    shut = frozenset(field for field in free if any(_in(whole, field, _wall(each)) for each in gates))
    inside = _together(free - shut, _nearest(whole, free - shut, foot))
    doorsteps = [field for field in inside if any((field[0] + x, field[1] + y) in shut for x, y in STEPS)]
    if not doorsteps:
        return None
    return max(_distances(inside, doorsteps).values()) * STEP_M


def _wall(piece: Piece) -> Rect:
    """A stretch as a rectangle at least as thick as a field, so that nothing slips through."""
    x, y, to_x, to_y = piece
    thick = max(THICK_M, 2.0 * STEP_M)
    return Rect(
        name="wall", x_m=(x + to_x) / 2.0, y_m=(y + to_y) / 2.0, width_m=abs(to_x - x) + thick,
        depth_m=abs(to_y - y) + thick,
    )  # fmt: skip


def _at(whole: Rect, field: Field) -> tuple[float, float]:
    """The middle of a field."""
    return (
        whole.x_m - whole.width_m / 2.0 + (field[0] + 0.5) * STEP_M,
        whole.y_m - whole.depth_m / 2.0 + (field[1] + 0.5) * STEP_M,
    )


def _in(whole: Rect, field: Field, rect: Rect) -> bool:
    """Whether the middle of a field lies in a rectangle."""
    x, y = _at(whole, field)
    return abs(x - rect.x_m) <= rect.width_m / 2.0 and abs(y - rect.y_m) <= rect.depth_m / 2.0


def _free(whole: Rect, pieces: Sequence[Rect]) -> Iterator[Field]:
    """The fields of the rectangle that nothing stands on."""
    for i in range(math.ceil(whole.width_m / STEP_M)):
        for j in range(math.ceil(whole.depth_m / STEP_M)):
            if not any(_in(whole, (i, j), each) for each in pieces):
                yield i, j


def _nearest(whole: Rect, free: frozenset[Field], foot: tuple[float, float]) -> Field | None:
    """The free field nearest to the arm's foot; the first of equal ones."""
    return min(free, key=lambda field: (math.dist(_at(whole, field), foot), field), default=None)


def _together(free: frozenset[Field], first: Field | None) -> frozenset[Field]:
    """All free fields that hang together with one by straight steps."""
    found, open_ones = set(), [first] if first is not None else []
    while open_ones:
        i, j = open_ones.pop()
        if (i, j) in found:
            continue
        found.add((i, j))
        open_ones += [each for each in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)) if each in free]
    return frozenset(found)


def _distances(inside: frozenset[Field], first: Sequence[Field]) -> dict[Field, float]:
    """How many steps each field is from the nearest of some."""
    found: dict[Field, float] = {}
    open_ones = [(0.0, field) for field in sorted(first)]
    while open_ones:
        far, (i, j) = heapq.heappop(open_ones)
        if (i, j) in found:
            continue
        found[i, j] = far
        for x, y in STEPS:
            new = (i + x, j + y)
            # past a corner nobody slips: a slanting step needs the fields beside it too
            if new in inside and new not in found and (i + x, j) in inside and (i, j + y) in inside:
                heapq.heappush(open_ones, (far + math.hypot(x, y), new))
    return found

"""The floor inside a fence as it runs: without the strips that it is led round, without the machines that close it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from millhand.solvers.placing.fencing import Piece
from millhand.solvers.placing.site import Rect

ALONG_M = 1e-3  # so near a stretch lies along a stand


def cut_out_m2(fence: Rect, others: Sequence[Rect]) -> float:
    """How much of a rectangle several others cover, each spot once [m2]."""
    inside = [each for each in (_common(fence, other) for other in others) if each is not None]
    xs = sorted({at for west, _, east, _ in inside for at in (west, east)})
    ys = sorted({at for _, south, _, north in inside for at in (south, north)})
    return sum(
        (east - west) * (north - south)
        for west, east in pairwise(xs)
        for south, north in pairwise(ys)
        if any(a <= west and east <= c and b <= south and north <= d for a, b, c, d in inside)
    )


def pockets_beside(fence: Rect, led: Rect) -> tuple[Rect, ...]:
    """The two pieces of a rectangle to the sides of a strip that is led to one edge of it, as long as the strip."""
    found = []
    level = _touches(fence.x_m, fence.width_m, led.x_m, led.width_m)  # the strip is led east or west
    if level:
        for side in (-1.0, 1.0):
            edge, own = fence.y_m + side * fence.depth_m / 2.0, led.y_m + side * led.depth_m / 2.0
            found.append(replace(led, y_m=(edge + own) / 2.0, depth_m=(edge - own) * side))
    if _touches(fence.y_m, fence.depth_m, led.y_m, led.depth_m):
        for side in (-1.0, 1.0):
            edge, own = fence.x_m + side * fence.width_m / 2.0, led.x_m + side * led.width_m / 2.0
            found.append(replace(led, x_m=(edge + own) / 2.0, width_m=(edge - own) * side))
    return tuple(each for each in found if each.width_m > 1e-9 and each.depth_m > 1e-9)


def joined(one: Rect, other: Rect) -> Rect:
    """The rectangle round two that lie side by side: no line is left between them."""
    ends = [
        (min(a - b / 2.0, c - d / 2.0), max(a + b / 2.0, c + d / 2.0))
        for a, b, c, d in (
            (one.x_m, one.width_m, other.x_m, other.width_m), (one.y_m, one.depth_m, other.y_m, other.depth_m)
        )
    ]  # fmt: skip
    (west, east), (south, north) = ends
    return replace(one, x_m=(west + east) / 2.0, width_m=east - west, y_m=(south + north) / 2.0, depth_m=north - south)


def without(rect: Rect, holes: Sequence[Rect]) -> tuple[Rect, ...]:
    """What is left of a rectangle without some others, as rectangles side by side."""
    left: tuple[Rect, ...] = (rect,)
    for hole in holes:
        left = tuple(rest for each in left for rest in _less(each, hole))
    return left


def _less(rect: Rect, hole: Rect) -> Iterator[Rect]:
    """What is left of a rectangle without one other: to the west and the east of it, then below and above."""
    common = _common(rect, hole)
    if common is None:
        yield rect
        return
    west, south, east, north = common
    left, right = rect.x_m - rect.width_m / 2.0, rect.x_m + rect.width_m / 2.0
    low, high = rect.y_m - rect.depth_m / 2.0, rect.y_m + rect.depth_m / 2.0
    for a, b, c, d in ((left, low, west, high), (east, low, right, high), (west, low, east, south),
                       (west, north, east, high)):  # fmt: skip
        if c - a > 1e-9 and d - b > 1e-9:
            yield replace(rect, x_m=(a + c) / 2.0, y_m=(b + d) / 2.0, width_m=c - a, depth_m=d - b)


def trimmed(led: Rect, kept: Rect, way: tuple[int, int], least_m: float) -> Rect:
    """A strip that is led along a way, made narrower where it lies in what is to be kept free, as far as somebody still
    fits into it; else as it was."""
    common = _common(led, kept)
    if common is None:
        return led
    west, south, east, north = common
    across = (south, north) if way[0] else (west, east)
    middle, wide = (led.y_m, led.depth_m) if way[0] else (led.x_m, led.width_m)
    low, high = middle - wide / 2.0, middle + wide / 2.0
    if across[0] - low >= high - across[1]:
        high = across[0]
    else:
        low = across[1]
    if high - low < least_m - 1e-9:
        return led
    at, left = (low + high) / 2.0, high - low
    return replace(led, y_m=at, depth_m=left) if way[0] else replace(led, x_m=at, width_m=left)


def beside_stands(piece: Piece, stands: Sequence[Rect]) -> tuple[Piece, ...]:
    """What is left of a stretch without what lies along or in a stand."""
    left: tuple[Piece, ...] = (piece,)
    for each in stands:
        left = tuple(rest for one in left for rest in _without(one, each))
    return left


def _without(piece: Piece, stand: Rect) -> Iterator[Piece]:
    """What is left of a stretch without what lies along or in one stand."""
    x, y, to_x, to_y = piece
    level = y == to_y
    low, high = sorted((x, to_x) if level else (y, to_y))
    across = (y if level else x) - (stand.y_m if level else stand.x_m)
    middle, half = (stand.x_m, stand.width_m / 2.0) if level else (stand.y_m, stand.depth_m / 2.0)
    if abs(across) > (stand.depth_m if level else stand.width_m) / 2.0 + ALONG_M:
        yield piece
        return
    for begin, end in ((low, min(high, middle - half)), (max(low, middle + half), high)):
        if end - begin > ALONG_M:
            yield (begin, y, end, y) if level else (x, begin, x, end)


def _touches(middle: float, wide: float, own: float, own_wide: float) -> bool:
    """Whether the smaller of two lengths ends where the larger one does."""
    ends = ((middle + side * wide / 2.0) - (own + side * own_wide / 2.0) for side in (-1.0, 1.0))
    return any(abs(each) < 1e-9 for each in ends)


def _common(fence: Rect, other: Rect) -> tuple[float, float, float, float] | None:
    """West, south, east and north end of what two rectangles share; None where they share nothing."""
    ends = [
        (max(a - b / 2.0, c - d / 2.0), min(a + b / 2.0, c + d / 2.0))
        for a, b, c, d in (
            (fence.x_m, fence.width_m, other.x_m, other.width_m), (fence.y_m, fence.depth_m, other.y_m, other.depth_m)
        )
    ]  # fmt: skip
    (west, east), (south, north) = ends
    return (west, south, east, north) if west < east and south < north else None

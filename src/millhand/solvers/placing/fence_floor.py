"""The floor inside a fence as it runs: without the strips that it is led round, without the machines that close it."""

from collections.abc import Sequence
from itertools import pairwise

from millhand.solvers.placing.site import Rect


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

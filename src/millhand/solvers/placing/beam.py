"""What hangs over the floor: a beam on columns, the strip under it where an arm works, and how high all of it goes.

Columns stand in a row beside the beam, on the side to which the doors look, so that the arm passes them on its way.
They keep clear of machines, of what else stands there, and of the floor on which people walk up to a door.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from millhand.solvers.placing.serving import Served
from millhand.solvers.placing.site import Doorway, Foot, Kit, Rect, Site, free_of
from millhand.solvers.pose.clearance import Box
from millhand.solvers.pose.links import frames

STEP_M = 0.05  # judged: a quarter of a usual column
KEPT_M = 0.05  # between a column and the strip in which the carriage runs: judged, for cables and bolts
FURTHEST_M = 3.0  # how far from where it is wanted a place for a column is looked for: judged, half a usual span
MORE = 8  # columns between the first and the last, at most: judged, ten columns carry fifty metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Hung:
    """A site with a beam over it: the columns among what stands there, and the strip where nobody stands."""

    site: Site
    strip: Rect
    columns: tuple[Rect, ...]


def hung(kit: Kit, site: Site, feet: Mapping[str, Foot], axis: int) -> Hung:
    """The beam of a track whose foot goes to these places; axis 0: along x, 1: along y."""
    beam = kit.beam
    assert beam is not None
    places = list(feet.values())
    cross, under = places[0][1 - axis], places[0][2] + beam.carriage_m
    half = kit.foot_m[0] / 2.0 + (kit.arm.joints[2].high if kit.on_beam else 0.0)
    ends = min(foot[axis] for foot in places) - half, max(foot[axis] for foot in places) + half
    line = _beside(site, axis, cross, (kit.foot_m[1], beam.column_m))

    def column(at: float) -> Rect:
        x, y = (at, line) if axis == 0 else (line, at)
        return Rect(name="column", x_m=x, y_m=y, width_m=beam.column_m, depth_m=beam.column_m, height_m=under)

    blocks = (
        *site.machines,
        *site.obstacles,
        *(_walk(site, door, axis, line + beam.column_m) for door in site.doorways),
    )

    def free(at: float) -> bool:
        return free_of(column(at), blocks)

    columns = tuple(column(at) for at in row_of(ends, beam.span_m, free))
    first, last = columns[0], columns[-1]
    strip = _along("strip", axis, (ends, cross), kit.foot_m[1])
    long = _along("beam", axis, ((_at(first, axis), _at(last, axis)), cross), beam.width_m)
    box = Box(
        name="beam", middle_m=(long.x_m, long.y_m, under + beam.depth_m / 2.0),
        half_m=(long.width_m / 2.0, long.depth_m / 2.0, beam.depth_m / 2.0),
    )  # fmt: skip
    whole = replace(site, obstacles=(*site.obstacles, *columns), above=(box,), under=(strip,))
    return Hung(site=whole, strip=strip, columns=columns)


def row_of(ends: tuple[float, float], span_m: float, free: Callable[[float], bool]) -> tuple[float, ...]:
    """Where columns stand along a beam: at its ends or beyond, as few between as keep every span within the wanted one.

    Where no number of them does, the row with the shortest of its longest spans.
    """
    first = _nearest(ends[0], free, lambda step: (-step,))
    last = _nearest(ends[1], free, lambda step: (step,))
    best: tuple[float, ...] = (first, last)
    for count in range(1, MORE + 1):
        if longest(best) <= span_m + 1e-9:
            break
        pitch = (last - first) / (count + 1)
        between = (_nearest(first + n * pitch, free, lambda step: (-step, step)) for n in range(1, count + 1))
        row = tuple(sorted({first, last, *(at for at in between if first < at < last)}))
        best = min(best, row, key=longest)
    return best


def longest(row: Sequence[float]) -> float:
    """The longest span of a row."""
    return max(b - a for a, b in pairwise(row))


def _nearest(wanted: float, free: Callable[[float], bool], ways: Callable[[float], tuple[float, ...]]) -> float:
    """The free place nearest to a wanted one; where there is none near, the wanted one."""
    for number in range(round(FURTHEST_M / STEP_M) + 1):
        for step in ways(number * STEP_M):
            if free(wanted + step):
                return wanted + step
    return wanted


def arm_top_m(kit: Kit, feet: Mapping[str, Foot], answers: Sequence[Served]) -> float:
    """The highest point of the arm on all its ways in, above the floor; its foot where no way is known."""
    tops = [foot[2] for foot in feet.values()]
    radii = np.array(kit.hand.bars.radii_m)
    for each in answers:
        if each.way is not None:
            ends = np.stack([frame[:, 2, 3] for frame in frames(kit.arm, each.way)[1:]], axis=1)
            tops.append(feet[each.name.split(" ")[0]][2] + float((ends + radii).max()))
    return max(tops) + (kit.beam.ram_m if kit.beam is not None else 0.0)


def _beside(site: Site, axis: int, cross: float, wide_m: tuple[float, float]) -> float:
    """The line of the columns: beside the strip of a width and before the doors, whichever is further out."""
    out, (strip_m, column_m) = _out(site, axis), wide_m
    planes = [(door.y_m, door.faces[1]) if axis == 0 else (door.x_m, door.faces[0]) for door in site.doorways]
    lines = [cross + out * strip_m / 2.0, *(plane for plane, faces in planes if faces == out)]
    return max(lines, key=lambda at: at * out) + out * (column_m / 2.0 + KEPT_M)


def _out(site: Site, axis: int) -> int:
    """To which side of a track most doors look: 1 or -1 across it."""
    return 1 if sum(door.faces[1 - axis] for door in site.doorways) > 0 else -1


def _walk(site: Site, door: Doorway, axis: int, beyond: float) -> Rect:
    """The floor on which somebody walks up to a door: from its plane to beyond the columns."""
    plane, faces = (door.y_m, door.faces[1]) if axis == 0 else (door.x_m, door.faces[0])
    return door.room(max(site.before_door_m, (beyond - plane) * faces + site.aisle_m))


def _along(name: str, axis: int, at: tuple[tuple[float, float], float], wide_m: float) -> Rect:
    """A rectangle along a track between two ends on a line across it."""
    (low, high), cross = at
    middle, length = (low + high) / 2.0, high - low
    x, y = (middle, cross) if axis == 0 else (cross, middle)
    sides = (length, wide_m) if axis == 0 else (wide_m, length)
    return Rect(name=name, x_m=x, y_m=y, width_m=sides[0], depth_m=sides[1])


def _at(rect: Rect, axis: int) -> float:
    """Where a rectangle's middle lies along a track."""
    return rect.x_m if axis == 0 else rect.y_m

"""How far an arm keeps from boxes: walls of a machine, a door's frame, columns, a presenter.

The arm is a chain of round bars between the origins of its frames, with a tool as the last one. The distance from a
point to a box is convex along a straight bar: its least value is found by halving the bar where its slope changes sign,
not by samples.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from millhand.model.arm import Linkage
from millhand.solvers.pose.compiled import ends_loop, gap_loop
from millhand.solvers.pose.links import Floats, frames

ROUNDS = 40  # the last piece of a bar is below a millionth of a millionth of it


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A block with upright walls, in the frame of the arm's foot: its middle, half of its sides, its turn about z."""

    name: str
    middle_m: tuple[float, float, float]
    half_m: tuple[float, float, float]
    turn_rad: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bars:
    """How thick the arm is: the radius of the bar behind each joint, the tool's length and radius. With a `part_m` it
    carries something as thick as that, from the tool's end to `part_at_m` beyond the flange."""

    radii_m: tuple[float, ...]
    tool_m: float
    tool_radius_m: float
    part_m: float = 0.0
    part_at_m: float = 0.0

    @property
    def behind_first_m(self) -> Floats:
        """The radii of all bars from the first joint on."""
        return np.array([*self.radii_m[1:], self.tool_radius_m, *((self.part_m,) if self.part_m > 0.0 else ())])

    @property
    def far_m(self) -> float:
        """How far beyond the flange the last of them ends."""
        return max(self.tool_m, self.part_at_m) if self.part_m > 0.0 else self.tool_m


def clearance_m(arm: Linkage, joints: Floats, *, bars: Bars, boxes: tuple[Box, ...], rounds: int = ROUNDS) -> Floats:
    """[poses, boxes]: the least gap between any bar and each box for joint positions [poses, joints]; negative by how
    deep a bar's middle line comes nearer than its radius, minus the radius where that line goes through the box.

    The bar from the foot to the first joint is left out: it stands where the foot stands. Each of the `rounds` halves
    the piece of a bar in which the least gap lies; in the last piece the slope is taken for straight.
    """
    return gaps_m(ends_with_part(arm, joints, bars=bars), bars=bars, boxes=boxes, rounds=rounds)


def ends_with_part(arm: Linkage, joints: Floats, *, bars: Bars) -> Floats:
    """[poses, bars + 1, 3]: the same for all bars, what is carried among them."""
    ends = bar_ends(arm, joints, tool_m=bars.tool_m)
    if bars.part_m <= 0.0:
        return ends
    tip = bar_ends(arm, joints, tool_m=bars.part_at_m)[..., -1:, :]
    return np.concatenate([ends, tip], axis=-2)


def bar_ends(arm: Linkage, joints: Floats, *, tool_m: float) -> Floats:
    """[poses, bars + 1, 3]: where the bars begin and end in the frame of the foot, from the first joint to the tool."""
    loop = ends_loop()
    if loop is None:
        return plain_bar_ends(arm, joints, tool_m=tool_m)
    turned = [(math.cos(each.alpha_rad), math.sin(each.alpha_rad)) for each in arm.joints]
    rows = np.array([
        (each.a_m, each.d_m, *turn, each.offset_rad, each.slides, arm.hangs)
        for each, turn in zip(arm.joints, turned, strict=True)
    ], dtype=np.float64)  # fmt: skip
    found = np.empty((len(joints), len(rows) + 1, 3))
    loop(rows, np.ascontiguousarray(joints, dtype=np.float64), tool_m, found, np.empty((3, 4)))
    return found


def plain_bar_ends(arm: Linkage, joints: Floats, *, tool_m: float) -> Floats:
    """The same without a compiler."""
    whole = frames(arm, np.asarray(joints, dtype=np.float64))
    ends = np.stack([frame[..., :3, 3] for frame in whole[1:]], axis=-2)
    tip = ends[..., -1, :] + tool_m * whole[-1][..., :3, 2]
    return np.concatenate([ends, tip[..., None, :]], axis=-2)


def gaps_m(ends: Floats, *, bars: Bars, boxes: tuple[Box, ...], rounds: int = ROUNDS) -> Floats:
    """[poses, boxes]: the least gap between any bar and each box, ends and boxes in one frame."""
    radii = bars.behind_first_m
    return np.asarray((_least(*_seen(ends, boxes), rounds) - radii).min(axis=2))


def least_gaps_m(
    ends: Floats, *, bars: Bars, boxes: tuple[Box, ...], rounds: int = ROUNDS
) -> tuple[Floats, NDArray[np.int64]]:
    """[poses]: the least gap of each pose and to which box. Only bars are narrowed down that can hold it: one whose
    middle is further off than another one's by more than half its own length cannot."""
    loop = gap_loop()
    if loop is None:
        return plain_least_gaps_m(ends, bars=bars, boxes=boxes, rounds=rounds)
    radii = bars.behind_first_m
    rows = np.array([
        (*box.middle_m, *box.half_m, math.cos(box.turn_rad), math.sin(box.turn_rad)) for box in boxes
    ])  # fmt: skip
    found, work = np.empty((len(ends), 2)), np.empty((len(boxes) + 1, max(len(radii), 9)))
    loop(np.ascontiguousarray(ends), radii, rows, rounds, found, work)
    return found[:, 0].copy(), found[:, 1].astype(np.int64)


def plain_least_gaps_m(
    ends: Floats, *, bars: Bars, boxes: tuple[Box, ...], rounds: int = ROUNDS
) -> tuple[Floats, NDArray[np.int64]]:
    """The same without a compiler."""
    radii = bars.behind_first_m
    begin, way, half = _seen(ends, boxes)
    most = np.sqrt(_outside(begin + 0.5 * way, half)) - radii
    least = most - 0.5 * np.sqrt(np.einsum("...i,...i->...", way, way))
    near = least <= most.min(axis=(1, 2))[:, None, None]
    found = np.full(most.shape, np.inf)
    wide = np.broadcast_to(half, begin.shape)
    found[near] = _least(begin[near], way[near], wide[near], rounds) - np.broadcast_to(radii, most.shape)[near]
    by_box = found.min(axis=2)
    beside = by_box.argmin(axis=1)
    return by_box[np.arange(len(by_box)), beside], beside


def _seen(ends: Floats, boxes: tuple[Box, ...]) -> tuple[Floats, Floats, Floats]:
    """Where each bar begins and where it leads in the frame of each box, [poses, boxes, bars, 3], and half the sides of
    the boxes."""
    cos, sin = (np.array([turn(box.turn_rad) for box in boxes])[:, None] for turn in (np.cos, np.sin))
    away = ends[:, None] - np.array([box.middle_m for box in boxes])[None, :, None]
    x, y = away[..., 0], away[..., 1]
    seen = np.stack([cos * x + sin * y, cos * y - sin * x, away[..., 2]], axis=-1)
    return seen[:, :, :-1], np.diff(seen, axis=2), np.array([box.half_m for box in boxes])[:, None, :]


def _least(begin: Floats, way: Floats, half: Floats, rounds: int) -> Floats:
    """Least distance of each bar from the box about the origin, 0 inside."""
    low, high = np.zeros(begin.shape[:-1]), np.ones(begin.shape[:-1])
    falls, rises = _slope(begin, way, half), _slope(begin + way, way, half)
    for _ in range(rounds):
        middle = 0.5 * (low + high)
        slope = _slope(begin + middle[..., None] * way, way, half)
        before = slope < 0.0
        low, high = np.where(before, middle, low), np.where(before, high, middle)
        falls, rises = np.where(before, slope, falls), np.where(before, rises, slope)
    share = np.clip(falls / np.where(falls < rises, falls - rises, -1.0), 0.0, 1.0)
    least = begin + (low + share * (high - low))[..., None] * way
    ends = np.minimum(_outside(begin, half), _outside(begin + way, half))
    return np.asarray(np.sqrt(np.minimum(_outside(least, half), ends)))


def _slope(points: Floats, way: Floats, half: Floats) -> Floats:
    """Half of how fast the square of the distance grows along a way."""
    return np.asarray(np.einsum("...i,...i->...", points - np.clip(points, -half, half), way))


def _outside(points: Floats, half: Floats) -> Floats:
    """Square of the distance from points to a box about the origin, 0 inside."""
    beyond = np.maximum(np.abs(points) - half, 0.0)
    return np.asarray(np.einsum("...i,...i->...", beyond, beyond))

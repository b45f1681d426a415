"""How far an arm keeps from boxes on a whole move, not only at some positions of it.

While each joint goes evenly from one position to another, no point of the arm moves further than the joints' turns
times the longest lever behind each, and the carriage's way. A gap changes no faster than that, so two gaps at the ends
of a piece bound it in between; pieces in which something closer could hide are halved until none is left.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from millhand.model.arm import Linkage
from millhand.solvers.pose.clearance import Bars, Box, ends_with_part, least_gaps_m
from millhand.solvers.pose.links import Floats

START_M = 0.25  # no point of the arm moves further on a piece that is looked at first: only the time depends on it
WITHIN_M = 0.005  # a gap is told by no more than this too small: judged, a sixth of what is asked for
ROUNDS = 14  # of the narrowing along a bar
ALONG_M = 1e-4  # by which it may miss the nearest point of a bar of 1.6 m in so many rounds
HALVINGS = 16  # by then a piece is below a hundredth of a millimetre
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """Moves of an arm whose foot may go along: joints [moves, 2, joints], feet [moves, 2, 4] in the floor's frame with
    the same heading at both ends."""

    joints: Floats
    feet: Floats


def levers_m(arm: Linkage, *, tool_m: float) -> Floats:
    """For each joint the furthest that any point behind it can lie from its axis; of a slide 1, for its own way."""
    spans = [float(np.hypot(joint.a_m, joint.d_m)) + max(abs(joint.low), abs(joint.high)) * joint.slides
             for joint in arm.joints]  # fmt: skip
    return np.array(
        [1.0 if joint.slides else abs(joint.a_m) + sum(spans[n + 1 :]) + tool_m for n, joint in enumerate(arm.joints)]
    )


def moved_m(arm: Linkage, sweep: Sweep, *, tool_m: float) -> Floats:
    """[moves]: no point of the arm goes further than this on a move."""
    turns = np.abs(np.diff(sweep.joints, axis=1))[:, 0]
    return np.asarray(turns @ levers_m(arm, tool_m=tool_m) + np.linalg.norm(np.diff(sweep.feet, axis=1)[:, 0], axis=1))


def swept_gaps_m(
    arm: Linkage, sweep: Sweep, *, bars: Bars, boxes: tuple[Box, ...], most_m: float = math.inf
) -> tuple[Floats, Ints]:
    """[moves]: a gap that is kept on the whole of each move, and to which of the boxes it is; boxes in the floor's
    frame. The true least gap is no more than WITHIN_M and ALONG_M greater. 0 where something is touched: how deep does
    not count, and is not looked for; nor how far a gap goes beyond `most_m`: of such a one no more is told than that it
    is as great, less both."""
    whole = moved_m(arm, sweep, tool_m=bars.far_m)
    counts = np.maximum(1, np.ceil(whole / START_M).astype(int))
    owner = np.repeat(np.arange(len(counts)), counts)
    place = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    low, high = place / counts[owner], (place + 1) / counts[owner]
    ends = [_gaps(arm, sweep, np.concatenate([owner, owner]), np.concatenate([low, high]), bars, boxes)]
    gaps, near = ends[0]
    left, right = gaps[: len(owner)], gaps[len(owner) :]
    least, beside = np.full(len(counts), most_m), np.zeros(len(counts), dtype=np.int64)
    _noted(least, beside, np.concatenate([owner, owner]), gaps, near)
    kept = np.full(len(counts), np.inf)
    for _ in range(HALVINGS):
        sure = 0.5 * (left + right - whole[owner] * (high - low))
        split = (sure < least[owner] - WITHIN_M) & (least[owner] > 0.0)
        np.minimum.at(kept, owner[~split], sure[~split])
        if not split.any():
            break
        owner, low, high, left, right = (each[split] for each in (owner, low, high, left, right))
        middle = 0.5 * (low + high)
        gaps, near = _gaps(arm, sweep, owner, middle, bars, boxes)
        _noted(least, beside, owner, gaps, near)
        owner, low, high = np.tile(owner, 2), np.concatenate([low, middle]), np.concatenate([middle, high])
        left, right = np.concatenate([left, gaps]), np.concatenate([gaps, right])
    else:
        np.minimum.at(kept, owner, 0.5 * (left + right - whole[owner] * (high - low)))
    return np.maximum(0.0, np.minimum(kept, least) - ALONG_M), beside


def _noted(least: Floats, beside: Ints, owner: Ints, gaps: Floats, near: Ints) -> None:
    """Write the smallest of new gaps of each move into the records."""
    order = np.lexsort((gaps, owner))
    first = order[np.unique(owner[order], return_index=True)[1]]
    better = first[gaps[first] < least[owner[first]]]
    least[owner[better]], beside[owner[better]] = gaps[better], near[better]


def _gaps(
    arm: Linkage, sweep: Sweep, owner: Ints, shares: Floats, bars: Bars, boxes: tuple[Box, ...]
) -> tuple[Floats, Ints]:
    """The least gap at so much of each move, and to which box."""
    part = shares[:, None]
    joints = sweep.joints[owner, 0] * (1.0 - part) + sweep.joints[owner, 1] * part
    feet = sweep.feet[owner, 0] * (1.0 - part) + sweep.feet[owner, 1] * part
    ends = on_floor(feet, ends_with_part(arm, joints, bars=bars))
    return least_gaps_m(ends, bars=bars, boxes=boxes, rounds=ROUNDS)


def on_floor(feet: Floats, points: Floats) -> Floats:
    """Points [poses, points, 3] in the frame of each foot [poses, 4], as the floor sees them."""
    cos, sin = np.cos(feet[:, 3])[:, None], np.sin(feet[:, 3])[:, None]
    x, y = points[..., 0], points[..., 1]
    turned = np.stack([cos * x - sin * y, sin * x + cos * y, points[..., 2]], axis=-1)
    return turned + feet[:, None, :3]

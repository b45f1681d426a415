"""Where the bars of an arm are, and their least gap to many boxes, as loops for the compiler: the same steps as in
`clearance.py`.

A bar in the frame of a box stands in the last row of `work`: where it begins, where it leads, half the box's sides.
"""

import math

import numpy as np

from millhand.solvers.kernel.events.jit import entry, inner
from millhand.solvers.pose.links import Floats


@entry
def gap_loop(ends: Floats, radii: Floats, boxes: Floats, rounds: int, out: Floats, work: Floats) -> None:
    """Into `out` [poses, 2] the least gap of each pose and the number of the box that it is to.

    ends [poses, bars + 1, 3]; radii [bars]; boxes [boxes, 8]: middle, half sides, cosine and sine of the turn; work
    [boxes + 1, bars or 9, whichever is more].
    """
    bars, last = len(radii), len(boxes)
    for pose in range(len(ends)):
        most = np.inf
        for box in range(len(boxes)):
            if sphere_gap_m(ends, pose, boxes, box, bars) - thickest(radii) > most:
                for bar in range(bars):
                    work[box, bar] = np.inf
                continue
            for bar in range(bars):
                seen(ends, pose, bar, boxes, box, work)
                middle = math.sqrt(outside(work, last, 0.5)) - radii[bar]
                work[box, bar] = middle - 0.5 * length_m(work, last)
                most = min(most, middle)
        best, beside = np.inf, 0
        for box in range(len(boxes)):
            for bar in range(bars):
                if work[box, bar] <= most and work[box, bar] <= best:
                    seen(ends, pose, bar, boxes, box, work)
                    gap = least(work, last, rounds) - radii[bar]
                    if gap < best:
                        best, beside = gap, box
        out[pose, 0], out[pose, 1] = best, beside


@entry
def ends_loop(rows: Floats, joints: Floats, tool_m: float, ends: Floats, frame: Floats) -> None:
    """Into `ends` [poses, joints + 1, 3] where the bars begin and end, from the first joint to the tip of the tool.

    rows [joints, 7]: a, d, cosine and sine of alpha, offset, whether it slides, whether the arm hangs; frame [3, 4] is
    room to work in.
    """
    last = len(rows)
    for pose in range(len(joints)):
        for axis in range(3):
            for column in range(4):
                frame[axis, column] = 1.0 if axis == column else 0.0
            if rows[0, 6] > 0.0 and axis > 0:
                frame[axis, axis] = -1.0
        for joint in range(last):
            stepped(rows, joint, joints[pose, joint], frame)
            for axis in range(3):
                ends[pose, joint, axis] = frame[axis, 3]
        for axis in range(3):
            ends[pose, last, axis] = frame[axis, 3] + tool_m * frame[axis, 2]


@inner
def stepped(rows: Floats, joint: int, at: float, frame: Floats) -> None:
    """The frame [3, 4] behind one joint more."""
    slides = rows[joint, 5] > 0.0
    turn = rows[joint, 4] if slides else at + rows[joint, 4]
    cos, sin, up, over = math.cos(turn), math.sin(turn), rows[joint, 2], rows[joint, 3]
    slid = rows[joint, 1] + (at if slides else 0.0)
    for axis in range(3):
        x, y, z = frame[axis, 0], frame[axis, 1], frame[axis, 2]
        ahead, beside = x * cos + y * sin, y * cos - x * sin
        frame[axis, 0], frame[axis, 1], frame[axis, 2] = ahead, beside * up + z * over, z * up - beside * over
        frame[axis, 3] += ahead * rows[joint, 0] + z * slid


@inner
def thickest(radii: Floats) -> float:
    """The greatest radius."""
    most = 0.0
    for radius in radii:
        most = max(most, radius)
    return most


@inner
def sphere_gap_m(ends: Floats, pose: int, boxes: Floats, box: int, bars: int) -> float:
    """No point of the bars' middle lines is nearer to a box: they lie in a sphere about one of their ends."""
    middle, far, out = bars // 2, 0.0, 0.0
    for end in range(bars + 1):
        away = 0.0
        for axis in range(3):
            away += (ends[pose, end, axis] - ends[pose, middle, axis]) ** 2
        far = max(far, away)
    x, y = ends[pose, middle, 0] - boxes[box, 0], ends[pose, middle, 1] - boxes[box, 1]
    cos, sin = boxes[box, 6], boxes[box, 7]
    out += max(0.0, abs(cos * x + sin * y) - boxes[box, 3]) ** 2
    out += max(0.0, abs(cos * y - sin * x) - boxes[box, 4]) ** 2
    out += max(0.0, abs(ends[pose, middle, 2] - boxes[box, 2]) - boxes[box, 5]) ** 2
    return math.sqrt(out) - math.sqrt(far)


@inner
def seen(ends: Floats, pose: int, bar: int, boxes: Floats, box: int, work: Floats) -> None:
    """One bar as one box sees it, into the last row of the work."""
    row, cos, sin = len(boxes), boxes[box, 6], boxes[box, 7]
    x, y = ends[pose, bar, 0] - boxes[box, 0], ends[pose, bar, 1] - boxes[box, 1]
    to_x, to_y = ends[pose, bar + 1, 0] - boxes[box, 0], ends[pose, bar + 1, 1] - boxes[box, 1]
    work[row, 0], work[row, 1] = cos * x + sin * y, cos * y - sin * x
    work[row, 2] = ends[pose, bar, 2] - boxes[box, 2]
    work[row, 3], work[row, 4] = cos * to_x + sin * to_y - work[row, 0], cos * to_y - sin * to_x - work[row, 1]
    work[row, 5] = ends[pose, bar + 1, 2] - boxes[box, 2] - work[row, 2]
    work[row, 6], work[row, 7], work[row, 8] = boxes[box, 3], boxes[box, 4], boxes[box, 5]


@inner
def length_m(work: Floats, row: int) -> float:
    """How long the bar is."""
    return math.sqrt(work[row, 3] ** 2 + work[row, 4] ** 2 + work[row, 5] ** 2)


@inner
def outside(work: Floats, row: int, share: float) -> float:
    """Square of the distance from the box to the point at so much of the bar, 0 inside."""
    total = 0.0
    for axis in range(3):
        total += max(0.0, abs(work[row, axis] + share * work[row, 3 + axis]) - work[row, 6 + axis]) ** 2
    return total


@inner
def slope(work: Floats, row: int, share: float) -> float:
    """Half of how fast that square grows along the bar there."""
    total = 0.0
    for axis in range(3):
        at, half = work[row, axis] + share * work[row, 3 + axis], work[row, 6 + axis]
        total += (at - min(max(at, -half), half)) * work[row, 3 + axis]
    return total


@inner
def least(work: Floats, row: int, rounds: int) -> float:
    """Least distance of the bar from the box, 0 inside: the piece in which the slope changes sign is halved."""
    low, high = 0.0, 1.0
    falls, rises = slope(work, row, 0.0), slope(work, row, 1.0)
    for _ in range(rounds):
        middle = 0.5 * (low + high)
        here = slope(work, row, middle)
        if here < 0.0:
            low, falls = middle, here
        else:
            high, rises = middle, here
    share = falls / (falls - rises) if falls < rises else -falls
    at = low + min(max(share, 0.0), 1.0) * (high - low)
    ends = min(outside(work, row, 0.0), outside(work, row, 1.0))
    return math.sqrt(min(outside(work, row, at), ends))

"""How near an arm comes to its fence on its ways, seen from above: whatever its height, the plan distance counts."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from millhand.solvers.placing.fencing import Piece
from millhand.solvers.placing.shared_track import waits_as
from millhand.solvers.placing.site import Foot, Kit
from millhand.solvers.placing.ways import Free, Place
from millhand.solvers.pose.clearance import Box
from millhand.solvers.pose.swept import Sweep, swept_gaps_m

HIGH_M = 20.0  # a wall without an end up or down: the gap to it is the distance on the plan
MOST_M = 2.0  # further off nothing is asked for by any table
MOST_WALKED_M = 10.0  # further off nobody gets before an arm stands: three seconds at a run
Moved = tuple[tuple[Place, Place], tuple[Foot, Foot]]


def swept(free: Free) -> Sweep:
    """All ways in and between."""
    moves = list(moved(free))
    return Sweep(joints=np.array([joints for joints, _ in moves]), feet=np.array([feet for _, feet in moves]))


def to_pieces_m(kit: Kit, sweep: Sweep, pieces: Sequence[Piece], most_m: float) -> float:
    """The least plan distance from arm and hand on these ways to some stretches, no more than `most_m`.

    Sure to a few millimetres; 0 where the arm goes through one. A part that stands out beyond the hand is not in it.
    """
    if not len(sweep.joints) or not pieces:
        return most_m
    walls = tuple(_wall(each) for each in pieces)
    gaps, _ = swept_gaps_m(kit.arm, sweep, bars=kit.hand.bars, boxes=walls, most_m=most_m)
    return float(gaps.min())


def moved(free: Free) -> Iterator[Moved]:
    """Every straight piece of every way: into each target, and between places, where a carriage goes along with the
    middle piece; and where two arms wait for each other."""
    feet = free.plan.feet
    for each in (*free.stops.values(), *free.plan.served):
        if each.way is not None:
            foot = feet[each.name.split(" ")[0]]
            yield from (((tuple(a), tuple(b)), (foot, foot)) for a, b in pairwise(each.way.tolist()))
    for name, machine in waits_as(feet, free.stops).items():
        front = free.stops[machine].front
        yield (front, front), (feet[name], feet[name])
    for (one, other), way in free.ways.items():
        middle = len(way.rests) // 2 - 1
        for leg, pair in enumerate(pairwise(way.rests)):
            begin = feet[one] if leg <= middle else feet[other]
            yield pair, (begin, feet[other] if leg >= middle else feet[one])


def _wall(piece: Piece) -> Box:
    """A stretch of the fence without thickness."""
    x, y, to_x, to_y = piece
    return Box(
        name="fence", middle_m=((x + to_x) / 2.0, (y + to_y) / 2.0, 0.0),
        half_m=(abs(to_x - x) / 2.0, abs(to_y - y) / 2.0, HIGH_M),
    )  # fmt: skip

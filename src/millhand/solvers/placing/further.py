"""How far out a fence stands so that the arm keeps the distances that are asked for behind it.

The margin alone does not know where the arm goes. Each side that stands too near to it is moved out by what it lacks,
in steps that a drawing is set out by; where the fence is led in to a strip, the floor along its line is taken inside in
the same way. What ends at a stand that somebody fills or empties, and what runs along the strip there, stays: the arm
has to get to that stand, wherever the fence goes.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.solvers.placing.fencing import ALIKE_M, Piece
from millhand.solvers.placing.near_fence import swept, to_pieces_m
from millhand.solvers.placing.people import DIGITS, built_round, fence_lines, notches, strips, walk_share
from millhand.solvers.placing.placed import Out, Placed
from millhand.solvers.placing.site import Kit, Rect, Site, free_of
from millhand.solvers.placing.ways import Free
from millhand.solvers.pose.swept import ALONG_M, WITHIN_M, Sweep

STEP_M = 0.05  # by which a fence is set out: judged
ROUNDS = 12  # of moving out: what is seen slanting needs more than one
MOST_IN_M = 1.0  # no line that is led in is moved further for one distance: judged, then the strip is elsewhere
SIDES = {"west_m": (-1, 0), "south_m": (0, -1), "east_m": (1, 0), "north_m": (0, 1)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lines:
    """The stretches of a fence: those on each side of its rectangle; of those that are led in what can keep a distance;
    and what ends at a stand that somebody fills or empties, or runs along the strip there."""

    sides: Mapping[str, tuple[Piece, ...]]
    led: Mapping[Piece, tuple[Piece, ...]]  # by the whole stretch
    ends: tuple[Piece, ...]

    @property
    def free(self) -> tuple[Piece, ...]:
        """All that can keep a distance."""
        return tuple(piece for each in (*self.sides.values(), *self.led.values()) for piece in each)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a fence is moved out for: the ways of an arm, and how far behind the fence they have to stay."""

    kit: Kit
    site: Site
    free: Free
    sweep: Sweep
    asked_m: float

    @property
    def need_m(self) -> float:
        """From arm and hand: a held part counted, and so much that however a gap is told, it is kept."""
        return self.asked_m + self.kit.hand.part_m + WITHIN_M + ALONG_M

    @property
    def margin_m(self) -> float:
        """The margin of the fence; there is one."""
        people = self.kit.people
        return people.fence_m if people is not None and people.fence_m is not None else 0.0

    def lack_m(self, pieces: Sequence[Piece]) -> float:
        """What some stretches lack."""
        gap_m = to_pieces_m(self.kit, self.sweep, pieces, self.need_m + STEP_M)
        return max(0.0, self.need_m - gap_m)

    def plan(self, out: Out) -> Placed:
        """The plan with its fence so far out."""
        return replace(self.free.plan, out=out)

    def blocked(self, *floor: Rect) -> bool:
        """Whether something stands there that the fence left outside by its margin alone."""
        near = built_round(self.kit, self.site, self.free.plan, self.margin_m)
        outside = [each for each in self.site.obstacles if free_of(near, [each])]
        return not all(free_of(each, outside) for each in floor)


def set_out(kit: Kit, site: Site, free: Free, asked: Sequence[float], fits: Callable[[Placed], bool]) -> Placed:
    """The plan with its fence as far out as the longest distance asks for, a held part counted, where that `fits`; else
    the next shorter one; else as it was."""
    sweep = swept(free)
    for asked_m in sorted(set(asked), reverse=True):
        out = further_out(Asked(kit=kit, site=site, free=free, sweep=sweep, asked_m=asked_m))
        plan = replace(free.plan, out=out)
        if out == free.plan.out or fits(plan):
            return plan
    return free.plan


def further_out(asked: Asked) -> Out:
    """How far out each side has to stand for one distance, and what is taken inside where the fence is led in. A side
    stops before what else stands there."""
    out = asked.free.plan.out
    for _ in range(ROUNDS):
        plan, before = asked.plan(out), out
        found = lines(asked.kit, asked.site, plan, asked.asked_m)
        for name, pieces in found.sides.items():
            out = _moved(asked, out, name, asked.lack_m(pieces))
        if out == before:  # what is led in goes from side to side: these stand first
            made = (_inside(asked, plan, piece, asked.lack_m(rest)) for piece, rest in found.led.items())
            taken = next((each for each in made if each is not None), None)
            out = replace(out, kept=(*out.kept, taken)) if taken is not None else out
        if out == before:
            break
    return out


def lines(kit: Kit, site: Site, plan: Placed, asked_m: float) -> Lines:
    """The stretches of a plan's fence, behind which a distance is asked for."""
    assert kit.people is not None
    assert kit.people.fence_m is not None
    whole = built_round(kit, site, plan, kit.people.fence_m)
    sides: dict[str, list[Piece]] = {name: [] for name in SIDES}
    led: dict[Piece, tuple[Piece, ...]] = {}
    ends: list[Piece] = []
    beside = tuple(_beside(kit, site, plan, asked_m))
    for piece in fence_lines(kit, site, plan, whole):
        side = _side(whole, piece)
        if side is not None:
            sides[side].append(piece)
            continue
        led[piece], own = _split(piece, beside)
        ends += own
    return Lines(sides={name: tuple(each) for name, each in sides.items()}, led=led, ends=tuple(ends))


def _split(piece: Piece, beside: Sequence[tuple[Rect, float]]) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """What of a stretch can keep a distance, and what lies beside one of some rectangles."""
    rest: tuple[Piece, ...] = (piece,)
    ends: tuple[Piece, ...] = ()
    for rect, far_m in beside:
        cuts = [parted(one, rect, far_m) for one in rest]
        ends += tuple(there for there, _ in cuts if there is not None)
        rest = tuple(one for _, others in cuts for one in others)
    return rest, ends


def _beside(kit: Kit, site: Site, plan: Placed, asked_m: float) -> Iterator[tuple[Rect, float]]:
    """Where a fence that is led in cannot keep a distance, and how near to it: the arm gets to all of a stand, hand and
    held part a little beyond; and somebody has to have room in the strip."""
    for each in strips(kit, site, plan):
        if each.rect is not None:
            yield each.stood.rect, asked_m + kit.hand.part_m + kit.hand.bars.tool_radius_m
            yield each.rect, ALIKE_M


def parted(piece: Piece, rect: Rect, far_m: float) -> tuple[Piece | None, tuple[Piece, ...]]:
    """What of a stretch lies within so much of a rectangle, and the rest of it."""
    x, y, to_x, to_y = piece
    level = y == to_y
    low, high = sorted((x, to_x) if level else (y, to_y))
    across = abs(y - rect.y_m) - rect.depth_m / 2.0 if level else abs(x - rect.x_m) - rect.width_m / 2.0
    if across >= far_m:
        return None, (piece,)
    reach = math.sqrt(far_m**2 - max(0.0, across) ** 2)
    middle, half = (rect.x_m, rect.width_m / 2.0) if level else (rect.y_m, rect.depth_m / 2.0)
    begin, end = max(low, middle - half - reach), min(high, middle + half + reach)
    if end - begin <= ALIKE_M:
        return None, (piece,)
    cuts = [(begin, end), *(each for each in ((low, begin), (end, high)) if each[1] - each[0] > ALIKE_M)]
    made = [(a, y, b, y) if level else (x, a, x, b) for a, b in cuts]
    return made[0], tuple(made[1:])


def _moved(asked: Asked, out: Out, name: str, lack_m: float) -> Out:
    """One side as many steps further out as hold what it lacks; fewer where something stands in the way."""
    so_far = getattr(out, name)
    for steps in range(math.ceil(lack_m / STEP_M), 0, -1):
        moved = replace(out, **{name: round(so_far + steps * STEP_M, DIGITS)})
        if not asked.blocked(built_round(asked.kit, asked.site, asked.plan(moved), asked.margin_m)):
            return moved
    return out


def _inside(asked: Asked, plan: Placed, piece: Piece, lack_m: float) -> Rect | None:
    """The floor along a stretch that is led in, on its outer side, so wide that the stretch lacks nothing beyond it;
    None where it lacks nothing here, where it lacks something everywhere near, where something stands in the way, or
    where people's ways get narrower by it."""
    if lack_m <= 0.0:
        return None
    whole = built_round(asked.kit, asked.site, plan, asked.margin_m)
    cut = notches(asked.kit, asked.site, plan, whole)
    made = next(
        (_wide_enough(asked, plan, piece, (way, lack_m)) for way in SIDES.values()
         if not free_of(_along(piece, way, ALIKE_M), cut) and _across(piece, way)), None,
    )  # fmt: skip
    if made is None or asked.blocked(made):
        return None
    taken = replace(plan, out=replace(plan.out, kept=(*plan.out.kept, made)))
    shares = (walk_share(asked.kit, asked.site, each) for each in (taken, plan))
    return made if next(shares) >= next(shares) else None


def _wide_enough(asked: Asked, plan: Placed, piece: Piece, by: tuple[tuple[int, int], float]) -> Rect | None:
    """The floor to one side of a stretch as far as it has to be shifted to lack nothing; None where that is too far."""
    (dx, dy), lack_m = by
    beside, wide_m = tuple(_beside(asked.kit, asked.site, plan, asked.asked_m)), 0.0
    x, y, to_x, to_y = piece
    while lack_m > 0.0 and wide_m < MOST_IN_M:
        wide_m = round(wide_m + math.ceil(lack_m / STEP_M) * STEP_M, DIGITS)
        shifted = (x + dx * wide_m, y + dy * wide_m, to_x + dx * wide_m, to_y + dy * wide_m)
        lack_m = asked.lack_m(_split(shifted, beside)[0])
    return _along(piece, (dx, dy), wide_m) if lack_m <= 0.0 else None


def _across(piece: Piece, way: tuple[int, int]) -> bool:
    """Whether a way leads across a stretch, not along it."""
    return bool(way[1]) == (piece[1] == piece[3])


def _along(piece: Piece, way: tuple[int, int], wide_m: float) -> Rect:
    """The floor along one side of a stretch."""
    x, y, to_x, to_y = piece
    dx, dy = way
    return Rect(
        name="inside", x_m=(x + to_x + dx * wide_m) / 2.0, y_m=(y + to_y + dy * wide_m) / 2.0,
        width_m=abs(to_x - x) + abs(dx) * wide_m, depth_m=abs(to_y - y) + abs(dy) * wide_m,
    )  # fmt: skip


def _side(whole: Rect, piece: Piece) -> str | None:
    """On which side of the rectangle a stretch lies; None for one that is led in."""
    x, y, to_x, to_y = piece
    for name, (dx, dy) in SIDES.items():
        line = whole.x_m + dx * whole.width_m / 2.0 if dx else whole.y_m + dy * whole.depth_m / 2.0
        if (x == to_x if dx else y == to_y) and abs((x if dx else y) - line) < ALIKE_M:
            return name
    return None

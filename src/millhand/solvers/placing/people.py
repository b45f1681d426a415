"""Where people stand and walk round a placed cell: beside presenter and outfeed, through the gate, to the doors."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from millhand.solvers.placing.around import Stood
from millhand.solvers.placing.fence_floor import beside_stands, cut_out_m2, joined, pockets_beside, trimmed, without
from millhand.solvers.placing.fencing import ALIKE_M, THICK_M, Fence, Piece, fenced, notch, with_gates
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.site import Kit, Rect, Site, free_of
from millhand.solvers.placing.walks import aisle, reachable, sides_away, widest_way_m

MOST_M = 1.0  # a wider way is not looked for: judged, it limits nobody
FOUND_M = 0.01  # a way so much wider is found to be as wide as asked for, as it is found by halving
DIGITS = 6  # to the micrometre: what differs by less is alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where somebody stands beside a stand, and which way leads from the stand to there; None: no side is free."""

    stood: Stood
    rect: Rect | None
    way: tuple[int, int]


def strips(kit: Kit, site: Site, plan: Placed) -> Iterator[Strip]:
    """The aisle behind presenter and outfeed: on a side that is free, that a fence can be led round and that people get
    to, of these the one furthest from the arm; else on one of which less holds."""
    for each in plan.stood:
        others = (
            *site.machines, *site.obstacles, *plan.columns, plan.arm,
            *(other.rect for other in plan.stood if other is not each),
        )  # fmt: skip
        sides = [
            Strip(stood=each, rect=aisle(each.rect, way, site.aisle_m), way=way)
            for way in sides_away(plan.feet[each.rect.name][:2], each.rect, each.high)
        ]
        free = [side for side in sides if side.rect is not None and free_of(side.rect, others)]
        best = _easiest(kit, site, plan, free) if free else Strip(stood=each, rect=None, way=(0, 0))
        yield _trimmed(kit, plan, best)


def _easiest(kit: Kit, site: Site, plan: Placed, free: list[Strip]) -> Strip:
    """Of some free sides the first that a fence can be led round, where there is one, and that people get to."""
    if len(free) < 2 or kit.people is None:
        return free[0]
    rects = [each.rect for each in free if each.rect is not None]
    there = reachable(standing(kit, site, plan), rects, kit.people.width_m)
    if kit.people.fence_m is None:
        return free[there.index(True)] if any(there) else free[0]
    whole = enclosed(kit, site, plan, kit.people.fence_m)
    cut = [_notch(kit, site, plan, each, whole) is not None for each in free]
    best = max(range(len(free)), key=lambda n: (cut[n] and there[n], cut[n], there[n], -n))
    return free[best]


def _trimmed(kit: Kit, plan: Placed, strip: Strip) -> Strip:
    """The strip with room for a fence that runs along it, before what the fence keeps off."""
    if strip.rect is None or kit.people is None or kit.people.fence_m is None:
        return strip
    rect = trimmed(strip.rect, _kept_off(plan, kit.people.fence_m), strip.way, kit.people.width_m)
    return replace(strip, rect=rect)


def _kept_off(plan: Placed, margin_m: float) -> Rect:
    """Floor under the arm's foot or its track with the fence's margin round it."""
    return replace(plan.arm, width_m=plan.arm.width_m + 2.0 * margin_m, depth_m=plan.arm.depth_m + 2.0 * margin_m)


def _kept_round(kit: Kit, site: Site, plan: Placed, beside: Strip) -> tuple[Rect, ...]:
    """What a fence may not be drawn up to, with its margin round it: a machine closes it and is not in this."""
    margin_m = kit.people.fence_m if kit.people is not None and kit.people.fence_m is not None else 0.0
    stands = [each.rect for each in plan.stood if each.rect is not beside.stood.rect]
    others = (
        replace(each, width_m=each.width_m + 2.0 * margin_m, depth_m=each.depth_m + 2.0 * margin_m)
        for each in (*plan.columns, *stands)
    )
    rooms = (door.room(site.before_door_m) for door in site.doorways)
    return (*others, _kept_off(plan, margin_m), *rooms, beside.stood.rect)


def notches(kit: Kit, site: Site, plan: Placed, whole: Rect) -> list[Rect]:
    """The strips where somebody stands that the fence is led round, as far as its side, with the pockets beside them
    that would be left empty behind it; of both only the strips themselves where the plan keeps floor inside."""
    cut, own = [], []
    for each in strips(kit, site, plan):
        led = _notch(kit, site, plan, each, whole)
        if led is not None:
            kept = _kept_round(kit, site, plan, each)
            cut.append(led)
            cut += [joined(led, pocket) for pocket in pockets_beside(whole, led) if free_of(pocket, kept)]
            own += [each.rect] if each.rect is not None else []
    return [*own, *(rest for each in cut for rest in without(each, plan.out.kept))] if plan.out.kept else cut


def outside_m2(kit: Kit, site: Site, plan: Placed) -> float:
    """Of the rectangle round all that is new what the fence leaves out [m2]; nothing without a fence."""
    if kit.people is None or kit.people.fence_m is None:
        return 0.0
    whole = enclosed(kit, site, plan, kit.people.fence_m)
    return cut_out_m2(whole, (*notches(kit, site, plan, whole), *site.machines))


def floor_inside_m2(kit: Kit, site: Site, plan: Placed) -> float:
    """Floor inside the fence as it runs [m2]; nothing without one."""
    if kit.people is None or kit.people.fence_m is None:
        return 0.0
    whole = enclosed(kit, site, plan, kit.people.fence_m)
    return whole.width_m * whole.depth_m - outside_m2(kit, site, plan)


def _notch(kit: Kit, site: Site, plan: Placed, strip: Strip, whole: Rect) -> Rect | None:
    """What a fence round all leaves out for a strip, as wide as somebody needs who stands before a narrow stand; None
    where something else stands there."""
    if strip.rect is None or kit.people is None:
        return None
    rooms = (door.room(site.before_door_m) for door in site.doorways)
    others = [
        each for each in (*standing(kit, site, plan), plan.arm, *rooms) if each is not strip.stood.rect
    ]  # fmt: skip
    room_m = kit.people.width_m + 2.0 * THICK_M
    side = "depth_m" if strip.way[0] else "width_m"
    wide = replace(strip.rect, **{side: max(room_m, getattr(strip.rect, side))})
    cuts = (notch(whole, each, strip.way) for each in (wide, strip.rect))
    return next((each for each in cuts if free_of(each, others)), None)


def standing(kit: Kit, site: Site, plan: Placed) -> tuple[Rect, ...]:
    """What nobody walks through: machines, obstacles, columns, stands, a foot that stays.

    A track that stands still is stepped over.
    """
    foot = () if kit.on_track else (plan.arm,)
    return (*site.machines, *site.obstacles, *plan.columns, *(each.rect for each in plan.stood), *foot)


def enclosed(kit: Kit, site: Site, plan: Placed, margin_m: float) -> Rect:
    """The rectangle round all that is new on the floor and the door planes, with a margin, and each side as much
    further out as the plan has it."""
    out = plan.out
    pieces = [*(each.rect for each in plan.stood), *plan.columns]
    if not kit.on_beam:
        pieces.append(_built(kit, plan))
    xs = [each.x_m + side * each.width_m / 2.0 for each in pieces for side in (-1, 1)]
    ys = [each.y_m + side * each.depth_m / 2.0 for each in pieces for side in (-1, 1)]
    xs += [door.x_m for door in site.doorways]
    ys += [door.y_m for door in site.doorways]
    return Rect(
        name="fence",
        x_m=(min(xs) + max(xs) + out.east_m - out.west_m) / 2.0,
        y_m=(min(ys) + max(ys) + out.north_m - out.south_m) / 2.0,
        width_m=max(xs) - min(xs) + 2.0 * margin_m + out.east_m + out.west_m,
        depth_m=max(ys) - min(ys) + 2.0 * margin_m + out.north_m + out.south_m,
    )


def _built(kit: Kit, plan: Placed) -> Rect:
    """What the arm stands on; a track as long as it is built."""
    if not kit.on_track or kit.people is None:
        return plan.arm
    length = plan.track_m + kit.people.beyond_m
    if plan.arm.width_m >= plan.arm.depth_m:
        return replace(plan.arm, width_m=length)
    return replace(plan.arm, depth_m=length)


def fence_of(kit: Kit, site: Site, plan: Placed) -> Fence | None:
    """The fence as it is built, with its gates; None where the cell is guarded otherwise."""
    if kit.people is None or kit.people.fence_m is None:
        return None
    rooms = tuple(door.room(site.before_door_m) for door in site.doorways)
    lines = fence_lines(kit, site, plan, built_round(kit, site, plan, kit.people.fence_m))
    return with_gates(
        lines, standing(kit, site, plan), rooms, gate_m=site.aisle_m, width_m=kit.people.width_m,
        wide_m=kit.people.gate_m + FOUND_M,
    )  # fmt: skip


def fence_lines(kit: Kit, site: Site, plan: Placed, whole: Rect) -> tuple[Piece, ...]:
    """The stretches of a fence round a rectangle, before there are gates in it."""
    round_all = fenced(whole, notches(kit, site, plan, whole), site.machines)
    stands = [each.rect for each in plan.stood]
    return tuple(rest for piece in round_all for rest in beside_stands(piece, stands))


def built_round(kit: Kit, site: Site, plan: Placed, margin_m: float) -> Rect:
    """The rectangle on which a fence is built, but for where it is led in."""
    return holding(enclosed(kit, site, plan, margin_m), tuple(door.room(site.before_door_m) for door in site.doorways))


def holding(whole: Rect, rooms: Sequence[Rect]) -> Rect:
    """The rectangle as far out as the floor kept free before each door asks for: no fence is built across a door wider
    than the margin on both sides of its middle. The floor that is counted stays that of the margin."""
    for each in rooms:
        far = max(abs(each.x_m - whole.x_m) - (whole.width_m - each.width_m) / 2.0,
                  abs(each.y_m - whole.y_m) - (whole.depth_m - each.depth_m) / 2.0)  # fmt: skip
        whole = joined(whole, each) if far > ALIKE_M else whole
    return whole


def goals(kit: Kit, site: Site, plan: Placed) -> dict[str, Rect | None]:
    """Where people have to get to: the floor before each door, the strip beside each stand; None: no side is free."""
    doors = {door.name: door.room(site.before_door_m) for door in site.doorways}
    return doors | {each.stood.rect.name: each.rect for each in strips(kit, site, plan)}


def widths(kit: Kit, site: Site, plan: Placed) -> dict[str, float]:
    """How wide the way from outside to each of these is."""
    fence = fence_of(kit, site, plan)
    pieces = (*standing(kit, site, plan), *(fence.walls if fence is not None else ()))
    return {
        name: widest_way_m(pieces, rect, most_m=MOST_M) if rect is not None else 0.0
        for name, rect in goals(kit, site, plan).items()
    }


def walk_share(kit: Kit, site: Site, plan: Placed) -> float:
    """How wide the narrowest of these ways is, as a share of what somebody needs, no more than 1."""
    if kit.people is None:
        return 1.0
    fence = fence_of(kit, site, plan)
    pieces = (*standing(kit, site, plan), *(fence.walls if fence is not None else ()))
    needed, least = kit.people.width_m, 1.0
    rects = list(goals(kit, site, plan).values())
    if any(rect is None for rect in rects):
        return 0.0
    there = [rect for rect in rects if rect is not None]
    for rect, well in zip(there, reachable(pieces, there, needed), strict=True):
        if not well:
            least = min(least, widest_way_m(pieces, rect, most_m=needed) / needed)
    return round(least, DIGITS)

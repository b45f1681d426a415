"""Where people stand and walk round a placed cell: beside presenter and outfeed, through the gate, to the doors."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.solvers.placing.around import Stood
from millhand.solvers.placing.fencing import Fence, fenced, notch, with_gates
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.site import Kit, Rect, Site, free_of
from millhand.solvers.placing.walks import aisle, reachable, sides_away, widest_way_m

MOST_M = 1.0  # a wider way is not looked for: judged, it limits nobody
DIGITS = 6  # to the micrometre: what differs by less is alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where somebody stands beside a stand, and which way leads from the stand to there; None: no side is free."""

    stood: Stood
    rect: Rect | None
    way: tuple[int, int]


def strips(kit: Kit, site: Site, plan: Placed) -> Iterator[Strip]:
    """The aisle behind presenter and outfeed: on a side that is free and that people get to, of these the one furthest
    from the arm; else on one that is free."""
    for each in plan.stood:
        others = (
            *site.machines, *site.obstacles, *plan.columns, plan.arm,
            *(other.rect for other in plan.stood if other is not each),
        )  # fmt: skip
        sides = [
            (aisle(each.rect, way, site.aisle_m), way)
            for way in sides_away(plan.feet[each.rect.name][:2], each.rect, each.high)
        ]
        free = [(side, way) for side, way in sides if free_of(side, others)]
        if len(free) > 1 and kit.people is not None:
            there = reachable(standing(kit, site, plan), [side for side, _ in free], kit.people.width_m)
            free = [side for side, well in zip(free, there, strict=True) if well] or free
        rect, way = free[0] if free else (None, (0, 0))
        yield Strip(stood=each, rect=rect, way=way)


def standing(kit: Kit, site: Site, plan: Placed) -> tuple[Rect, ...]:
    """What nobody walks through: machines, obstacles, columns, stands, a foot that stays.

    A track that stands still is stepped over.
    """
    foot = () if kit.on_track else (plan.arm,)
    return (*site.machines, *site.obstacles, *plan.columns, *(each.rect for each in plan.stood), *foot)


def enclosed(kit: Kit, site: Site, plan: Placed, margin_m: float) -> Rect:
    """The rectangle round all that is new on the floor and the door planes, with a margin."""
    pieces = [*(each.rect for each in plan.stood), *plan.columns]
    if not kit.on_beam:
        pieces.append(_built(kit, plan))
    xs = [each.x_m + side * each.width_m / 2.0 for each in pieces for side in (-1, 1)]
    ys = [each.y_m + side * each.depth_m / 2.0 for each in pieces for side in (-1, 1)]
    xs += [door.x_m for door in site.doorways]
    ys += [door.y_m for door in site.doorways]
    return Rect(
        name="fence", x_m=(min(xs) + max(xs)) / 2.0, y_m=(min(ys) + max(ys)) / 2.0,
        width_m=max(xs) - min(xs) + 2.0 * margin_m, depth_m=max(ys) - min(ys) + 2.0 * margin_m,
    )  # fmt: skip


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
    whole, pieces = enclosed(kit, site, plan, kit.people.fence_m), standing(kit, site, plan)
    rooms = tuple(door.room(site.before_door_m) for door in site.doorways)
    cut = []
    for each in strips(kit, site, plan):
        if each.rect is not None:
            led = notch(whole, each.rect, each.way)
            others = (*pieces, plan.arm, *rooms)
            if free_of(led, [other for other in others if other is not each.stood.rect]):
                cut.append(led)
    lines = fenced(whole, cut, site.machines)
    return with_gates(lines, pieces, rooms, gate_m=site.aisle_m, width_m=kit.people.width_m)


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

"""A whole cell on the floor: the arm's foot or track, the presenter and the outfeed, and how each target is served.

Several places of the foot are tried, with the best places of the rest round each; what fails least is kept, and among
those where all works the one with the shortest ways on the smallest floor.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache, partial

import numpy as np

from millhand.solvers.placing.around import GOOD, Among, Stood, part, placed_round, tried, within_reach
from millhand.solvers.placing.beam import arm_top_m, hung
from millhand.solvers.placing.feet import (
    along_track,
    door_served,
    doors_served,
    doors_there,
    foot_rect,
    nearest_feet,
    one_foot,
    track_axis,
)
from millhand.solvers.placing.people import walk_share
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.serving import Looked, Served, looked, soonest_front
from millhand.solvers.placing.shared_track import further, shared
from millhand.solvers.placing.site import Foot, Kit, Rect, Site, Stand, boxes_round, gap_m

FEET = 5  # places of the foot that are furnished: judged, three of them are told besides the best
FLOOR_WEIGHT = 0.15  # of a square metre against a radian, or a metre on a track, that the arm goes: judged
WIDE_RAD = 1.0  # between two directions of work, so that a first joint of a whole turn has room at both ends: judged
ELBOW_M = (0.6, 0.9, 1.2)  # from the foot, where something would be in the way of an elbow or a hand: judged
ABOUT_RAD = 0.35  # to either side of a direction: judged, so that a slot between two machines is no way through
BEYOND_M = (0.0, 0.6, 1.2, 1.8)  # how far before its first machine a track may begin: judged, up to a stand's length
# Stands that are put elsewhere where a way for people is too narrow, one try after the other: judged, each alone, both.
ELSEWHERE = (("outfeed",), ("presenter",), ("presenter", "outfeed"))
OVERHEAD_M = (0.0, 1.2, 1.8)  # of a beam, which is tried at several heights: judged, fewer of the same
FURTHER_M = (2.4, 3.0)  # of a beam over the machines: judged, a usual machine and a stand beside it

Left = Mapping[str, tuple[Rect, ...]]  # by stand: where it is not to stand


@lru_cache(maxsize=512)
def placed(kit: Kit, site: Site) -> tuple[Placed, ...]:
    """Ways to put the cell down, the best first."""
    kit = turned(kit, site)
    found = _at_heights(kit, site) if kit.heights_m else _at_height(kit, site)
    found.sort(key=rank)
    return tuple(found)


def turned(kit: Kit, site: Site) -> Kit:
    """A kit that hangs from a beam, turned along the row of doors."""
    return replace(kit, heading_rad=0.0 if track_axis(site) == 0 else math.pi / 2.0) if kit.on_beam else kit


def rank(plan: Placed) -> tuple[float, float, float]:
    """What orders plans, the best first: what fails least, the arm's worst target or people's narrowest way, of what is
    alike in that the better served one, then the shortest ways on the smallest floor."""
    return -least(plan), -min(plan.worst.score, GOOD), plan.travel + FLOOR_WEIGHT * plan.floor_m2


def least(plan: Placed) -> float:
    """The least of what counts, no more than is good: how the worst target is served, how wide people's ways are."""
    score = min(plan.worst.score, GOOD)
    return min(score, plan.walk_share * GOOD) if plan.works else score


def machines_score(kit: Kit, site: Site) -> float:
    """How well the machines alone are served from the best place of the foot, or along the best track: a whole cell is
    hardly served better. Of several heights the best counts."""
    kit, best = turned(kit, site), -math.inf
    for height in kit.heights_m or (kit.foot_height_m,):
        best = max(best, _machines_score(replace(kit, foot_height_m=height, heights_m=()), site))
        if best >= GOOD:
            break
    return best


def _machines_score(kit: Kit, site: Site) -> float:
    """The same with the foot as high as the kit has it."""
    if kit.on_track:
        feet = along_track(kit, site)[0]
        return min(door_served(kit, site, feet[door.name], door).score for door in site.doorways)
    return min(each.score for each in doors_served(kit, site, one_foot(kit, site)[0]))


def _at_height(kit: Kit, site: Site) -> list[Placed]:
    """With the foot as high as the kit has it."""
    return _on_track(kit, site) if kit.on_track else _standing(kit, site)


def _at_heights(kit: Kit, site: Site) -> list[Placed]:
    """With the foot as high as may be tried, the lowest first, until one is good. What works below the ceiling goes
    first, then what works; more heights at the upper end are never worse."""
    found: list[Placed] = []
    stands = [each for each in (kit.presenter, kit.outfeed) if each is not None]
    for height in kit.heights_m:
        if not all(within_reach(kit, each, height) for each in stands):
            continue
        found += _at_height(replace(kit, foot_height_m=height, heights_m=()), site)
        if any(least(each) >= GOOD if _below(kit, each) else each.works for each in found):
            break
    well = [each for each in found if each.works]
    below = [each for each in well or found if _below(kit, each)]
    lowest = replace(kit, foot_height_m=kit.heights_m[0], heights_m=())
    return below or well or found or _at_height(lowest, site)


def _below(kit: Kit, plan: Placed) -> bool:
    """Whether all of it keeps below the ceiling."""
    return kit.beam is None or kit.beam.fits(plan.foot_m, plan.top_m)


def nearest_foot(kit: Kit, site: Site) -> Foot | None:
    """Of a pinned foot that does not do: the nearest place from which the machines and the pinned stands are served."""
    pin = kit.pin("arm")
    if pin is None or kit.on_track:
        return None
    for foot in nearest_feet(kit, site, (pin.x_m, pin.y_m)):
        stood = [placed_round(kit, site, foot, stand=each, among=Among()) for each in pinned_stands(kit)]
        if all(each is not None and each.worst.score >= 0.0 for each in stood):
            return foot
    return None


def pinned_stands(kit: Kit) -> list[Stand]:
    """Presenter and outfeed that cannot go along with the foot."""
    return [each for each in (kit.presenter, kit.outfeed) if each is not None and kit.pin(each.name) is not None]


def _standing(kit: Kit, site: Site) -> list[Placed]:
    """The foot stays: each of some places of it, furnished."""
    found: list[Placed] = []
    feet_ = one_foot(kit, site)
    for foot in feet_[: FEET if doors_there(kit, site, feet_[0]) else 1]:
        feet = {door.name: foot for door in site.doorways} | {"presenter": foot, "outfeed": foot}
        found.append(_with_ways(kit, site, partial(_furnished, kit, site, feet, (foot_rect(kit, foot),)), found))
    return found


def _on_track(kit: Kit, site: Site) -> list[Placed]:
    """The foot goes along a track, or two of them: each of some tracks."""
    found: list[Placed] = []
    axis = track_axis(site)
    for feet in along_track(kit, site)[: 2 if kit.beam is None else 1]:  # a beam is tried at other heights too
        for group in _whole_tracks(kit, feet, axis):
            for whole in group:
                build = partial(_hanging, kit, site, whole, axis)
                if kit.beam is None:
                    build = partial(_furnished, kit, site, whole, (_track_rect(kit, whole, axis),))
                found.append(_with_ways(kit, site, build, found))
                if least(found[-1]) >= GOOD:
                    break
    return found


def _whole_tracks(kit: Kit, feet: Mapping[str, Foot], axis: int) -> Iterator[list[dict[str, Foot]]]:
    """The places of the foot with those for presenter and outfeed, at or before the first machine seen from either end;
    in groups, of which the first that does well is enough. With a second arm also where the two wait."""
    beyonds = BEYOND_M if kit.beam is None else OVERHEAD_M if not kit.on_beam else (*OVERHEAD_M, *FURTHER_M)
    if kit.pair is not None:
        yield from shared(kit.pair, feet, axis, beyonds)
        return
    order = sorted(feet.values(), key=lambda foot: foot[axis])
    for first, way in ((order[0], -1.0), (order[-1], 1.0)):
        ends = [further(first, axis, way * beyond) for beyond in beyonds]
        yield [{**feet, "presenter": end, "outfeed": end} for end in ends]


def _with_ways(kit: Kit, site: Site, build: Callable[[Left], Placed], others: Sequence[Placed]) -> Placed:
    """A cell as it is built; with a stand elsewhere, or both, where people's ways are too narrow and that is better."""
    best = _walked(kit, site, build({}))
    left: dict[str, tuple[Rect, ...]] = {}
    for names in ELSEWHERE:
        if not best.works or best.walk_share >= 1.0 or any(least(each) >= GOOD for each in others):
            break
        left |= {each.rect.name: (*left.get(each.rect.name, ()), each.rect) for each in best.stood}
        best = min(best, _walked(kit, site, build({name: left[name] for name in names if name in left})), key=rank)
    return best


def _walked(kit: Kit, site: Site, plan: Placed) -> Placed:
    """A plan with how wide people's ways are in it, where it works: else nobody has to get there."""
    return replace(plan, walk_share=walk_share(kit, site, plan)) if plan.works else plan


def _hanging(kit: Kit, site: Site, feet: Mapping[str, Foot], axis: int, left: Left) -> Placed:
    """The foot goes along a beam: its columns stand first, presenter and outfeed may stand under it."""
    over = hung(kit, site, feet, axis)
    made = _furnished(kit, over.site, feet, (over.strip, *over.columns), left)
    return replace(made, columns=over.columns, top_m=arm_top_m(kit, made.feet, made.served))


def _track_rect(kit: Kit, feet: Mapping[str, Foot], axis: int) -> Rect:
    """The floor under a track: its travel and half a foot beyond each end."""
    row = sorted(feet.values(), key=lambda foot: foot[axis])
    end, last = row[0], row[-1]
    length = abs(end[axis] - last[axis]) + kit.foot_m[0]
    middle = (end[0] + last[0]) / 2.0, (end[1] + last[1]) / 2.0
    sides = (length, kit.foot_m[1]) if axis == 0 else (kit.foot_m[1], length)
    return Rect(name="track", x_m=middle[0], y_m=middle[1], width_m=sides[0], depth_m=sides[1], height_m=0.3)


def _furnished(kit: Kit, site: Site, feet: Mapping[str, Foot], arm: tuple[Rect, ...], left: Left) -> Placed:
    """Presenter and outfeed round the foot where it takes and brings parts, not where they are left out; then all
    targets once more."""
    among = Among(taken=arm if kit.beam is None else ())
    stood: dict[str, Stood | None] = {"presenter": None, "outfeed": None}
    for stand in (kit.presenter, kit.outfeed):
        if stand is not None:
            own = replace(among, left=left.get(stand.name, ()))
            found = placed_round(kit, site, feet[stand.name], stand=stand, among=own)
            stood[stand.name] = found
            if found is not None:
                among = Among(taken=(*among.taken, found.rect), high=(*among.high, found.high))
    return _whole(kit, site, feet, stood, arm)


def _whole(
    kit: Kit, site: Site, feet: Mapping[str, Foot], stood: Mapping[str, Stood | None], arm: tuple[Rect, ...]
) -> Placed:
    """The answer: which way the foot looks is settled, and every target is looked at from there."""
    heading = _heading(site, feet, stood) if kit.heading_rad is None else kit.heading_rad
    feet = {name: (*foot[:3], heading) for name, foot in feet.items()}
    rects = tuple(each.high for each in stood.values() if each is not None)
    doors = {
        door.name: looked(
            kit.arm, feet[door.name], target=door.target, hand=kit.hand, boxes=boxes_round(site, door, rects)
        )
        for door in site.doorways
        if door_served(kit, site, feet[door.name], door).there
    }
    answers = [*_stands_served(kit, site, feet, stood, [each for each in doors.values() if each.found])]
    near = answers[0].front if answers else ()
    for door in site.doorways:
        known = doors.get(door.name)
        answers.append(known.served(near) if known is not None else door_served(kit, site, feet[door.name], door))
    new = (*arm, *(each.rect for each in stood.values() if each is not None))
    pieces = (*new, *(Rect(name=d.name, x_m=d.x_m, y_m=d.y_m, width_m=0.0, depth_m=0.0) for d in site.doorways))
    return Placed(
        feet=feet, arm=arm[0], presenter=stood["presenter"], outfeed=stood["outfeed"], served=tuple(answers),
        track_m=_track_m(feet), travel=_travel(kit, site, feet, stood), floor_m2=_area(pieces),
    )  # fmt: skip


def _stands_served(
    kit: Kit, site: Site, feet: Mapping[str, Foot], stood: Mapping[str, Stood | None], doors: Sequence[Looked]
) -> Iterator[Served]:
    """Every point of presenter and outfeed, with the foot as it looks in the end: of ways to the first that are alike
    the one from which the arm gets soonest to the machines, the later ones near it."""
    near: tuple[float, ...] = ()
    boxes = boxes_round(site, None, tuple(each.high for each in stood.values() if each is not None))
    for name, stand in (("presenter", kit.presenter), ("outfeed", kit.outfeed)):
        found = stood[name]
        if found is None:
            if stand is not None:
                yield Served(name=f"{name} 1", slack_m=-1.0)
            continue
        tries = tried(kit, [feet[name]] * len(found.points), found.points)
        for pick, point, own in zip(found.picks, found.points, tries, strict=True):
            answer = pick
            if pick.there:
                ways = looked(
                    kit.arm,
                    feet[name],
                    target=part(pick.name, point, kit.hand.front_m),
                    hand=kit.hand,
                    boxes=boxes,
                    tries=own,
                )
                if not near and ways.found:
                    first = soonest_front(kit.arm, ways.fronts(1.0), [each.fronts() for each in doors])
                    answer = ways.served(first, 1.0)
                else:
                    answer = ways.served(near)
            near = near or answer.front
            yield answer


def _heading(site: Site, feet: Mapping[str, Foot], stood: Mapping[str, Stood | None]) -> float:
    """Which way the foot looks: away from the middle of a gap between the directions that it works in, so that the arm
    never turns through that gap. Of gaps that are wide enough one that machines stand in, and of these the widest."""
    ways = []
    for door in site.doorways:
        point = door.target.point_m
        ways.append(math.atan2(point[1] - feet[door.name][1], point[0] - feet[door.name][0]))
    for name, each in stood.items():
        if each is not None:
            ways += [math.atan2(y - feet[name][1], x - feet[name][0]) for x, y, _ in each.points]
    ways.sort()
    gaps = [(b - a, a) for a, b in zip(ways, [*ways[1:], ways[0] + 2.0 * math.pi], strict=True)]
    _, widest, begins = max((wide >= WIDE_RAD and _blocked(site, feet, at + wide / 2.0), wide, at) for wide, at in gaps)
    looks = begins + widest / 2.0 + math.pi
    return math.atan2(math.sin(looks), math.cos(looks))


def _blocked(site: Site, feet: Mapping[str, Foot], way: float) -> bool:
    """Whether something stands about in one direction, as near to some place of the foot as an arm's elbow turns."""
    points = [
        Rect(name="", x_m=x + far * math.cos(way + by), y_m=y + far * math.sin(way + by), width_m=0.0, depth_m=0.0)
        for x, y, _, _ in feet.values() for far in ELBOW_M for by in (-ABOUT_RAD, 0.0, ABOUT_RAD)
    ]  # fmt: skip
    return any(gap_m(point, each) < 0.0 for point in points for each in (*site.machines, *site.obstacles))


def _track_m(feet: Mapping[str, Foot]) -> float:
    """How far apart the outermost places of the foot are."""
    places = [foot[:2] for foot in feet.values()]
    return max(math.dist(a, b) for a in places for b in places)


def _travel(kit: Kit, site: Site, feet: Mapping[str, Foot], stood: Mapping[str, Stood | None]) -> float:
    """The mean way from presenter and outfeed to the machines: turns of the foot in rad, on a track metres."""
    total = []
    for name, each in stood.items():
        if each is None:
            continue
        for door in site.doorways:
            if kit.on_track:
                total.append(math.dist(feet[name][:2], feet[door.name][:2]))
            a = math.atan2(each.rect.y_m - feet[name][1], each.rect.x_m - feet[name][0])
            b = math.atan2(door.y_m - feet[door.name][1], door.x_m - feet[door.name][0])
            total.append(abs((a - b + math.pi) % (2.0 * math.pi) - math.pi))
    return float(np.mean(total)) if total else 0.0


def _area(pieces: tuple[Rect, ...]) -> float:
    """The rectangle round all pieces."""
    x = [each.x_m + side * each.width_m / 2.0 for each in pieces for side in (-1.0, 1.0)]
    y = [each.y_m + side * each.depth_m / 2.0 for each in pieces for side in (-1.0, 1.0)]
    return (max(x) - min(x)) * (max(y) - min(y))

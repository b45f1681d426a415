"""Where the foot of an arm may stand before the machines: one place for all of them, or one for each along a track.

A coarse net is tried by reach alone; of the places that reach, the ones with some reach left are tried with all gaps.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from millhand.solvers.placing.serving import Served, served
from millhand.solvers.placing.site import Doorway, Foot, Kit, Rect, Site, boxes_round, gap_m, gaps_at
from millhand.solvers.placing.stands import Target, reached, slack_left_m
from millhand.solvers.placing.walks import reachable
from millhand.solvers.pose.links import Floats
from millhand.solvers.pose.triangle import ROUNDING_M

# Judged: a quarter of a usual foot, and a third of that about the best place.
NET_M, FINE_M = 0.15, 0.05
FEWER = 4  # turns of the hand on the net: judged, of twelve; they only count for the last joint's room
# Reach that a good place has left: judged a little more than what is enough (`ENOUGH_REACH_M`); one nearer to the door
# hits its frame, one further away is short.
LEFT_M = 0.12
MISSED_M = -1e-3  # what is told of a place from which the links are long enough and a joint is in the way
# Places of the net that are looked at with all gaps; so many while none of them does: judged, by when the search ends.
TRIES, MOST_TRIES = 8, 32
FRONT_M = (0.25, 1.6)  # how far before a door a foot may stand: judged, half a foot to the reach of a usual arm
NEAREST = 60  # places about a pinned one that are looked at with all gaps: judged, a metre square of the net
GOOD = 0.6  # of what is enough of everything; better places are not looked for: judged, twice what a stand asks for
Rated = tuple[bool, float, Foot]  # whether it will do, its score


def doors_served(kit: Kit, site: Site, foot: Foot) -> tuple[Served, ...]:
    """How the arm serves each machine from one place, looking at each."""
    return tuple(door_served(kit, site, foot, door) for door in site.doorways)


def doors_there(kit: Kit, site: Site, foot: Foot) -> bool:
    """Whether the links get to every machine from one place."""
    return all(each.there for each in doors_served(kit, site, foot))


def door_served(kit: Kit, site: Site, foot: Foot, door: Doorway) -> Served:
    """How the arm serves one machine from one place, looking at it."""
    own = _moved(_alone(site, door, foot), -door.x_m, -door.y_m, door.name)
    found = _served_at(
        replace(kit, presenter=None, outfeed=None, pinned=(), people=None),
        own,
        _rounded((foot[0] - door.x_m, foot[1] - door.y_m, foot[2])),
    )
    return replace(found, name=door.name)


def _moved(site: Site, dx: float, dy: float, first: str) -> Site:
    """The site about another origin, one door first and nameless: alike machines on a track are then looked at once."""
    pairs = sorted(zip(site.doorways, site.machines, strict=True), key=lambda pair: pair[0].name != first)

    def at(rect: Rect) -> Rect:
        return replace(rect, x_m=round(rect.x_m + dx, 4), y_m=round(rect.y_m + dy, 4))

    return Site(
        doorways=tuple(
            replace(
                door,
                x_m=round(door.x_m + dx, 4),
                y_m=round(door.y_m + dy, 4),
                name="" if door.name == first else door.name,
            )
            for door, _ in pairs
        ),
        machines=tuple(at(replace(rect, name="" if door.name == first else rect.name)) for door, rect in pairs),
        obstacles=tuple(at(each) for each in site.obstacles),
    )


def _alone(site: Site, door: Doorway, foot: Foot) -> Site:
    """The site as far as it counts for one machine: what stands further off than any arm gets is left out."""
    near = [
        number for number, machine in enumerate(site.machines)
        if site.doorways[number] == door or _away(machine, foot) < 2.5
    ]  # fmt: skip
    return Site(
        doorways=tuple(site.doorways[n] for n in near), machines=tuple(site.machines[n] for n in near),
        obstacles=tuple(each for each in site.obstacles if _away(each, foot) < 2.5),
    )  # fmt: skip


def _away(rect: Rect, foot: Foot) -> float:
    """From a foot to the nearest point of a rectangle."""
    x = max(0.0, abs(foot[0] - rect.x_m) - rect.width_m / 2.0)
    y = max(0.0, abs(foot[1] - rect.y_m) - rect.depth_m / 2.0)
    return math.hypot(x, y)


def _rounded(place: tuple[float, float, float]) -> tuple[float, float, float]:
    """A place to the tenth of a millimetre, so that the same one is found again."""
    return (round(place[0], 4), round(place[1], 4), round(place[2], 4))


@lru_cache(maxsize=4096)
def _served_at(kit: Kit, site: Site, place: tuple[float, float, float]) -> Served:
    """How the arm serves the first machine of a site from a place."""
    door = site.doorways[0]
    target = door.target
    foot = (*place, kit.looks(place, target.point_m))
    return served(kit.arm, foot, target=target, hand=kit.hand, boxes=boxes_round(site, door, ()))


def one_foot(kit: Kit, site: Site) -> tuple[Foot, ...]:
    """Places of a foot that stays, the best first, and of those that do the ones past which people get to the doors;
    where none reaches everything, the one that lacks least."""
    return _one_foot(replace(kit, presenter=None, outfeed=None), site)


@lru_cache(maxsize=512)
def _one_foot(kit: Kit, site: Site) -> tuple[Foot, ...]:
    pin = kit.pin("arm")
    if pin is not None:
        return ((pin.x_m, pin.y_m, kit.foot_height_m, 0.0),)
    net = _net(kit, site)
    coarse = _coarse(kit, net, site.doorways)
    order = _order(coarse)
    rated: list[Rated] = []
    for first in range(0, MOST_TRIES, TRIES):  # more of them only while all that reach touch something or shut a way
        some = [n for n in order[first : first + TRIES] if first == 0 or coarse[n] >= 0.0]
        rated += [_rated(kit, site, _foot_at(net, n)) for n in some]
        if not some or max(rated)[0]:
            break
    return _best(kit, site, rated)


def nearest_feet(kit: Kit, site: Site, wanted: tuple[float, float]) -> Iterator[Foot]:
    """Places of the net from which every machine is served without touching anything, the nearest to a wanted one
    first; of those whose reach would do, so many are looked at."""
    net = _net(kit, site)
    within = [net[n] for n in np.flatnonzero(_coarse(kit, net, site.doorways) >= 0.0)]
    within.sort(key=lambda foot: math.dist(foot[:2], wanted))
    for x, y, z, heading in within[:NEAREST]:
        foot = (float(x), float(y), float(z), float(heading))
        if _score(kit, site, foot) >= 0.0:
            yield foot


def _order(coarse: Floats) -> Sequence[int]:
    """The places of the net [places]: those with about enough reach left first, then by what they lack."""
    return [int(n) for n in np.argsort(np.where(coarse >= 0.0, np.abs(coarse - LEFT_M), 10.0 - coarse), kind="stable")]


def _foot_at(net: Floats, number: int) -> Foot:
    """One place of a net."""
    x, y, z, heading = map(float, net[number])
    return x, y, z, heading


def _best(kit: Kit, site: Site, rated: list[Rated]) -> tuple[Foot, ...]:
    """Places with their scores, the best first, and better ones close to the best."""
    rated.sort(key=lambda each: (not each[0], -each[1]))
    if rated[0][1] < GOOD:
        x, y, z, heading = rated[0][2]
        for dx, dy in ((-FINE_M, 0.0), (FINE_M, 0.0), (0.0, -FINE_M), (0.0, FINE_M)):
            near = (x + dx, y + dy, z, heading)
            if _stands_free(kit, site, near):
                rated.append(_rated(kit, site, near))
    rated.sort(key=lambda each: (not each[0], -each[1]))
    return tuple(foot for _, _, foot in rated)


def _rated(kit: Kit, site: Site, foot: Foot) -> Rated:
    """Whether a foot serves all machines and leaves people the ways to the doors that they had before; its score."""
    score = _score(kit, site, foot)
    well = score >= 0.0
    if well and kit.people is not None:
        rooms, before = [door.room(site.before_door_m) for door in site.doorways], (*site.machines, *site.obstacles)
        had = reachable(before, rooms, kit.people.width_m)
        left = reachable((*before, foot_rect(kit, foot)), rooms, kit.people.width_m)
        well = all(left[n] or not had[n] for n in range(len(rooms)))
    return well, score, foot


def _score(kit: Kit, site: Site, foot: Foot) -> float:
    """The score of the machine that is served worst from here."""
    return min(each.score for each in doors_served(kit, site, foot))


def _net(kit: Kit, site: Site) -> Floats:
    """[places, 4]: a net over the floor before the doors, where the foot overlaps nothing."""
    xs = [door.x_m + out * door.faces[0] for door in site.doorways for out in (0.0, FRONT_M[1])]
    ys = [door.y_m + out * door.faces[1] for door in site.doorways for out in (0.0, FRONT_M[1])]
    middle = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0
    half = (max(xs) - min(xs)) / 2.0 + 0.3, (max(ys) - min(ys)) / 2.0 + 0.3
    x, y = (_about(at, wide) for at, wide in zip(middle, half, strict=True))
    at = np.repeat(x, len(y)), np.tile(y, len(x))
    kept = np.ones(len(at[0]), dtype=bool)
    for other in _in_the_way(kit, site, kit.foot_height_m):
        kept &= gaps_at(foot_rect(kit, (0.0, 0.0, kit.foot_height_m, 0.0)), at, other) >= 0.0
    feet = np.array([(*middle, kit.foot_height_m, 0.0)])
    if kept.any():
        feet = np.repeat(feet, int(kept.sum()), axis=0)
        feet[:, 0], feet[:, 1] = at[0][kept], at[1][kept]
    return feet


def _about(middle: float, half: float) -> Floats:
    """Places of the net about a middle, the middle itself among them."""
    count = int(half / NET_M)
    return np.asarray(middle + NET_M * np.arange(-count, count + 1), dtype=np.float64)


def foot_rect(kit: Kit, foot: Foot) -> Rect:
    """What the arm stands on."""
    return Rect(name="arm", x_m=foot[0], y_m=foot[1], width_m=kit.foot_m[0], depth_m=kit.foot_m[1], height_m=foot[2])


def _stands_free(kit: Kit, site: Site, foot: Foot) -> bool:
    """Whether what the arm stands on, or hangs from, overlaps neither machines nor obstacles as high as it."""
    rect = foot_rect(kit, foot)
    return all(gap_m(rect, each) >= 0.0 for each in _in_the_way(kit, site, foot[2]))


def _in_the_way(kit: Kit, site: Site, height_m: float) -> tuple[Rect, ...]:
    """Machines and obstacles as high as what the arm stands on, or hangs from."""
    return (*site.machines, *(each for each in site.obstacles if kit.beam is None or each.height_m > height_m))


def _coarse(kit: Kit, feet: Floats, doors: Sequence[Doorway]) -> Floats:
    """[places]: least reach left over all doors, below 0 where something is out of reach; only where the links get to
    all of them it is looked at whether the joints do."""
    slack = np.full(len(feet), np.inf)
    for door in doors:
        left = slack_left_m(kit.arm, _looking(feet, door), target=_some(door.target), tool_m=kit.hand.tool_m)
        slack = np.minimum(slack, left)
    long = slack >= -ROUNDING_M
    least = np.where(long, np.maximum(slack, 0.0), np.minimum(slack, MISSED_M))
    for door in doors:
        open_ = np.flatnonzero(least >= 0.0)
        if len(open_):
            found = reached(
                kit.arm, _looking(feet[open_], door), targets=(_some(door.target),), tool_m=kit.hand.tool_m, turns=FEWER
            )
            least[open_[~found.there[:, 0]]] = MISSED_M
    return np.asarray(least)


def _looking(feet: Floats, door: Doorway) -> Floats:
    """Feet [places, 4] that look at a door's load position."""
    point, found = door.target.point_m, feet.copy()
    found[:, 3] = np.arctan2(point[1] - feet[:, 1], point[0] - feet[:, 0])
    return found


def _some(target: Target) -> Target:
    """A target with every second of its flat ways in, and all others."""
    flat = [each for each in target.directions if abs(each[2]) < 1e-9]
    return replace(target, directions=(*flat[::2], *(each for each in target.directions if abs(each[2]) >= 1e-9)))


def along_track(kit: Kit, site: Site) -> tuple[dict[str, Foot], ...]:
    """Places of a foot on a straight track, one for each machine; the best track first.

    The track runs along the longer spread of the doors; how far it lies from them, and how far beside a door the foot
    stops, is tried.
    """
    return _along_track(replace(kit, presenter=None, outfeed=None, people=None, pair=None), site)


@lru_cache(maxsize=512)
def _along_track(kit: Kit, site: Site) -> tuple[dict[str, Foot], ...]:
    along = track_axis(site)
    found = []
    for cross in _crosses(kit, site, along):
        feet = {door.name: _stop(kit, site, along, cross, door) for door in site.doorways}
        score = min(door_served(kit, site, feet[door.name], door).score for door in site.doorways)
        found.append((score, feet))
        if score >= GOOD:
            break
    found.sort(key=lambda each: -each[0])
    return tuple(feet for _, feet in found)


def track_axis(site: Site) -> int:
    """0 where a track runs along x, 1 along y: the way in which the doors lie further apart."""
    xs, ys = [door.x_m for door in site.doorways], [door.y_m for door in site.doorways]
    if max(xs) - min(xs) == max(ys) - min(ys):
        return 0 if site.doorways[0].faces[0] == 0 else 1
    return 0 if max(xs) - min(xs) > max(ys) - min(ys) else 1


def _crosses(kit: Kit, site: Site, along: int) -> list[float]:
    """Where the middle line of a track may lie across it: about a usual distance first, free of what stands there."""
    pin = kit.pin("arm")
    if pin is not None:
        return [pin.y_m if along == 0 else pin.x_m]
    doors = site.doorways
    if kit.on_beam:
        over = [door.point_m[1 - along] for door in doors]
        return [(min(over) + max(over)) / 2.0 + aside for aside in (0.0, -0.2, 0.2)]
    planes = [(door.y_m, door.faces[1]) if along == 0 else (door.x_m, door.faces[0]) for door in doors]
    facing = [(at, way) for at, way in planes if way] or planes
    at, way = facing[0][0], facing[0][1] or -1
    ends = (min(d.x_m for d in doors), max(d.x_m for d in doors)) if along == 0 else (
        min(d.y_m for d in doors), max(d.y_m for d in doors))  # fmt: skip
    outs = sorted(np.arange(0.45, FRONT_M[1], 0.1), key=lambda out: abs(out - 0.75))
    crosses = [float(at + way * out) for out in outs]
    kept = [
        cross for cross in crosses
        if all(_stands_free(kit, site, _foot(kit, along, end, cross)) for end in (*ends, sum(ends) / 2.0))
    ]  # fmt: skip
    return kept or crosses[:1]


def _stop(kit: Kit, site: Site, along: int, cross: float, door: Doorway) -> Foot:
    """Where on a track the foot stops for a machine: straight before it, or where more is left of everything."""
    middle = door.x_m if along == 0 else door.y_m
    stops = [_foot(kit, along, middle + beside, cross) for beside in (0.0, -0.3, 0.3, -0.6, 0.6)]
    best = stops[0]
    score = door_served(kit, site, best, door).score
    for stop in stops[1:]:
        if score >= GOOD:
            break
        other = door_served(kit, site, stop, door).score
        if other > score:
            best, score = stop, other
    return best


def _foot(kit: Kit, along: int, at: float, cross: float) -> Foot:
    """A foot on a track."""
    return (at, cross, kit.foot_height_m, 0.0) if along == 0 else (cross, at, kit.foot_height_m, 0.0)

"""Where a presenter or an outfeed stands round the foot of an arm: within reach, clear of all else, an aisle behind."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.placing.serving import Hand, Served, Tries, looked
from millhand.solvers.placing.site import Foot, Kit, Pin, Rect, Site, Stand, boxes_round, free_of, gaps_at
from millhand.solvers.placing.stands import Target
from millhand.solvers.placing.walks import aisle, reachable, sides_away
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import Bools, Floats

STEP_M = 0.1  # judged: a stand is marked out on a floor no finer, and half a step is tried about the best place
GOOD = 0.3  # of what is enough of everything, which is the gap that the check asks for: more of it is not looked for
RADII_M = np.arange(0.15, 3.0, 0.05)  # from a foot's own half to beyond the longest arm of the table, half a step apart
DOWN = ((0.0, 0.0, -1.0),)
Point = tuple[float, float, float]
APART_M = 0.25  # between two places that are looked at, unless turned otherwise: judged, nearer ones fail alike
MOST_TRIES = 16  # places at most, where some leave no way for people: judged, by when the search ends
TRIES = 8  # places that leave none, where nothing else will do: judged, by when the search ends
KEPT_M = 0.05  # between things that stand side by side: judged, hands and hoses get in between
PAST = 5.0  # how much more a metre counts that the arm has to reach past a stand: judged
BELOW_M = 0.02  # a tray's rim under the parts that stand in it: judged, parts are gripped above it


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """A stand that was placed, turned by quarters, with the arm's way to each of its points."""

    stand: Stand
    rect: Rect
    quarter: int
    picks: tuple[Served, ...]

    @property
    def high(self) -> Rect:
        """What of it the arm has to keep clear of."""
        return solid(self.stand, self.quarter, self.rect)

    @property
    def points(self) -> tuple[tuple[float, float, float], ...]:
        """The points of its picks on the floor, in their order."""
        return turned(self.stand, self.quarter, (self.rect.x_m, self.rect.y_m))[1]

    @property
    def worst(self) -> Served:
        """The point that is hardest to get at."""
        return min(self.picks, key=lambda each: each.score)


def ring(arm: Linkage, *, hand: Hand, rise_m: float) -> Bools:
    """For each of RADII_M whether a hand that hangs down gets to a point so far from the foot and so far above it."""
    return _ring(arm, hand.tool_m, hand.front_m, round(rise_m, 3))


@lru_cache(maxsize=256)
def _ring(arm: Linkage, tool_m: float, front_m: float, rise_m: float) -> Bools:
    feet = np.stack([-RADII_M, np.zeros_like(RADII_M), np.zeros_like(RADII_M), np.zeros_like(RADII_M)], axis=1)
    tries = Tries.of(arm, feet, part("ring", (0.0, 0.0, rise_m), front_m), tool_m)
    return np.asarray((tries.whole & (tries.margin >= 0.0)).reshape(len(feet), -1).any(axis=1))


def turned(stand: Stand, quarter: int, at: tuple[float, float]) -> tuple[Rect, tuple[tuple[float, float, float], ...]]:
    """The stand's rectangle and points on the floor."""
    cos, sin = _quarter(quarter)
    sides = (stand.length_m, stand.width_m) if sin == 0 else (stand.width_m, stand.length_m)
    rect = Rect(name=stand.name, x_m=at[0], y_m=at[1], width_m=sides[0], depth_m=sides[1], height_m=stand.high_m)
    aside = (stand.width_m - stand.solid_m) / 2.0  # a drawer's way out begins where the stand ends
    points = tuple(
        (at[0] + cos * u - sin * (v - aside), at[1] + sin * u + cos * (v - aside), h) for u, v, h in stand.picks
    )
    return rect, points


def solid(stand: Stand, quarter: int, rect: Rect) -> Rect:
    """What of a stand's rectangle stands high."""
    sin, cos = _quarter(quarter)[1], _quarter(quarter)[0]
    aside = (stand.width_m - stand.solid_m) / 2.0
    sides = (rect.width_m, stand.solid_m) if sin == 0 else (stand.solid_m, rect.depth_m)
    high = rect.height_m - BELOW_M
    return replace(
        rect, x_m=rect.x_m + sin * aside, y_m=rect.y_m - cos * aside, width_m=sides[0], depth_m=sides[1], height_m=high
    )  # fmt: skip


def _quarter(quarter: int) -> tuple[int, int]:
    """Cosine and sine of so many quarter turns."""
    return ((1, 0), (0, 1), (-1, 0), (0, -1))[quarter % 4]


@dataclass(frozen=True, slots=True, kw_only=True)
class Among:
    """What a stand is put among: floor that is used already, what of it stands high, and where the stand has been, so
    that it does not stand there again."""

    taken: tuple[Rect, ...] = ()
    high: tuple[Rect, ...] = ()
    left: tuple[Rect, ...] = ()


def placed_round(kit: Kit, site: Site, foot: Foot, *, stand: Stand, among: Among) -> Stood | None:
    """The best place of a stand round a foot; where none will do, the one that comes nearest; None: no room at all."""
    pin = kit.pin(stand.name)
    places = _pinned(stand, pin) if pin is not None else _places(kit, site, foot, stand, among)
    best: Stood | None = None
    shut: list[Place] = []
    way_left = _ways_left(kit, site, foot, among.taken)
    for place in places:
        if not way_left(place):
            shut.append(place)
            continue
        best = better(kit, site, foot, place, among.high, best) or best
        if best is not None and best.worst.score >= GOOD:
            return best
    for place in shut[:TRIES]:  # where nothing else will do, or none serves well and this one does
        other = better(kit, site, foot, place, among.high, best)
        if other is not None and (best is None or best.worst.score < 0.0 or other.worst.score >= GOOD):
            best = other
    return best if pin is not None or best is None else _refined(kit, site, foot, best, among)


def _refined(kit: Kit, site: Site, foot: Foot, best: Stood, among: Among) -> Stood:
    """A place close to the best one that is better, where there is one."""
    x, y = best.rect.x_m, best.rect.y_m
    for dx, dy in product((-STEP_M / 2.0, 0.0, STEP_M / 2.0), repeat=2):
        near = (np.array([x + dx]), np.array([y + dy]))
        if (dx or dy) and _free(site, foot, turned(best.stand, best.quarter, (0.0, 0.0))[0], near, among.taken)[0]:
            place = Place(stand=best.stand, at=(x + dx, y + dy), quarter=best.quarter)
            best = better(kit, site, foot, place, among.high, best) or best
    return best


def _ways_left(kit: Kit, site: Site, foot: Foot, taken: tuple[Rect, ...]) -> Callable[["Place"], bool]:
    """Whether people still get to the doors that they got to before, and beside the stand itself, once it stands at a
    place. A track is stepped over."""
    people = kit.people
    if people is None:
        return lambda place: True
    width_m = people.width_m
    before = (*site.machines, *site.obstacles, *(each for each in taken if each.name != "track"))
    rooms = [each.room(site.before_door_m) for each in site.doorways]
    wanted = [room for room, well in zip(rooms, reachable(before, rooms, width_m), strict=True) if well]

    def left(place: Place) -> bool:
        rect, _ = turned(place.stand, place.quarter, place.at)
        high = solid(place.stand, place.quarter, rect)
        own = [aisle(rect, way, site.aisle_m) for way in sides_away(foot[:2], rect, high)]
        free = [side for side in own if free_of(side, (*site.machines, *site.obstacles, *site.under, *taken))]
        there = reachable((*before, rect), [*wanted, *free], width_m)
        return all(there[: len(wanted)]) and any(there[len(wanted) :])

    return left


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One way to put a stand down."""

    stand: Stand
    at: tuple[float, float]
    quarter: int


def _pinned(stand: Stand, pin: Pin) -> Iterator[Place]:
    """A pinned stand, turned as told, or anyhow."""
    for quarter in range(4) if pin.quarter is None else (pin.quarter,):
        yield Place(stand=stand, at=(pin.x_m, pin.y_m), quarter=quarter)


def better(
    kit: Kit, site: Site, foot: Foot, place: Place, others: tuple[Rect, ...], best: Stood | None
) -> Stood | None:
    """A stand at one place, and how the arm serves it there; None as soon as one of its points shows that it is not
    served better than the best so far."""
    rect, points = turned(place.stand, place.quarter, place.at)
    boxes = boxes_round(site, None, (*others, solid(place.stand, place.quarter, rect)))
    least = -math.inf if best is None else best.worst.score
    feet = [(*foot[:3], kit.looks(foot, point)) for point in points]
    tries = tried(kit, feet, points)
    if min(each.most for each in tries) <= least:
        return None
    picks: dict[int, Served] = {}
    for n in sorted(range(len(points)), key=lambda n: -math.dist(points[n][:2], foot[:2])):  # the far ones fail first
        target = part(f"{place.stand.name} {n + 1}", points[n], kit.hand.front_m)
        pick = looked(kit.arm, feet[n], target=target, hand=kit.hand, boxes=boxes, tries=tries[n]).served()
        if pick.score <= least:
            return None
        picks[n] = pick
    return Stood(
        stand=place.stand, rect=rect, quarter=place.quarter, picks=tuple(picks[n] for n in range(len(points)))
    )  # fmt: skip


def part(name: str, point: Point, front_m: float) -> Target:
    """A part that the hand goes down to, from so far above."""
    return Target(name=name, point_m=point, directions=DOWN, back_m=(front_m, 0.0))


def tried(kit: Kit, feet: Sequence[Foot], points: Sequence[Point]) -> tuple[Tries, ...]:
    """All tries to go down to each of some parts, each from a foot of its own."""
    away = np.array(feet)
    away[:, :3] -= np.array(points)
    return Tries.of(kit.arm, away, part("", (0.0, 0.0, 0.0), kit.hand.front_m), kit.hand.tool_m).apart(len(points))


def _places(kit: Kit, site: Site, foot: Foot, stand: Stand, among: Among) -> Iterator[Place]:
    """All places within reach where nothing overlaps, those with the shortest ways first; else the nearest to it."""
    away = np.arange(-2.4, 2.4 + STEP_M / 2.0, STEP_M)
    xs, ys = (each.ravel() + at for each, at in zip(np.meshgrid(away, away), foot[:2], strict=True))
    found = []
    for quarter in range(4 if _one_sided(stand) else 2):
        free = np.flatnonzero(_free(site, foot, turned(stand, quarter, (0.0, 0.0))[0], (xs, ys), among.taken))
        for each in among.left:
            free = free[np.hypot(xs[free] - each.x_m, ys[free] - each.y_m) > APART_M]
        at = xs[free], ys[free]
        lacking = _lacking(kit, stand, quarter, (at[0] - foot[0], at[1] - foot[1]), foot[2])
        cost = _cost(site, foot, at) + _behind(stand, quarter, foot, at)
        found.append(np.stack([lacking, cost, *at, np.full(len(free), quarter)], axis=1))
    options = np.concatenate(found)
    yield from _spread(stand, options[np.lexsort((options[:, 1], options[:, 0]))])


def _slid(kit: Kit, at: tuple[Floats, Floats], rise_m: float, heading: float) -> Bools:
    """Whether a loader's slides bring its hand, hanging down, to points so far from its foot, and so far above them."""
    cos, sin = math.cos(heading), math.sin(heading)
    poses = np.zeros((2, len(at[0]), 4, 4))
    poses[..., 0, 0], poses[..., 1, 1], poses[..., 2, 2], poses[..., 3, 3] = 1.0, -1.0, -1.0, 1.0
    poses[..., 0, 3], poses[..., 1, 3] = cos * at[0] + sin * at[1], cos * at[1] - sin * at[0]
    poses[..., 2, 3] = rise_m + kit.hand.tool_m + np.array([0.0, kit.hand.front_m])[:, None]
    return np.asarray(inverse(kit.arm, poses.reshape(-1, 4, 4)).fits[:, 0].reshape(2, -1).all(axis=0))


def within_reach(kit: Kit, stand: Stand, foot_z: float) -> bool:
    """Whether a stand could stand anywhere round a foot so high with all its points in the ring of the arm."""
    away = np.arange(-2.4, 2.4 + STEP_M / 2.0, STEP_M)
    xs, ys = (each.ravel() for each in np.meshgrid(away, away))
    return any(float(_lacking(kit, stand, quarter, (xs, ys), foot_z).min()) == 0.0 for quarter in range(2))


def _spread(stand: Stand, options: Floats) -> Iterator[Place]:
    """The best place, then others that are not its close neighbours; options [places, 5] end with x, y, quarter."""
    left = options[:, 2:]
    for _ in range(MOST_TRIES):
        if not len(left):
            return
        x, y, quarter = map(float, left[0])
        yield Place(stand=stand, at=(x, y), quarter=int(quarter))
        apart = np.hypot(left[:, 0] - x, left[:, 1] - y) > APART_M
        left = left[apart | (left[:, 2] != quarter)]


def _one_sided(stand: Stand) -> bool:
    """Whether it matters which end is which."""
    return abs(sum(u for u, _, _ in stand.picks)) > 1e-9 or stand.solid_m < stand.width_m


def _lacking(kit: Kit, stand: Stand, quarter: int, at: tuple[Floats, Floats], foot_z: float) -> Floats:
    """How many of the points of a stand at each place are out of the ring of the arm."""
    missing = np.zeros(len(at[0]))
    for u, v, height in turned(stand, quarter, (0.0, 0.0))[1]:
        if kit.heading_rad is not None:
            missing += ~_slid(kit, (at[0] + u, at[1] + v), height - foot_z, kit.heading_rad)
            continue
        radius = np.hypot(at[0] + u, at[1] + v)
        within = ring(kit.arm, hand=kit.hand, rise_m=height - foot_z)
        number = np.rint((radius - RADII_M[0]) / 0.05).astype(int)
        inside = (number >= 0) & (number < len(RADII_M))
        missing += ~(inside & within[np.clip(number, 0, len(RADII_M) - 1)])
    return missing


def _free(site: Site, foot: Foot, rect: Rect, at: tuple[Floats, Floats], taken: tuple[Rect, ...]) -> Bools:
    """Whether a rectangle at each place overlaps nothing, and somebody can stand behind it, away from the arm."""
    rooms = tuple(each.room(site.before_door_m) for each in site.doorways)
    solid = (*site.machines, *site.obstacles, *taken)
    clear = _clear(rect, at, (*solid, *rooms), KEPT_M)
    behind = np.zeros(len(at[0]), dtype=bool)
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        half = (rect.width_m if dx else rect.depth_m) / 2.0 + site.aisle_m / 2.0
        aisle = replace(rect, width_m=site.aisle_m) if dx else replace(rect, depth_m=site.aisle_m)
        beyond = ((at[0] - foot[0]) * dx + (at[1] - foot[1]) * dy) > 0.0
        behind |= beyond & _clear(aisle, (at[0] + dx * half, at[1] + dy * half), (*solid, *site.under), 0.0)
    return np.asarray(clear & behind)


def _clear(rect: Rect, at: tuple[Floats, Floats], others: tuple[Rect, ...], kept_m: float) -> Bools:
    """Whether a rectangle at each place keeps so far from all others."""
    clear = np.ones(len(at[0]), dtype=bool)
    for other in others:
        clear &= gaps_at(rect, at, other) >= kept_m - 1e-9
    return clear


def _cost(site: Site, foot: Foot, at: tuple[Floats, Floats]) -> Floats:
    """How far the arm turns from a place to each of the doors [rad], and how far out it stands [m]."""
    azimuth = np.arctan2(at[1] - foot[1], at[0] - foot[0])
    turn = np.zeros(len(at[0]))
    for door in site.doorways:
        to = math.atan2(door.y_m - foot[1], door.x_m - foot[0])
        turn += np.abs((azimuth - to + math.pi) % (2.0 * math.pi) - math.pi)
    return np.asarray(turn / len(site.doorways) + np.hypot(at[0] - foot[0], at[1] - foot[1]))


def _behind(stand: Stand, quarter: int, foot: Foot, at: tuple[Floats, Floats]) -> Floats:
    """What it costs that the arm would have to reach past what stands high to the points [m, weighted]."""
    rect, points = turned(stand, quarter, (0.0, 0.0))
    high = solid(stand, quarter, rect)
    u, v = (sum(point[axis] for point in points) / len(points) for axis in (0, 1))
    to_points = np.hypot(at[0] + u - foot[0], at[1] + v - foot[1])
    to_high = np.hypot(at[0] + high.x_m - foot[0], at[1] + high.y_m - foot[1])
    return np.asarray(PAST * np.maximum(0.0, to_points - to_high))

"""The ways of an arm between two of its places, with the gap that is kept on the whole of each.

The direct way turns all joints at once, in proportion, and on a track the carriage along with them. Where it keeps less
than asked for, ways are tried that first raise the hand or draw it back at both ends; the quickest of those that keep
enough is taken, else the one that keeps most.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, pairwise

import numpy as np

from millhand.solvers.moves.axes import AxisLimits
from millhand.solvers.moves.joint import joint_moves
from millhand.solvers.placing.beam import hung
from millhand.solvers.placing.feet import track_axis
from millhand.solvers.placing.floor import placed
from millhand.solvers.placing.placed import Placed
from millhand.solvers.placing.serving import Served, looked, wound
from millhand.solvers.placing.site import FLOOR, Foot, Kit, Site, boxes_round
from millhand.solvers.pose.clearance import Box
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import Floats, forward
from millhand.solvers.pose.swept import ALONG_M, WITHIN_M, Sweep, swept_gaps_m

Place = tuple[float, ...]  # joint positions
Ends = tuple[tuple[Place, Place], tuple[Foot, Foot]]
# What is tried before a turn, in words: up, and back towards the foot [m]. How far is judged: by a part's height, by
# half of how deep a usual machine is loaded, by all of it, and both together.
VIAS = (
    ("raised", 0.25, 0.0), ("drawn back", 0.0, 0.25), ("drawn back far", 0.0, 0.5),
    ("raised and drawn back", 0.3, 0.4), ("raised and drawn back far", 0.4, 0.8),
)  # fmt: skip
# The same with the hand hung down close to the foot: from its axis, and above what it stands on [m]. Judged: where arms
# of the table, from 12 to 60 kg, still fold to.
TUCKED = (
    ("hand hung down close to the foot", 0.45, 0.5), ("hand hung down above the foot", 0.6, 0.9),
    ("hand hung down high above the foot", 0.4, 1.2),
)  # fmt: skip
PAST = "past another place"  # where a detour is freer or quicker
NEAREST_M = 0.3  # to the foot's axis the flange is not drawn back: judged, the column of an arm is as thick
QUARTERS = 4  # turns of a hand that hangs down
SAMPLES = 17  # of a tool's way, for its length
FEW = 3  # ways into a machine for which ways round are looked for: judged, those that are freest directly
PLANS = 5  # of them that are looked at until one is free: judged, as many as there are places of a foot (`FEET`)


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """The way from one place to another: joint positions where it rests, the gap kept on all of it (0 where something
    is touched), beside what, how it was led ("" where directly), and how long joints and tool need."""

    rests: tuple[Place, ...]
    gap_m: float
    beside: str
    led: str
    time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Free:
    """The plan that is taken (its number among all, or how many there are), with the ways of the arm into the machines
    that fit the ways between; what the arm does at each of its places, and those ways."""

    number: int
    plan: Placed
    stops: Mapping[str, Served]
    ways: Mapping[tuple[str, str], Between]

    @property
    def gap_m(self) -> float:
        """The least gap of all ways."""
        return min((each.gap_m for each in self.ways.values()), default=math.inf)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the ways of one plan are looked at with: speeds of axes and tool, which gap is enough, what stands there."""

    kit: Kit
    site: Site
    plan: Placed
    limits: AxisLimits
    enough_m: float
    tool_m_s: float
    boxes: tuple[Box, ...]


@lru_cache(maxsize=512)
def free_plan(kit: Kit, site: Site, limits: AxisLimits, enough_m: float, tool_m_s: float) -> Free:
    """The first of the best plans that work on whose ways the arm keeps enough, those that leave people theirs first;
    else the one on which it keeps most."""
    plans, best = placed(kit, site), None
    for number, plan in enumerate(plans[:PLANS]):
        if best is not None and not plan.works:
            break
        over = under_beam(kit, site, plan)
        asked = Asked(
            kit=kit, site=over, plan=plan, limits=limits, enough_m=enough_m, tool_m_s=tool_m_s,
            boxes=boxes_between(over, plan),
        )  # fmt: skip
        found = _free(asked, number)
        if best is None or min(found.gap_m, enough_m) > min(best.gap_m, enough_m):
            best = found
        if best.gap_m >= enough_m or not plan.works:
            break
    assert best is not None
    if kit.people is not None and best.plan.works and best.gap_m < enough_m:
        narrow = free_plan(replace(kit, people=None), site, limits, enough_m, tool_m_s)
        if narrow.gap_m >= enough_m:
            return replace(narrow, number=len(plans))
    return best


def _free(asked: Asked, number: int) -> Free:
    """The ways of one plan: directly; with other ways into the machines where that is not free; led round."""
    at = stops(asked.kit, asked.site, asked.plan)
    ways = _direct(asked, at)
    plan = asked.plan
    if any(way.gap_m < asked.enough_m for way in ways.values()):
        at = _resettled(asked, at, ways)
        by_name = {each.name: each for each in at.values()}
        plan = replace(plan, served=tuple(by_name.get(each.name, each) for each in plan.served))
        ways = _direct(asked, at)
    near = [pair for pair, way in ways.items() if way.gap_m < asked.enough_m]
    ends = [_ends(asked, at, pair) for pair in near]
    for pair, (_, feet), chosen in zip(
        near, ends, led_round(asked, [(each, ways[pair]) for each, pair in zip(ends, near, strict=True)]), strict=True
    ):
        if chosen is not ways[pair]:
            ways[pair] = _led(asked, [(chosen.rests, feet, chosen.led)])[0]
    return Free(number=number, plan=plan, stops=at, ways=past_others(ways, asked.enough_m))


def past_others(ways: Mapping[tuple[str, str], Between], enough_m: float) -> dict[tuple[str, str], Between]:
    """The ways, with those that are freer or quicker past a third place led there: no way is longer than a detour."""
    found = dict(ways)
    names = list(dict.fromkeys(name for pair in ways for name in pair))
    for third in names:
        for one, other in combinations(names, 2):
            pair = (one, other) if (one, other) in found else (other, one)
            if third in pair or pair not in found:
                continue
            legs = [turned_about(found, pair[0], third), turned_about(found, third, pair[1])]
            past = [leg for leg in legs if leg is not None]
            if len(past) < len(legs):
                continue
            worst = min(past, key=lambda leg: leg.gap_m)
            made = Between(
                rests=(*past[0].rests, *past[1].rests[1:]), gap_m=worst.gap_m, beside=worst.beside, led=PAST,
                time_s=past[0].time_s + past[1].time_s,
            )  # fmt: skip
            found[pair] = min((found[pair], made), key=lambda each: (-min(each.gap_m, enough_m), each.time_s))
    return found


def turned_about(ways: Mapping[tuple[str, str], Between], one: str, other: str) -> Between | None:
    """The way from one place to another, told in whichever direction; None where there is none."""
    way = ways.get((one, other))
    if way is not None:
        return way
    back = ways.get((other, one))
    return None if back is None else replace(back, rests=back.rests[::-1])


def _ends(asked: Asked, at: Mapping[str, Served], pair: tuple[str, str]) -> Ends:
    """Joint positions and feet of a pair of places."""
    one, other = pair
    return (at[one].front, at[other].front), (asked.plan.feet[one], asked.plan.feet[other])


def _direct(asked: Asked, at: Mapping[str, Served]) -> dict[tuple[str, str], Between]:
    """All joints at once between any two places that are not one."""
    pairs = [(a, b) for a, b in combinations(at, 2) if at[a].front != at[b].front]
    ends = [_ends(asked, at, pair) for pair in pairs]
    return dict(zip(pairs, _led(asked, [(joints, feet, "") for joints, feet in ends]), strict=True))


def _resettled(asked: Asked, at: Mapping[str, Served], ways: Mapping[tuple[str, str], Between]) -> dict[str, Served]:
    """For each machine to which a way is not free: of the ways into it, the one with the freest ways to the places that
    are settled already, then the quickest."""
    settled = {name: each for name, each in at.items() if name in ("presenter", "outfeed")}
    near = next(iter(settled.values())).front if settled else ()
    stands = tuple(each.high for each in (asked.plan.presenter, asked.plan.outfeed) if each is not None)
    for door in asked.site.doorways:
        if door.name not in at:
            continue
        tries = [at[door.name]]
        if any(way.gap_m < asked.enough_m for pair, way in ways.items() if door.name in pair) and near:
            boxes = boxes_round(asked.site, door, stands)
            foot = asked.plan.feet[door.name]
            arm, hand = asked.kit.arm, asked.kit.hand
            tries += looked(arm, foot, target=door.target, hand=hand, boxes=boxes).otherwise(near)
            turned = [wound(arm, each, near=near) for each in tries]
            tries += [
                new for new, old in zip(turned, tries, strict=True) if new.front != old.front and new.score >= 0.0
            ]
            least = min(tries[0].gap_m, asked.enough_m)
            tries = [each for each in tries if each.gap_m >= least]
        settled[door.name] = _freest(asked, door.name, tries, settled)
    return settled


def _freest(asked: Asked, name: str, tries: list[Served], settled: Mapping[str, Served]) -> Served:
    """Of some ways to serve one place, the one with the freest ways to the settled places, then the quickest; ways are
    led round only for the few that are freest directly."""
    if len(tries) == 1:
        return tries[0]
    others = {(each.front, asked.plan.feet[other]): other for other, each in settled.items()}.values()
    ends = [[_ends(asked, {**settled, name: each}, (other, name)) for other in others] for each in tries]
    direct = iter(_led(asked, [(joints, feet, "") for row in ends for joints, feet in row], enough=True))
    found = [[next(direct) for _ in row] for row in ends]

    def cost(number: int) -> tuple[float, float, float]:
        own = [min(each.gap_m, asked.enough_m) for each in found[number]]
        return -min(own), -sum(own), sum(each.time_s for each in found[number])

    few = sorted(range(len(tries)), key=cost)[:FEW]
    open_ = [(number, at) for number in few for at, way in enumerate(found[number]) if way.gap_m < asked.enough_m]
    led = led_round(asked, [(ends[number][at], found[number][at]) for number, at in open_])
    for (number, at), way in zip(open_, led, strict=True):
        found[number][at] = way
    return tries[min(few, key=lambda number: (cost(number)[0], cost(number)[2]))]


def led_round(asked: Asked, tries: Sequence[tuple[Ends, Between]]) -> list[Between]:
    """For each direct way with its ends the quickest way round what is too near to it; else of all ways the one that
    keeps most."""
    places = list(dict.fromkeys(place for (ends, _), _ in tries for place in ends))
    over = dict(zip(places, overs(asked.kit, places), strict=True)) if places else {}
    words = [each[0] for each in (*VIAS, *TUCKED)]
    ways, owner = [], []
    for number, (((start, goal), feet), _) in enumerate(tries):
        for led, one, other in zip(words, over[start], over[goal], strict=True):
            if one and other:
                ways.append(((start, one, other, goal), feet, led))
                owner.append(number)
    found = [[direct] for _, direct in tries]
    for number, way in zip(owner, _led(asked, ways, enough=True), strict=True):
        found[number].append(way)
    return [min(each, key=lambda way: (-min(way.gap_m, asked.enough_m), way.time_s)) for each in found]


def overs(kit: Kit, places: Sequence[Place]) -> list[list[Place]]:
    """For each place the joint positions over which ways round lead, in the order of VIAS and TUCKED; () where there
    are none."""
    flanges = forward(kit.arm, np.array(places))
    aside = np.stack([_aside(flanges, up, back) for _, up, back in VIAS], axis=1)
    side = -1.0 if kit.arm.hangs else 1.0  # an arm that hangs tucks its hand in below its foot
    tucked = np.stack([_tucked(flanges, far, side * high) for _, far, high in TUCKED], axis=1)
    near, step = _nearest(kit, aside[:, :, None], places)
    hung_down, steps = _nearest(kit, tucked, places)
    fits = np.concatenate([step < math.pi / 2.0, np.isfinite(steps)], axis=1)
    joints = np.concatenate([near, hung_down], axis=1)
    return [
        [tuple(map(float, at)) if well else () for at, well in zip(*each, strict=True)]
        for each in zip(joints, fits, strict=True)
    ]


def _aside(flanges: Floats, up_m: float, back_m: float) -> Floats:
    """Each flange [places, 4, 4] turned as before, but so much higher and nearer to the foot."""
    far = np.hypot(flanges[:, 0, 3], flanges[:, 1, 3])
    share = np.maximum(np.minimum(far, NEAREST_M), far - back_m) / np.where(far > 0.0, far, 1.0)
    moved = flanges.copy()
    moved[:, :2, 3] *= np.where(far > 0.0, share, 1.0)[:, None]
    moved[:, 2, 3] += up_m
    return moved


def _tucked(flanges: Floats, far_m: float, high_m: float) -> Floats:
    """[places, turns, 4, 4]: for each flange the hand hung down close to the foot, on the side where it was."""
    way = np.arctan2(flanges[:, 1, 3], flanges[:, 0, 3])
    poses = np.zeros((len(flanges), QUARTERS, 4, 4))
    turns = way[:, None] + np.arange(QUARTERS) * (2.0 * math.pi / QUARTERS)
    poses[..., 0, 0], poses[..., 1, 0] = np.cos(turns), np.sin(turns)
    poses[..., 0, 1], poses[..., 1, 1] = np.sin(turns), -np.cos(turns)
    poses[..., 2, 2], poses[..., 3, 3] = -1.0, 1.0
    poses[..., 0, 3], poses[..., 1, 3] = far_m * np.cos(way)[:, None], far_m * np.sin(way)[:, None]
    poses[..., 2, 3] = high_m
    return poses


def _nearest(kit: Kit, flanges: Floats, places: Sequence[Place]) -> tuple[Floats, Floats]:
    """Of all ways to hold the flange in any of some poses [places, tries, poses, 4, 4] the one [places, tries, joints]
    nearest to each place, and how far its joints are off: infinite where there is none."""
    held = inverse(kit.arm, flanges.reshape(-1, 4, 4))
    turns = np.array([0.0 if joint.slides else 2.0 * np.pi for joint in kit.arm.joints])
    joints = held.joints.reshape(*flanges.shape[:2], -1, len(turns))
    at = np.array(places)[:, None, None]
    apart = joints - at
    near = joints - np.rint(np.divide(apart, turns, out=np.zeros_like(apart), where=turns > 0.0)) * turns
    low, high = (np.array([getattr(joint, end) for joint in kit.arm.joints]) for end in ("low", "high"))
    fits = held.there.reshape(joints.shape[:3]) & (near >= low).all(axis=-1) & (near <= high).all(axis=-1)
    steps = np.where(fits, np.abs(near - at).max(axis=-1), np.inf)
    best = steps.argmin(axis=-1)
    return np.take_along_axis(near, best[..., None, None], axis=2)[:, :, 0], steps.min(axis=-1)


def _led(
    asked: Asked, tries: Sequence[tuple[tuple[Place, ...], tuple[Foot, Foot], str]], *, enough: bool = False
) -> list[Between]:
    """Each way by its resting places, all of them looked at together. The carriage goes along with the middle piece.

    `enough`: only whether a gap is enough counts, or by how much it is not; that is found much sooner.
    """
    if not tries:
        return []
    joints, feet, owner = [], [], []
    for number, (rests, (here, there), _) in enumerate(tries):
        middle = len(rests) // 2 - 1
        for leg, pair in enumerate(pairwise(rests)):
            joints.append(pair)
            feet.append((here if leg <= middle else there, there if leg >= middle else here))
            owner.append(number)
    sweep = Sweep(joints=np.array(joints), feet=np.array(feet))
    gaps, beside = swept_gaps_m(
        asked.kit.arm, sweep, bars=asked.kit.hand.carrying, boxes=asked.boxes,
        most_m=asked.enough_m + WITHIN_M + ALONG_M if enough else math.inf,
    )  # fmt: skip
    times = np.maximum(
        joint_moves(sweep.joints[:, 0], sweep.joints[:, 1], limits=asked.limits).times_s,
        _tool_m(asked.kit, sweep) / asked.tool_m_s,
    )
    found = []
    for number, (rests, _, led) in enumerate(tries):
        legs = [leg for leg, of in enumerate(owner) if of == number]
        worst = min(legs, key=lambda leg: gaps[leg])
        found.append(Between(
            rests=rests, gap_m=float(gaps[worst]), beside=asked.boxes[int(beside[worst])].name, led=led,
            time_s=float(times[legs].sum()),
        ))  # fmt: skip
    return found


def under_beam(kit: Kit, site: Site, plan: Placed) -> Site:
    """The site with the beam and the columns of a plan, where the arm hangs from one."""
    return site if kit.beam is None else hung(kit, site, plan.feet, track_axis(site)).site


def _tool_m(kit: Kit, sweep: Sweep) -> Floats:
    """[moves]: how far the tip of the tool goes, the foot left out."""
    share = np.linspace(0.0, 1.0, SAMPLES)[:, None]
    flange = forward(kit.arm, sweep.joints[:, :1] * (1.0 - share) + sweep.joints[:, 1:] * share)
    tips = flange[..., :3, 3] + kit.hand.tool_m * flange[..., :3, 2]
    return np.asarray(np.linalg.norm(np.diff(tips, axis=1), axis=2).sum(axis=1))


def boxes_between(site: Site, plan: Placed) -> tuple[Box, ...]:
    """What an arm between two places keeps clear of: floor, whole machines but for the way in, all that stands."""
    hollow = (box for door, rect in zip(site.doorways, site.machines, strict=True) for box in door.hollow(rect))
    stands = (each.high for each in (plan.presenter, plan.outfeed) if each is not None)
    return (FLOOR, *hollow, *(rect.box() for rect in (*site.obstacles, *stands)), *site.above)


def stops(kit: Kit, site: Site, plan: Placed) -> dict[str, Served]:
    """What an arm does at each place: at a machine its load position, at presenter and outfeed the outermost part that
    is furthest from the first machine; without a way, nothing. An outfeed that is the presenter has its place."""
    by_name = {each.name: each for each in plan.served if each.there}
    doors = {door.name: by_name[door.name] for door in site.doorways if door.name in by_name}
    ends = dict(_outermost(kit, plan, next(iter(doors.values()), None)))
    if "presenter" in ends:
        ends.setdefault("outfeed", ends["presenter"])
    return ends | doors


def _outermost(kit: Kit, plan: Placed, first: Served | None) -> Iterator[tuple[str, Served]]:
    """Presenter and outfeed."""
    speeds = np.array([joint.speed for joint in kit.arm.joints])
    for name in ("presenter", "outfeed"):
        picks = [each for each in plan.served if each.there and each.name.startswith(f"{name} ")]
        if first is not None and picks:
            away: Floats = np.abs(np.array([pick.front for pick in picks]) - np.array(first.front)) / speeds
            yield name, picks[int(away.max(axis=1).argmax())]

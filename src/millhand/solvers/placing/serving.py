"""How an arm serves one target from where its foot stands: the straight way of its hand to the target and back.

All directions, turns of the hand and ways of the arm are tried. Of those that go the whole way, the one is taken that
keeps most of everything: room to the ends of the joints' ranges, reach that is left, gaps to what stands around.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from millhand.model.arm import Linkage
from millhand.solvers.placing.stands import TURNS, Target, seen_from, tool_poses
from millhand.solvers.pose.clearance import Bars, Box, bar_ends, least_gaps_m
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import Bools, Floats

Ints = NDArray[np.int64]

SAMPLES = 9  # places of the hand along its way, ends included: judged, a usual way in has one each 8 cm
FRONT_M = 0.10  # clear of a door's frame or of the next parts before a hand turns away: judged, more with a large part
DIGITS = 9  # of scores and of room at the joints: what differs by less is alike
TURN_OVER = 0.8  # rad or m from one of them to the next: judged, no wrist goes steadily through so much in 8 cm
ROUNDS, COARSE = 14, 6  # for a gap within a tenth of a millimetre; while ways are compared, within a centimetre
# What is enough of each, so that more of it counts no more than the others: judged.
ENOUGH_TURN, ENOUGH_REACH_M, ENOUGH_GAP_M = 0.35, 0.10, 0.10
ABOUT = 0.8  # a way is about as good as the best one with so much of its score: judged
STILL = 0.5  # where the best way cannot be used, one with so much of its score still can: judged


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """What the arm carries: from the flange to the tip of the fingers, and how thick arm and tool are. The tool's bar
    ends before the fingers, so that its round end does not stand for them. part_m: of the parts, from where one is held
    to its furthest corner; front_m: from a part in the tray, or a door, to the tip where the straight way begins."""

    tool_m: float
    bars: Bars
    part_m: float = 0.0
    front_m: float = FRONT_M

    @property
    def carrying(self) -> Bars:
        """Arm and tool with a part about the tip of the fingers, however it is turned."""
        return replace(self.bars, part_m=self.part_m, part_at_m=self.tool_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """The best way to one target. Where no way gets there, `slack_m` says by how much the links are too short (or the
    target too near), or a `margin` below 0 by how much a joint would have to turn too far, or `joined` below 1 which
    share of the way one way of the arm goes at most although the links reach all of it; the rest is empty.

    slack_m: reach that is left; margin: least room of a joint to an end of its range (rad or m), and which joint;
    gap_m: least gap to what stands around, and to what (infinite without anything); front, inside: joint positions
    where the way begins and at the target; way [samples, joints] from front to inside; turns: how far the hand is
    turned about the tool.
    """

    name: str
    slack_m: float
    margin: float = -np.inf
    joint: int = 0
    gap_m: float = np.inf
    beside: str = ""
    front: tuple[float, ...] = ()
    inside: tuple[float, ...] = ()
    way: Floats | None = None
    joined: float = 1.0

    @property
    def there(self) -> bool:
        """Whether the hand gets to the target with every joint inside its range."""
        return self.margin >= 0.0

    @property
    def score(self) -> float:
        """The least of reach, room at the joints and gap, as shares of what is enough; below 0 one of them fails.
        Rounded, so that rounding on the way decides between no two that are alike."""
        if not self.there:
            lacking = max(self.margin, -5.0) - 1.0 if self.slack_m >= 0.0 else self.slack_m / ENOUGH_REACH_M - 10.0
            return round(lacking, DIGITS)
        shares = self.slack_m / ENOUGH_REACH_M, self.margin / ENOUGH_TURN, self.gap_m / ENOUGH_GAP_M
        return round(min(1.0, *shares), DIGITS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """All ways to one target from one foot that go the whole way: of each direction and way of the arm the turn of the
    hand with most room (`order` among the tries), and how each of these serves, its gap to a centimetre."""

    arm: Linkage
    foot: tuple[float, float, float, float]
    name: str
    hand: Hand
    boxes: tuple[Box, ...]
    tries: "Tries"
    order: Ints
    found: tuple[Served, ...]

    @property
    def best(self) -> Served:
        """The first of the best."""
        return max(self.found, key=lambda each: each.score)

    def good(self, about: float = ABOUT) -> list[int]:
        """The tries with about so much of the best one's score."""
        best = self.best.score
        least = best - (1.0 - about) * abs(best)
        return [int(n) for n, each in zip(self.order, self.found, strict=True) if each.score >= least]

    def alike(self, about: float = ABOUT) -> list[int]:
        """The good ones, and the same with another turn of the hand and as much room at the joints as counts."""
        return self.tries.alike(self.good(about), about * min(self.best.margin, ENOUGH_TURN))

    def fronts(self, about: float = ABOUT) -> Floats:
        """[ways, joints]: where all of these begin."""
        return np.asarray(self.tries.joints[self.alike(about), 0])

    def served(self, near: tuple[float, ...] = (), about: float = ABOUT) -> Served:
        """The best one; with joint positions to be `near` to, of all that are about as good the one whose beginning
        the arm gets to soonest from there."""
        best = self.best if self.found else self.tries.nearest_miss(self.name)
        if best.way is None:
            return best
        if near:
            number = self.tries.soonest(self.arm, self.alike(about), near)
            best = self.tries.served(self.name, number, best.gap_m, best.beside)
        assert best.way is not None
        gap, name = _gaps(self.arm, self.foot, best.way[None], self.hand, self.boxes, ROUNDS)
        return replace(best, gap_m=float(gap[0]), beside=name[0])

    def otherwise(self, near: tuple[float, ...]) -> tuple[Served, ...]:
        """Of each way of the arm that still serves the target well, the one whose beginning is nearest in time."""
        least = STILL * self.best.score if self.found else 0.0
        if least <= 0.0:
            return ()
        ways = self.tries.ways
        good = [int(n) for n, each in zip(self.order, self.found, strict=True) if each.score >= least]
        kept = [
            self.tries.soonest(
                self.arm, self.tries.alike([n for n in good if n % ways == way], least * ENOUGH_TURN), near
            )
            for way in sorted({n % ways for n in good})
        ]
        gaps, names = _gaps(self.arm, self.foot, self.tries.joints[kept], self.hand, self.boxes, ROUNDS)
        found = (self.tries.served(self.name, n, float(gap), by) for n, gap, by in zip(kept, gaps, names, strict=True))
        return tuple(each for each in found if each.score >= least)


def looked(
    arm: Linkage,
    foot: tuple[float, float, float, float],
    *,
    target: Target,
    hand: Hand,
    boxes: tuple[Box, ...] = (),
    tries: "Tries | None" = None,
) -> Looked:
    """All ways to a target from a foot (x, y, z in m, heading in rad), `tries` where they are known already; boxes in
    the frame of the floor."""
    tries = tries or Tries.of(arm, np.array([foot]), target, hand.tool_m)
    order = tries.best_turns(len(target.directions))
    found: tuple[Served, ...] = ()
    if len(order):
        gaps, names = _gaps(arm, foot, tries.joints[order], hand, boxes, COARSE)
        found = tuple(
            tries.served(target.name, n, float(gap), name) for n, gap, name in zip(order, gaps, names, strict=True)
        )
    return Looked(
        arm=arm, foot=foot, name=target.name, hand=hand, boxes=boxes, tries=tries, order=order, found=found
    )  # fmt: skip


def served(
    arm: Linkage, foot: tuple[float, float, float, float], *, target: Target, hand: Hand, boxes: tuple[Box, ...] = ()
) -> Served:
    """The best way to a target from a foot."""
    return looked(arm, foot, target=target, hand=hand, boxes=boxes).served()


def soonest_front(arm: Linkage, fronts: Floats, others: Sequence[Floats]) -> tuple[float, ...]:
    """Of joint positions [ways, joints] those from which the arm gets soonest to one of each of the others."""
    speeds = np.array([joint.speed for joint in arm.joints])
    total = np.zeros(len(fronts))
    for other in others:
        total += (np.abs(fronts[:, None] - other[None]) / speeds).max(axis=2).min(axis=1)
    return tuple(map(float, fronts[int(np.round(total, DIGITS).argmin())]))


def wound(arm: Linkage, way: Served, *, near: tuple[float, ...]) -> Served:
    """The same way with each joint turned by whole turns to where it is nearest to other joint positions, as far as its
    range goes."""
    assert way.way is not None
    ranges = np.array([(joint.low, joint.high) for joint in arm.joints])
    turns = np.array([0.0 if joint.slides else 2.0 * np.pi for joint in arm.joints])
    over = np.where(turns > 0.0, turns, 1.0)
    moved = way.way - np.rint((way.way[0] - np.array(near)) / over) * turns
    inside = ((moved >= ranges[:, 0]) & (moved <= ranges[:, 1])).all(axis=0)
    joints = np.where(inside, moved, way.way)
    room = np.minimum(joints - ranges[:, 0], ranges[:, 1] - joints).min(axis=0)
    return replace(
        way, way=joints, margin=float(room.min()), joint=int(room.argmin()) + 1,
        front=tuple(map(float, joints[0])), inside=tuple(map(float, joints[-1])),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Tries:
    """Every way of every pose along the hand's way: joints [tries, samples, joints], first sample in front."""

    joints: Floats
    whole: Bools
    steady: Bools  # [tries before the hand is turned, samples less one]: from one sample to the next
    margin: Floats
    nearest: Ints  # the joint with the least room
    slack_m: Floats
    least_slack: float  # what the best of all poses lacks, or has left
    ways: int  # of the arm, for each pose

    @classmethod
    def of(cls, arm: Linkage, feet: Floats, target: Target, tool_m: float) -> "Tries":
        """All tries for one target from each of the feet [feet, 4], foot by foot."""
        back = np.linspace(max(target.back_m), 0.0, SAMPLES)
        poses = tool_poses(replace(target, back_m=tuple(back)), tool_m=tool_m, turns=1)
        tries = len(feet) * poses.shape[1]
        held = inverse(arm, seen_from(feet, np.swapaxes(poses, 0, 1).reshape(-1, 4, 4)).reshape(-1, 4, 4))
        ways = held.joints.shape[1]
        shape = (tries, SAMPLES, ways)
        joints = np.moveaxis(held.joints.reshape(*shape, -1), 2, 1).reshape(tries * ways, SAMPLES, -1)
        there = np.moveaxis(held.there.reshape(shape), 2, 1).reshape(tries * ways, SAMPLES)
        slack = np.moveaxis(held.slack_m.reshape(shape), 2, 1).reshape(tries * ways, SAMPLES).min(axis=1)
        joints = _unwound(arm, joints)
        steady = there[:, 1:] & there[:, :-1] & (np.abs(np.diff(joints, axis=1)).max(axis=2) <= TURN_OVER)
        whole = steady.all(axis=1)
        joints = _hand_turned(arm, joints.reshape(tries, ways, SAMPLES, -1))
        ranges = np.array([(joint.low, joint.high) for joint in arm.joints])
        room = np.minimum(joints - ranges[:, 0], ranges[:, 1] - joints).min(axis=1)
        return cls(
            joints=joints, whole=_each_turn(whole, ways), steady=steady, margin=room.min(axis=1),
            nearest=room.argmin(axis=1), slack_m=_each_turn(slack, ways), least_slack=float(slack.max()), ways=ways,
        )  # fmt: skip

    def apart(self, count: int) -> "tuple[Tries, ...]":
        """The tries of each of so many feet."""
        size, before = len(self.whole) // count, len(self.steady) // count
        return tuple(
            replace(
                self, joints=self.joints[own], whole=self.whole[own], margin=self.margin[own],
                steady=self.steady[before * number : before * (number + 1)], nearest=self.nearest[own],
                slack_m=self.slack_m[own], least_slack=float(self.slack_m[own].max()),
            )
            for number, own in enumerate(slice(size * number, size * (number + 1)) for number in range(count))
        )  # fmt: skip

    @property
    def most(self) -> float:
        """No way is served with a greater score, whatever stands around."""
        within = self.whole & (self.margin >= 0.0)
        if not within.any():
            return self.nearest_miss("").score
        shares = np.minimum(self.slack_m[within] / ENOUGH_REACH_M, self.margin[within] / ENOUGH_TURN)
        return round(min(1.0, float(shares.max())), DIGITS)

    def nearest_miss(self, name: str) -> Served:
        """What comes nearest where no way leads to the target: by the joint that lacks least, or by the links, or by
        how much of the way is gone where these would reach."""
        slack = self.least_slack
        if not self.whole.any():
            return Served(name=name, slack_m=slack, margin=-np.inf, joined=self._joined() if slack >= 0.0 else 1.0)
        best = int(np.where(self.whole, self.margin, -np.inf).argmax())
        return Served(
            name=name, slack_m=float(self.slack_m[best]), margin=float(self.margin[best]),
            joint=int(self.nearest[best]) + 1,
        )  # fmt: skip

    def _joined(self) -> float:
        """The longest piece of the way that any way of the arm goes steadily, as a share of all of it."""
        run = np.zeros(len(self.steady), dtype=np.int64)
        longest = run.copy()
        for steady in self.steady.T:
            run = np.where(steady, run + 1, 0)
            longest = np.maximum(longest, run)
        return float(longest.max() / self.steady.shape[1])

    def best_turns(self, directions: int) -> Ints:
        """Of each direction and way of the arm, the turn of the hand with most room at the joints: the turn moves no
        more than the wrist, so that it hardly counts for the gaps."""
        room = np.where(self.whole & (self.margin >= 0.0), np.round(self.margin, DIGITS), -np.inf)
        by_turn = room.reshape(directions, TURNS, -1)
        turn, ways = by_turn.argmax(axis=1), by_turn.shape[2]
        numbers = (np.arange(directions)[:, None] * TURNS + turn) * ways + np.arange(ways)
        return np.asarray(numbers[np.isfinite(by_turn.max(axis=1))], dtype=np.int64)

    def alike(self, good: list[int], margin: float) -> list[int]:
        """The good tries, and the same with another turn of the hand and so much room at the joints."""
        ways = self.ways
        turned = {(n // ways // TURNS * TURNS + turn) * ways + n % ways for n in good for turn in range(TURNS)}
        return sorted(n for n in turned if self.whole[n] and self.margin[n] >= margin) or good

    def soonest(self, arm: Linkage, numbers: list[int], near: tuple[float, ...]) -> int:
        """Of some tries the one whose beginning the arm gets to soonest."""
        speeds = np.array([joint.speed for joint in arm.joints])
        times = (np.abs(self.joints[numbers, 0] - np.array(near)) / speeds).max(axis=1)
        return int(numbers[int(np.round(times, DIGITS).argmin())])

    def served(self, name: str, number: int, gap_m: float, beside: str) -> Served:
        """One of the tries as an answer."""
        way = self.joints[number]
        return Served(
            name=name, slack_m=float(self.slack_m[number]), margin=float(self.margin[number]),
            joint=int(self.nearest[number]) + 1, gap_m=gap_m, beside=beside,
            front=tuple(map(float, way[0])), inside=tuple(map(float, way[-1])), way=way,
        )  # fmt: skip


def _unwound(arm: Linkage, joints: Floats) -> Floats:
    """Positions [tries, samples, joints] without whole turns from one sample to the next, as a whole where the room to
    the ends of the ranges is greatest."""
    turns = np.array([0.0 if joint.slides else 2.0 * np.pi for joint in arm.joints])
    over = np.where(turns > 0.0, turns, 1.0)
    found = joints.copy()
    for at in range(1, found.shape[1]):
        whole = np.rint((found[:, at] - found[:, at - 1]) / over) * (turns > 0.0)
        found[:, at] -= whole * turns
    middle = np.array([(joint.low + joint.high) / 2.0 for joint in arm.joints])
    centre = (found.max(axis=1) + found.min(axis=1)) / 2.0
    found -= (np.rint((centre - middle) / over) * turns)[:, None]
    return found


def _hand_turned(arm: Linkage, joints: Floats) -> Floats:
    """The same positions [tries, ways, samples, joints] with each turn of the hand, [tries x turns x ways, samples,
    joints]: about the tool it is the last joint alone that turns."""
    joint = arm.joints[-1]
    found = np.repeat(joints[:, None], TURNS, axis=1)
    last = found[..., -1]
    last += (np.arange(TURNS) * (2.0 * np.pi / TURNS))[:, None, None]
    centre = (last.max(axis=-1) + last.min(axis=-1)) / 2.0
    last -= (np.rint((centre - (joint.low + joint.high) / 2.0) / (2.0 * np.pi)) * (2.0 * np.pi))[..., None]
    return found.reshape(-1, *joints.shape[2:])


def _each_turn(told: NDArray[Any], ways: int) -> NDArray[Any]:
    """What is known of each try and way [tries x ways], for every turn of the hand."""
    return np.repeat(told.reshape(-1, 1, ways), TURNS, axis=1).reshape(-1)


def _gaps(
    arm: Linkage, foot: tuple[float, float, float, float], ways: Floats, hand: Hand, boxes: tuple[Box, ...], rounds: int
) -> tuple[Floats, list[str]]:
    """Least gap of each way [tries, samples, joints], and to which box."""
    if not boxes:
        return np.full(len(ways), np.inf), [""] * len(ways)
    own = tuple(box_from(foot, box) for box in boxes)
    ends = bar_ends(arm, ways.reshape(-1, ways.shape[2]), tool_m=hand.bars.tool_m)
    gaps, beside = (
        each.reshape(ways.shape[:2]) for each in least_gaps_m(ends, bars=hand.bars, boxes=own, rounds=rounds)
    )
    worst = gaps.argmin(axis=1)
    rows = np.arange(len(ways))
    return gaps[rows, worst], [boxes[at].name for at in beside[rows, worst]]


def box_from(foot: tuple[float, float, float, float], box: Box) -> Box:
    """A box of the floor as a foot sees it."""
    x, y, z, heading = foot
    cos, sin = np.cos(heading), np.sin(heading)
    away = (box.middle_m[0] - x, box.middle_m[1] - y)
    seen = (float(cos * away[0] + sin * away[1]), float(cos * away[1] - sin * away[0]), box.middle_m[2] - z)
    return Box(name=box.name, middle_m=seen, half_m=box.half_m, turn_rad=box.turn_rad - heading)

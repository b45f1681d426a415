"""Gaps kept on a whole move: never larger than what dense sampling finds, and hardly smaller."""

from dataclasses import replace

import numpy as np
import pytest

from millhand.catalogue.arms import arms
from millhand.model.arm import Linkage
from millhand.solvers.pose.clearance import Bars, Box, bar_ends, gaps_m
from millhand.solvers.pose.links import forward
from millhand.solvers.pose.swept import ALONG_M, WITHIN_M, Sweep, levers_m, moved_m, on_floor, swept_gaps_m

ARMS = arms([])
POST = Box(name="post", middle_m=(1.2, 0.3, 0.8), half_m=(0.1, 0.1, 0.8))
WALL = Box(name="wall", middle_m=(-1.4, 0.0, 1.0), half_m=(0.05, 2.0, 1.0))
DENSE = 1501


def bars_of(arm: Linkage) -> Bars:
    """As thick as a hand's breadth."""
    return Bars(radii_m=(0.06,) * len(arm.joints), tool_m=0.15, tool_radius_m=0.05)


def moves(arm: Linkage, count: int, seed: int) -> Sweep:
    """Random moves inside the ranges, the foot going along up to half a metre."""
    rng = np.random.default_rng(seed)
    low, high = (np.array([getattr(joint, end) for joint in arm.joints]) for end in ("low", "high"))
    feet = rng.uniform(-0.25, 0.25, (count, 2, 4))
    feet[:, 1, 3] = feet[:, 0, 3]
    return Sweep(joints=rng.uniform(low, high, (count, 2, len(low))), feet=feet)


def dense(arm: Linkage, sweep: Sweep, number: int) -> np.ndarray:
    """[samples, boxes]: gaps at many places of one move."""
    share = np.linspace(0.0, 1.0, DENSE)[:, None]
    joints = sweep.joints[number, 0] * (1 - share) + sweep.joints[number, 1] * share
    feet = sweep.feet[number, 0] * (1 - share) + sweep.feet[number, 1] * share
    bars = bars_of(arm)
    return gaps_m(on_floor(feet, bar_ends(arm, joints, tool_m=bars.tool_m)), bars=bars, boxes=(POST, WALL))


@pytest.mark.parametrize("name", ["fenced_20", "force_limited_12"])
def test_a_gap_is_sure_and_close(name: str) -> None:
    """By fifteen hundred places of each move, on which nothing can move further than a few millimetres in between."""
    arm = ARMS[name]
    sweep = moves(arm, 12, 3)
    found, beside = swept_gaps_m(arm, sweep, bars=bars_of(arm), boxes=(POST, WALL))

    for number, (gap, box) in enumerate(zip(found, beside, strict=True)):
        gaps = dense(arm, sweep, number)
        assert gap <= max(0.0, gaps.min()) + 1e-12
        assert gap >= gaps.min() - WITHIN_M - ALONG_M - moved_m(arm, sweep, tool_m=0.15)[number] / DENSE
        assert gaps[:, box].min() <= max(0.0, gaps.min() + WITHIN_M)


@pytest.mark.parametrize("most_m", [0.02, 0.1, 0.4])
def test_where_only_enough_is_asked_for_the_answer_is_the_same_up_to_there(most_m: float) -> None:
    """A gap beyond it is told as at least so much, one below it as before, both but for what a gap may be too small."""
    arm = ARMS["fenced_20"]
    sweep = moves(arm, 40, 7)
    whole, _ = swept_gaps_m(arm, sweep, bars=bars_of(arm), boxes=(POST, WALL))
    cut, _ = swept_gaps_m(arm, sweep, bars=bars_of(arm), boxes=(POST, WALL), most_m=most_m)
    off = WITHIN_M + ALONG_M

    assert (whole > most_m + off).any()
    assert (whole < most_m - off).any()
    assert (cut <= most_m).all()
    assert (np.abs(cut - np.minimum(whole, most_m)) <= off + 1e-12).all()


@pytest.mark.parametrize("name", sorted(ARMS))
def test_no_point_goes_further_than_its_levers_say(name: str) -> None:
    """From one end of a short move to the other, every joint of the chain and the tip."""
    arm = ARMS[name]
    sweep = moves(arm, 200, 5)
    short = sweep.joints.copy()
    short[:, 1] = short[:, 0] + 0.05 * (short[:, 1] - short[:, 0])
    sweep = Sweep(joints=short, feet=sweep.feet)
    ends = [on_floor(sweep.feet[:, n], bar_ends(arm, short[:, n], tool_m=0.15)) for n in (0, 1)]

    assert (np.linalg.norm(ends[1] - ends[0], axis=2).max(axis=1) <= moved_m(arm, sweep, tool_m=0.15) + 1e-12).all()
    assert (levers_m(arm, tool_m=0.15) > 0.0).all()


def test_a_post_between_two_ends_is_found() -> None:
    """An outstretched arm that swings through a post: both ends are far from it, the way is not."""
    arm = ARMS["fenced_20"]
    ends = np.zeros((1, 2, len(arm.joints)))
    ends[0, :, 0] = (-1.0, 1.5)
    ends[0, :, 1] = 1.2
    found, _ = swept_gaps_m(arm, Sweep(joints=ends, feet=np.zeros((1, 2, 4))), bars=bars_of(arm), boxes=(POST,))
    still, _ = swept_gaps_m(
        arm, Sweep(joints=ends[:, [0, 0]], feet=np.zeros((1, 2, 4))), bars=bars_of(arm), boxes=(POST,)
    )

    assert found[0] == 0.0 < still[0]


def test_a_box_less_never_narrows_a_gap() -> None:
    """With the wall taken away each gap is as wide as before, or wider, but for what the halving leaves open."""
    arm = ARMS["force_limited_25"]
    sweep = moves(arm, 20, 11)
    both, _ = swept_gaps_m(arm, sweep, bars=bars_of(arm), boxes=(POST, WALL))
    one, _ = swept_gaps_m(arm, sweep, bars=bars_of(arm), boxes=(POST,))

    assert (one >= both - WITHIN_M - ALONG_M).all()


def test_a_part_in_the_hand_is_swept_too() -> None:
    """Against the ball about the tip of the fingers at fifteen hundred places of each move, beside the arm's own bars;
    without a part nothing changes."""
    arm = ARMS["fenced_20"]
    sweep, bare = moves(arm, 12, 5), bars_of(arm)
    carrying = replace(bare, part_m=0.12, part_at_m=0.2)
    found, _ = swept_gaps_m(arm, sweep, bars=carrying, boxes=(POST, WALL))
    without, _ = swept_gaps_m(arm, sweep, bars=replace(carrying, part_m=0.0), boxes=(POST, WALL))

    assert without == pytest.approx(swept_gaps_m(arm, sweep, bars=bare, boxes=(POST, WALL))[0])
    assert (found <= without + WITHIN_M + ALONG_M).all()
    assert (found < without - 0.01).any()
    share = np.linspace(0.0, 1.0, DENSE)[:, None]
    for number, gap in enumerate(found):
        joints = sweep.joints[number, 0] * (1 - share) + sweep.joints[number, 1] * share
        feet = sweep.feet[number, 0] * (1 - share) + sweep.feet[number, 1] * share
        flange = forward(arm, joints)
        tips = flange[:, :3, 3] + 0.2 * flange[:, :3, 2]
        ball = on_floor(feet, np.repeat(tips[:, None], 2, axis=1))
        gaps = gaps_m(ball, bars=Bars(radii_m=(0.0,), tool_m=0.0, tool_radius_m=0.12), boxes=(POST, WALL))
        assert gap <= max(0.0, gaps.min()) + 1e-9

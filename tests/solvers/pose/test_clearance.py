"""Gaps between an arm and boxes, and straight ways of its hand."""

import numpy as np
import pytest

from millhand.catalogue.arms import arms
from millhand.solvers.pose.along import straight_line
from millhand.solvers.pose.clearance import Bars, Box, clearance_m
from millhand.solvers.pose.links import Floats, forward, frames
from tests.solvers.pose.test_inverse import some_joints

ARMS = arms([])
ARM = ARMS["fenced_20"]
THIN = Bars(radii_m=(0.1, 0.1, 0.09, 0.08, 0.06, 0.05), tool_m=0.25, tool_radius_m=0.06)
POST = Box(name="column", middle_m=(0.9, 0.2, 1.0), half_m=(0.1, 0.15, 1.0), turn_rad=0.4)


def by_samples(joints: Floats, box: Box) -> float:
    """The same for one pose, by two thousand points on each bar."""
    whole = frames(ARM, joints)
    ends = [frame[:3, 3] for frame in whole[1:]]
    ends.append(ends[-1] + THIN.tool_m * whole[-1][:3, 2])
    turn = np.array(
        [[np.cos(box.turn_rad), np.sin(box.turn_rad), 0], [-np.sin(box.turn_rad), np.cos(box.turn_rad), 0], [0, 0, 1]]
    )
    found = []
    for start, end, radius in zip(ends[:-1], ends[1:], [*THIN.radii_m[1:], THIN.tool_radius_m], strict=True):
        points = start + np.linspace(0, 1, 2001)[:, None] * (end - start)
        seen = (turn @ (points - np.array(box.middle_m)).T).T
        gaps = np.linalg.norm(np.maximum(np.abs(seen) - np.array(box.half_m), 0.0), axis=1)
        found.append(gaps.min() - radius)
    return float(min(found))


def test_gaps_agree_with_many_points_on_each_bar() -> None:
    """Two hundred positions and a turned column; points lie half a millimetre apart at most."""
    joints = some_joints(ARM, 200)
    gaps = clearance_m(ARM, joints, bars=THIN, boxes=(POST,))[:, 0]
    sampled = np.array([by_samples(each, POST) for each in joints])

    assert (gaps <= sampled + 1e-9).all()
    assert np.abs(gaps - sampled).max() < 5e-4
    assert (gaps < 0).any()
    assert (gaps > 0).any()


def test_taking_an_obstacle_away_or_moving_it_off_never_brings_it_nearer() -> None:
    """A box that is smaller in every way keeps at least the gap of the larger one."""
    joints = some_joints(ARM, 100)
    small = Box(name="column", middle_m=POST.middle_m, half_m=(0.05, 0.05, 0.9), turn_rad=POST.turn_rad)
    gaps = clearance_m(ARM, joints, bars=THIN, boxes=(POST, small))

    assert (gaps[:, 1] >= gaps[:, 0] - 1e-9).all()


def test_a_wall_at_a_known_distance() -> None:
    """All joints at nothing: the forearm lies 1.42 m up and ends with its tool 1.32 m ahead; a wall at 1.5 m is 0.12 m
    from the tool's round end, one under the forearm 0.32 m below; the table of arms gives angles to a millionth."""
    wall = Box(name="wall", middle_m=(2.0, 0.0, 1.0), half_m=(0.5, 2.0, 2.0))
    table = Box(name="table", middle_m=(0.9, 0.0, 0.5), half_m=(0.3, 0.3, 0.52))
    gaps = clearance_m(ARM, np.zeros((1, 6)), bars=THIN, boxes=(wall, table))

    assert gaps[0] == pytest.approx([1.5 - 1.32 - 0.06, 1.42 - 1.02 - 0.08], abs=1e-6)


def test_a_straight_way_keeps_the_hand_on_its_line() -> None:
    """Half a metre ahead from a pose in the middle of everything: every sample lies on the line, the hand as it was."""
    begin = forward(ARM, np.array([0.2, 0.3, 0.4, 0.1, 0.8, 0.3]))
    goal = begin[:3, 3] + np.array([0.1, 0.05, -0.3])
    line = straight_line(ARM, begin, to_m=goal, samples=41)
    poses = forward(ARM, line.joints[line.whole])

    assert line.whole.any()
    assert np.abs(poses[:, :, :3, :3] - begin[:3, :3]).max() < 1e-9
    assert np.abs(poses[:, -1, :3, 3] - goal).max() < 1e-9
    assert np.abs(np.diff(poses[:, :, :3, 3], n=2, axis=1)).max() < 1e-9
    assert (line.margin[line.whole] >= 0).all()


def test_a_way_out_of_reach_is_not_whole() -> None:
    """Three metres ahead no way gets to the end."""
    begin = forward(ARM, np.array([0.2, 0.3, 0.4, 0.1, 0.8, 0.3]))

    assert not straight_line(ARM, begin, to_m=begin[:3, 3] + np.array([3.0, 0, 0])).whole.any()

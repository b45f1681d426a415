"""Six axes of which the last three meet in one point, the wrist: shoulder, elbow and wrist are found one by one.

The rows of such an arm: alpha of joints 1 and 3 a quarter turn either way, of 2 none, of 4 and 5 a quarter turn and
back; `a` of joints 1 to 3 and `d` of joints 1 to 4 and 6 may be anything, the others are nothing.
"""

from collections.abc import Iterator

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose.links import Floats, Ways
from millhand.solvers.pose.triangle import reached, slack_m, turned_to, two_links

STRAIGHT = 1e-10  # sine of the fifth joint below which the fourth and sixth turn about one axis


def ways(arm: Linkage, flange: Floats) -> Ways:
    """Eight ways to hold the flange [poses, 4, 4]: shoulder before or behind, elbow up or down, wrist turned over.

    Source: siciliano2009, sec. 2.12.2, 2.12.4 and 2.12.5.
    """
    two, three, four = arm.joints[1:4]
    fore = float(np.hypot(three.a_m, four.d_m))
    dip = float(np.arctan2(four.d_m * np.sign(three.alpha_rad), three.a_m))
    found, slack = [], []
    for shoulder, x, y, inside in _shoulders(arm, flange):
        for lift, bend in two_links(x, y_m=y, first_m=two.a_m, second_m=fore):
            first = np.stack([shoulder, lift, bend + dip], axis=-1)
            for rest in wrist_angles(arm, first, flange):
                found.append(np.concatenate([first, rest], axis=-1))
                slack.append(inside)
    joints = np.stack(found, axis=1) - np.array([joint.offset_rad for joint in arm.joints])
    return Ways(joints=joints, there=reached(np.stack(slack, axis=1)), slack_m=np.stack(slack, axis=1))


def slacks_m(arm: Linkage, flange: Floats) -> Floats:
    """[poses]: the greatest slack of all ways, without the ways."""
    return np.maximum(*(inside for _, _, _, inside in _shoulders(arm, flange)))


def _shoulders(arm: Linkage, flange: Floats) -> Iterator[tuple[Floats, Floats, Floats, Floats]]:
    """Both angles of the first joint, the wrist in the plane of the arm behind it, and its slack there."""
    one, two, three, four, _, six = arm.joints
    side = np.sign(one.alpha_rad)
    wrist = flange[:, :3, 3] - six.d_m * flange[:, :3, 2]
    turns, outside = turned_to(wrist[:, 0], y_m=wrist[:, 1], beside_m=side * (two.d_m + three.d_m))
    for shoulder in turns:
        x = wrist[:, 0] * np.cos(shoulder) + wrist[:, 1] * np.sin(shoulder) - one.a_m
        y = side * (wrist[:, 2] - one.d_m)
        reach = slack_m(x, y_m=y, first_m=two.a_m, second_m=float(np.hypot(three.a_m, four.d_m)))
        yield shoulder, x, y, np.minimum(reach, outside)


def wrist_angles(arm: Linkage, first: Floats, flange: Floats) -> tuple[Floats, Floats]:
    """Both ways [poses, 3] of the last three joints to turn the flange as it should be, behind the first three.

    Where the fifth joint is straight only the sum of the fourth and sixth counts: the fourth stays at nothing.
    """
    turn = np.swapaxes(_behind_elbow(arm, first), -1, -2) @ flange[:, :3, :3]
    side = -np.sign(arm.joints[3].alpha_rad)
    tilt = np.hypot(turn[:, 0, 2], turn[:, 1, 2])
    straight = tilt < STRAIGHT
    together = np.where(
        turn[:, 2, 2] > 0, np.arctan2(turn[:, 1, 0], turn[:, 0, 0]), np.arctan2(turn[:, 1, 0], -turn[:, 0, 0])
    )
    found = []
    for way in (1.0, -1.0):
        fourth = np.arctan2(way * turn[:, 1, 2], way * turn[:, 0, 2])
        sixth = np.arctan2(way * turn[:, 2, 1], -way * turn[:, 2, 0])
        fifth = side * np.arctan2(way * tilt, turn[:, 2, 2])
        found.append(np.stack([np.where(straight, 0.0, fourth), fifth, np.where(straight, together, sixth)], axis=-1))
    return found[0], found[1]


def _behind_elbow(arm: Linkage, first: Floats) -> Floats:
    """[poses, 3, 3]: how the frame behind the third joint is turned; the angles are those of the rows, offsets in."""
    side, other = np.sign(arm.joints[0].alpha_rad), np.sign(arm.joints[2].alpha_rad)
    c1, s1 = np.cos(first[:, 0]), np.sin(first[:, 0])
    bend = first[:, 1] + first[:, 2]
    out = np.stack([c1, s1, np.zeros_like(c1)], axis=-1)
    across = side * np.stack([s1, -c1, np.zeros_like(c1)], axis=-1)
    up = side * np.array([0.0, 0.0, 1.0])
    along = np.cos(bend)[:, None] * out + np.sin(bend)[:, None] * up
    over = -np.sin(bend)[:, None] * out + np.cos(bend)[:, None] * up
    return np.stack([along, other * across, -other * over], axis=-1)

"""Six axes of which the second, third and fourth are parallel, as light arms without a wrist in one point have them.

The rows of such an arm: alpha of joint 1 a quarter turn, of 2 and 3 none, of 4 a quarter turn, of 5 a quarter turn
back; `a` of joints 2 and 3 and every `d` may be anything.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose.links import Floats, Ways
from millhand.solvers.pose.triangle import reached, slack_m, turned_to, two_links

STRAIGHT = 1e-10  # sine of the fifth joint below which the sixth turns about the parallel axes


def ways(arm: Linkage, flange: Floats) -> Ways:
    """Eight ways to hold the flange [poses, 4, 4]: shoulder before or behind, hand turned over, elbow up or down.

    Source: own_computation, projections onto the arm's plane.
    """
    two, three = arm.joints[1:3]
    found, slack = [], []
    for turns, x, y, inside in _elbows(arm, flange):
        for lift, bend in two_links(x, y_m=y, first_m=two.a_m, second_m=three.a_m):
            found.append(
                np.stack([turns.first, lift, bend, turns.bent - lift - bend, turns.fifth, turns.sixth], axis=-1)
            )
            slack.append(inside)
    joints = np.stack(found, axis=1) - np.array([joint.offset_rad for joint in arm.joints])
    return Ways(joints=joints, there=reached(np.stack(slack, axis=1)), slack_m=np.stack(slack, axis=1))


def slacks_m(arm: Linkage, flange: Floats) -> Floats:
    """[poses]: the greatest slack of all ways, without the ways."""
    return np.asarray(np.max([inside for _, _, _, inside in _elbows(arm, flange)], axis=0))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turns:
    """Of the joints that the shoulder and the hand settle: the first, all that turn in the arm's plane together, the
    fifth and the sixth."""

    first: Floats
    bent: Floats
    fifth: Floats
    sixth: Floats


def _elbows(arm: Linkage, flange: Floats) -> Iterator[tuple[_Turns, Floats, Floats, Floats]]:
    """Four ways to turn shoulder and hand, the end of the two long links in the arm's plane, and its slack there."""
    one, two, three, four, five, six = arm.joints
    wrist = flange[:, :3, 3] - six.d_m * flange[:, :3, 2]
    turns, outside = turned_to(wrist[:, 0], y_m=wrist[:, 1], beside_m=two.d_m + three.d_m + four.d_m)
    for shoulder in turns:
        c1, s1 = np.cos(shoulder), np.sin(shoulder)
        ahead = np.stack([c1, s1, np.zeros_like(c1)], axis=-1)
        across = np.stack([s1, -c1, np.zeros_like(c1)], axis=-1)
        outwards = wrist - np.array([0.0, 0.0, one.d_m]) - np.sum(wrist * across, axis=-1)[:, None] * across
        for fifth, sixth in _hand(flange, across, outwards):
            along, over = _behind_fourth(flange, fifth, sixth)
            elbow = wrist - five.d_m * over
            bent = np.arctan2(along[:, 2], np.sum(along * ahead, axis=-1))
            x, y = np.sum(elbow * ahead, axis=-1), elbow[:, 2] - one.d_m
            inside = np.minimum(slack_m(x, y_m=y, first_m=two.a_m, second_m=three.a_m), outside)
            yield _Turns(first=shoulder, bent=bent, fifth=fifth, sixth=sixth), x, y, inside


def _hand(flange: Floats, across: Floats, outwards: Floats) -> list[tuple[Floats, Floats]]:
    """Both ways of the fifth and sixth joint to turn the flange against the parallel axes.

    Where the fifth is straight the sixth is free: it then leads the link between them outwards and, in the other way,
    back, so that what can be had with any of its turns can be had with one of these.
    """
    x, y = flange[:, :3, 0], flange[:, :3, 1]
    cosine = np.sum(flange[:, :3, 2] * across, axis=-1)
    sine = np.hypot(np.sum(x * across, axis=-1), np.sum(y * across, axis=-1))
    found = []
    for way in (1.0, -1.0):
        sixth = np.arctan2(-way * np.sum(y * across, axis=-1), way * np.sum(x * across, axis=-1))
        free = np.arctan2(-way * np.sum(x * outwards, axis=-1), -way * np.sum(y * outwards, axis=-1))
        found.append((np.arctan2(way * sine, cosine), np.where(sine < STRAIGHT, free, sixth)))
    return found


def _behind_fourth(flange: Floats, fifth: Floats, sixth: Floats) -> tuple[Floats, Floats]:
    """[poses, 3] twice: the first and the third axis of the frame behind the fourth joint."""
    c5, s5, c6, s6 = (each[:, None] for each in (np.cos(fifth), np.sin(fifth), np.cos(sixth), np.sin(sixth)))
    x, y, z = flange[:, :3, 0], flange[:, :3, 1], flange[:, :3, 2]
    return c5 * c6 * x - c5 * s6 * y - s5 * z, -s6 * x - c6 * y

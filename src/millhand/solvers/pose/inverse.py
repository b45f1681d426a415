"""All ways in which an arm holds its flange in some poses, and how far each is from the ends of the joints' ranges."""

from dataclasses import dataclass, replace

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose import gantry, parallel, scara, spherical
from millhand.solvers.pose.links import TURNED_OVER, Bools, Floats, Ways

FORMS = {
    "spherical_wrist": spherical.ways,
    "parallel_axes": parallel.ways,
    "scara": scara.ways,
    "gantry": gantry.ways,
}
# The greatest slack of all ways of a pose, where it is had for much less than the ways themselves.
SLACKS = {"spherical_wrist": spherical.slacks_m, "parallel_axes": parallel.slacks_m}


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """The ways of an arm, each joint turned by whole turns to where it is furthest from the ends of its range.

    joints [poses, ways, joints]; margins the same: how far from the nearer end of the range (rad or m), negative
    outside; there [poses, ways]: the closed form has it; fits: and every joint is inside its range; slack_m as in Ways.
    """

    joints: Floats
    margins: Floats
    there: Bools
    fits: Bools
    slack_m: Floats


def inverse(arm: Linkage, flange: Floats) -> Held:
    """All ways for each flange [poses, 4, 4], in the frame of the arm's foot, z up."""
    poses = np.asarray(flange, dtype=np.float64)
    if arm.hangs:
        found: Ways = FORMS[arm.family](replace(arm, hangs=False), TURNED_OVER @ poses)
    else:
        found = FORMS[arm.family](arm, poses)
    ranges = np.array([(joint.low, joint.high) for joint in arm.joints])
    middle = ranges.mean(axis=1)
    turns = np.array([0.0 if joint.slides else 2.0 * np.pi for joint in arm.joints])
    whole = np.rint(np.divide(middle - found.joints, turns, out=np.zeros_like(found.joints), where=turns > 0))
    joints = found.joints + whole * turns
    margins = np.minimum(joints - ranges[:, 0], ranges[:, 1] - joints)
    return Held(
        joints=joints,
        margins=margins,
        there=found.there,
        fits=found.there & (margins >= 0.0).all(axis=-1),
        slack_m=found.slack_m,
    )


def slacks_m(arm: Linkage, flange: Floats) -> Floats:
    """[poses]: by how much the links reach further than they have to in the best of the ways, as `inverse` tells it."""
    poses = np.asarray(flange, dtype=np.float64)
    if arm.hangs:
        arm, poses = replace(arm, hangs=False), TURNED_OVER @ poses
    if arm.family in SLACKS:
        return SLACKS[arm.family](arm, poses)
    return np.asarray(FORMS[arm.family](arm, poses).slack_m.max(axis=1))


def least_margins(held: Held) -> Floats:
    """[poses, ways]: the margin of the joint nearest to an end of its range; of a way that is not there, -inf."""
    return np.where(held.there, held.margins.min(axis=-1), -np.inf)


def turned_margins(arm: Linkage, held: Held, turns: int) -> Floats:
    """[poses, ways, turns]: the same with the hand turned about its own axis in so many equal steps, which is the last
    joint alone in every form of arm."""
    joint = arm.joints[-1]
    last = held.joints[..., -1:] + np.arange(turns) * (2.0 * np.pi / turns)
    last += np.rint(((joint.low + joint.high) / 2.0 - last) / (2.0 * np.pi)) * (2.0 * np.pi)
    room = np.minimum(last - joint.low, joint.high - last)
    return np.where(held.there[..., None], np.minimum(room, held.margins[..., :-1].min(axis=-1)[..., None]), -np.inf)

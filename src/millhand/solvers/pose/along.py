"""A straight way of the hand, without turning it: the joint positions along it, for each way to begin it."""

from dataclasses import dataclass

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import Bools, Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Joint positions [ways, samples, joints] along a straight way; `whole`: the arm goes it to its end without leaving
    its ranges or turning over; `margin`: the least that a joint has to an end of its range on the way (rad or m);
    `step`: the greatest change of a joint from one sample to the next."""

    joints: Floats
    whole: Bools
    margin: Floats
    step: Floats


def straight_line(arm: Linkage, flange: Floats, *, to_m: Floats, samples: int = 33, turn_over: float = 0.5) -> Line:
    """From a flange pose [4, 4] to the same pose with its origin at `to_m` [3]; each way that there is goes on with
    whatever position is nearest to the one before. A joint that has to change by more than `turn_over` (rad or m) from
    one sample to the next turns over: such a way is not whole."""
    poses = np.repeat(np.asarray(flange, dtype=np.float64)[None], samples, axis=0)
    poses[:, :3, 3] += np.linspace(0.0, 1.0, samples)[:, None] * (np.asarray(to_m) - poses[0, :3, 3])
    held = inverse(arm, poses)
    turns = np.array([0.0 if joint.slides else 2.0 * np.pi for joint in arm.joints])
    ways = held.joints.shape[1]
    joints = np.empty((ways, samples, len(arm.joints)))
    joints[:, 0], whole = held.joints[0], held.there[0].copy()
    for at in range(1, samples):
        joints[:, at], there = _nearest(held.joints[at], held.there[at], joints[:, at - 1], turns)
        whole &= there
    ranges = np.array([(joint.low, joint.high) for joint in arm.joints])
    margin = np.minimum(joints - ranges[:, 0], ranges[:, 1] - joints).min(axis=(1, 2))
    step = np.abs(np.diff(joints, axis=1)).max(axis=(1, 2))
    return Line(joints=joints, whole=whole & (margin >= 0.0) & (step <= turn_over), margin=margin, step=step)


def _nearest(found: Floats, there: Bools, before: Floats, turns: Floats) -> tuple[Floats, Bools]:
    """Of all positions [others, joints] the nearest to each of those before [ways, joints]; whether there is one."""
    apart = found[None] - before[:, None]
    whole = np.rint(np.divide(apart, turns, out=np.zeros_like(apart), where=turns > 0))
    turned = found[None] - whole * turns
    away = np.where(there[None], np.abs(turned - before[:, None]).max(axis=2), np.inf)
    best = away.argmin(axis=1)
    rows = np.arange(len(before))
    return turned[rows, best], np.isfinite(away[rows, best])

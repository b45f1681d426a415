"""Three slides at right angles and a turn of the hand: a loader on a beam.

The rows of such an arm: joints 1 to 3 slide along three directions that are not in one plane, 4 turns.
"""

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose.links import Floats, Ways, frames

UPRIGHT = 1e-9  # by how much the cosine of the hand's tilt may differ from 1


def ways(arm: Linkage, flange: Floats) -> Ways:
    """The one way to hold the flange [poses, 4, 4]; none where the hand should be tilted. The slack is how far the
    slides are inside of their ranges.

    Source: own_computation, three slides as a linear equation.
    """
    still = frames(arm, np.zeros(len(arm.joints)))
    directions = np.stack([frame[:3, 2] for frame in still[:3]], axis=-1)
    foot = flange[:, :3, 3] - arm.joints[3].d_m * flange[:, :3, 2]
    slid = np.linalg.solve(directions, (foot - still[3][:3, 3]).T).T
    turn = still[3][:3, :3].T @ flange[:, :3, :3]
    upright = turn[:, 2, 2] > 1.0 - UPRIGHT
    turned = np.arctan2(turn[:, 1, 0], turn[:, 0, 0]) - arm.joints[3].offset_rad
    joints = np.concatenate([slid, turned[:, None]], axis=-1)[:, None, :]
    ranges = np.array([(joint.low, joint.high) for joint in arm.joints[:3]])
    slack = np.minimum(slid - ranges[:, 0], ranges[:, 1] - slid).min(axis=1)
    return Ways(joints=joints, there=upright[:, None], slack_m=slack[:, None])

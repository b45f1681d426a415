"""Where an arm's flange is when its joints are somewhere.

Poses are 4 x 4 matrices of the flange in the frame of the foot, lengths in metres, angles in radians; many at a time.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from millhand.model.arm import Joint, Linkage

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

TURNED_OVER = np.diag([1.0, -1.0, -1.0, 1.0])  # half a turn about x: a foot upside down; the same brings it back


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """Every way in which an arm could hold its flange in some poses; of one that cannot be had, the nearest to it.

    joints [poses, ways, joints]; there [poses, ways]; slack_m [poses, ways]: by how much the point that the links have
    to reach lies inside of what they reach, negative by how much outside.
    """

    joints: Floats
    there: Bools
    slack_m: Floats


def forward(arm: Linkage, joints: Floats) -> Floats:
    """[..., 4, 4]: the flange for each row of joint positions [..., joints].

    Source: siciliano2009, sec. 2.8.
    """
    return frames(arm, joints)[-1]


def frames(arm: Linkage, joints: Floats) -> list[Floats]:
    """The frame behind each joint, foot first and flange last, each [..., 4, 4]."""
    q = np.asarray(joints, dtype=np.float64)
    found = [np.broadcast_to(TURNED_OVER if arm.hangs else np.eye(4), (*q.shape[:-1], 4, 4))]
    for number, joint in enumerate(arm.joints):
        found.append(found[-1] @ _step(joint, q[..., number]))
    return found


def _step(joint: Joint, q: Floats) -> Floats:
    """[..., 4, 4]: one row as a matrix."""
    turned = np.full_like(q, joint.offset_rad) if joint.slides else q + joint.offset_rad
    slid = q + joint.d_m if joint.slides else np.full_like(q, joint.d_m)
    cos, sin = np.cos(turned), np.sin(turned)
    up, over = np.cos(joint.alpha_rad), np.sin(joint.alpha_rad)
    step = np.zeros((*q.shape, 4, 4))
    step[..., 0, 0], step[..., 0, 1], step[..., 0, 2], step[..., 0, 3] = cos, -sin * up, sin * over, joint.a_m * cos
    step[..., 1, 0], step[..., 1, 1], step[..., 1, 2], step[..., 1, 3] = sin, cos * up, -cos * over, joint.a_m * sin
    step[..., 2, 1], step[..., 2, 2], step[..., 2, 3] = over, up, slid
    step[..., 3, 3] = 1.0
    return step

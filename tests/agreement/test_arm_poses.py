"""Closed forms against a general-purpose library of inverse kinematics, by other decompositions: the same ways, all of
them; and against turning and shifting points one link after the other with scipy's rotations."""

import sys

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from millhand.catalogue.arms import arms
from millhand.model.arm import Linkage
from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import Floats, forward
from tests.solvers.pose.arms_of_all_kinds import ALL
from tests.solvers.pose.test_inverse import apart, some_joints

BUILT_IN = arms([])
SIX_AXES = {name: arm for name, arm in (ALL | BUILT_IN).items() if len(arm.joints) == 6}
POSES = 2000


def by_hand(arm: Linkage, positions: Floats) -> tuple[Floats, Rotation]:
    """Where the flange is and how it is turned, link by link from the flange back to the foot."""
    point, turned = np.zeros(3), Rotation.identity()
    for joint, position in reversed(list(zip(arm.joints, positions, strict=True))):
        angle = joint.offset_rad + (0.0 if joint.slides else position)
        step = Rotation.from_euler("z", angle) * Rotation.from_euler("x", joint.alpha_rad)
        rise = joint.d_m + (position if joint.slides else 0.0)
        point = Rotation.from_euler("z", angle).apply([joint.a_m, 0.0, rise]) + step.apply(point)
        turned = step * turned
    over = Rotation.from_euler("x", np.pi if arm.hangs else 0.0)
    return over.apply(point), over * turned


@pytest.mark.parametrize("arm", (ALL | BUILT_IN).values(), ids=ALL | BUILT_IN)
def test_forward_poses_agree_with_rotations_one_by_one(arm: Linkage) -> None:
    """Fifty poses of each arm."""
    for positions in some_joints(arm, 50):
        point, turned = by_hand(arm, positions)
        flange = forward(arm, positions)

        assert np.abs(flange[:3, 3] - point).max() < 1e-12
        assert np.abs(flange[:3, :3] - turned.as_matrix()).max() < 1e-12


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="the library is locked for Python 3.11 alone")
@pytest.mark.parametrize("arm", SIX_AXES.values(), ids=SIX_AXES)
def test_all_ways_agree_with_the_library(arm: Linkage) -> None:
    """Two thousand poses of each six-axis arm: as many ways, and each of ours is one of the library's."""
    from eaik.IK_DH import DhRobot

    alpha, a, d, offset = (
        np.array([getattr(joint, name) for joint in arm.joints]) for name in ("alpha_rad", "a_m", "d_m", "offset_rad")
    )
    library = DhRobot(alpha, a, d)
    joints = some_joints(arm, POSES)
    flange = forward(arm, joints)
    held = inverse(arm, flange)
    over = np.diag([1.0, -1.0, -1.0, 1.0]) if arm.hangs else np.eye(4)  # the library knows arms that stand
    worst = 0.0
    for at in range(POSES):
        found = library.IK(over @ flange[at])
        theirs = found.Q[~np.asarray(found.is_LS)] - offset
        ours = held.joints[at][held.there[at]]

        assert len(theirs) == len(ours)
        worst = max(worst, *(float(apart(theirs, way).min()) for way in ours))
    assert worst < 1e-5

"""Two upright axes, a slide and a turn of the hand about it: an arm for flat work, its hand always upright.

The rows of such an arm: joints 1 and 2 turn, alpha of 2 none or a half turn (the slide then leads downwards), 3 slides,
4 turns; `a` of joints 1 and 2 and every `d` may be anything.
"""

import numpy as np

from millhand.model.arm import Linkage
from millhand.solvers.pose.links import Floats, Ways
from millhand.solvers.pose.triangle import reached, slack_m, two_links

UPRIGHT = 1e-9  # by how much the cosine of the hand's tilt may differ from 1


def ways(arm: Linkage, flange: Floats) -> Ways:
    """Two ways to hold the flange [poses, 4, 4], the elbow to either side; none where the hand should be tilted.

    Source: own_computation, two links and a slide.
    """
    one, two, three, four = arm.joints
    x, y, z = (flange[:, axis, 3] for axis in range(3))
    facing = np.cos(two.alpha_rad)
    upright = flange[:, 2, 2] * facing > 1.0 - UPRIGHT
    heading = np.arctan2(flange[:, 1, 0], flange[:, 0, 0])
    slide = facing * (z - one.d_m - two.d_m) - three.d_m - four.d_m
    inside = slack_m(x, y_m=y, first_m=one.a_m, second_m=two.a_m)
    found = [
        np.stack([lift, bend, slide, facing * (heading - lift - bend)], axis=-1)
        for lift, bend in two_links(x, y_m=y, first_m=one.a_m, second_m=two.a_m)
    ]
    joints = np.stack(found, axis=1) - np.array([0.0 if joint.slides else joint.offset_rad for joint in arm.joints])
    there = np.repeat((reached(inside) & upright)[:, None], 2, axis=1)
    return Ways(joints=joints, there=there, slack_m=np.repeat(inside[:, None], 2, axis=1))

"""corke1994: the arm of the textbooks, whose flange poses are in print for two sets of angles, and its eight ways."""

from math import pi

import numpy as np
import pytest

from millhand.solvers.pose.inverse import inverse
from millhand.solvers.pose.links import forward
from tests.checks import prints_as
from tests.solvers.pose.arms_of_all_kinds import TEXTBOOK
from tests.solvers.pose.test_inverse import apart

NOMINAL = (0.0, pi / 4, pi, 0.0, pi / 4, 0.0)
POSES = {  # angles: rows of the pose
    (0.0,) * 6: ("1 0 0 0.4521", "0 1 0 -0.1500", "0 0 1 0.4318"),  # seen in published text, with four digits
    NOMINAL: ("0 0 1 0.5963", "0 1 0 -0.1501", "-1 0 0 -0.01435"),  # from memory, not re-read
}
ERRATA = {  # the wrist lies 0.15005 beside the arm's plane: print shows it cut to -0.1500 and rounded to -0.1501
    "-0.1500": -0.15005,
    "-0.1501": -0.15005,
}
WAYS = (  # of the nominal pose; from memory, not re-read, and by own computation
    "-0.0 -0.833533 0.093956 -3.141593 0.831219 3.141593",
    "-0.0 -0.833533 0.093956 0.0 -0.831219 -0.0",
    "-0.0 0.785398 -3.141593 -0.0 0.785398 0.0",
    "-0.0 0.785398 -3.141593 3.141593 -0.785398 -3.141593",
    "2.648561 2.356194 0.093956 2.532559 0.97435 0.3734",
    "2.648561 2.356194 0.093956 -0.609033 -0.97435 -2.768193",
    "2.648561 -2.30806 -3.141593 0.674266 0.86039 2.661125",
    "2.648561 -2.30806 -3.141593 -2.467326 -0.86039 -0.480468",
)


@pytest.mark.parametrize("angles", POSES, ids=["all at nothing", "nominal"])
def test_printed_poses(angles: tuple[float, ...]) -> None:
    """Turn and position come out to the printed digits."""
    flange = forward(TEXTBOOK, np.array(angles))
    for row, printed in zip(flange, POSES[angles], strict=False):
        for value, digits in zip(row, printed.split(), strict=True):
            if digits in ERRATA:
                assert value == pytest.approx(ERRATA[digits], abs=1e-12)
            else:
                assert prints_as(float(value), digits)


def test_all_eight_ways_of_the_nominal_pose() -> None:
    """Each printed way is found, and no other."""
    held = inverse(TEXTBOOK, forward(TEXTBOOK, np.array(NOMINAL))[None])
    ours = held.joints[0][held.there[0]]
    printed = np.array([[float(angle) for angle in way.split()] for way in WAYS])

    assert len(ours) == len(printed)
    assert max(float(apart(ours, way).min()) for way in printed) < 1e-6

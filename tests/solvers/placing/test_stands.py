"""Where an arm's foot may stand: margins at targets, the nearest place that would do, and what an engineer expects of
them when a target is moved or a tool grows longer."""

import numpy as np
import pytest

from millhand.catalogue.arms import arms
from millhand.solvers.placing.stands import Target, nearest_place, reached, tool_poses
from millhand.solvers.pose.links import Floats

ARM = arms([])["fenced_20"]
DOWN, AHEAD = (0.0, 0.0, -1.0), (1.0, 0.0, 0.0)
TRAY = Target(name="tray", point_m=(0.0, 1.0, 0.9), directions=(DOWN,))
CHUCK = Target(name="chuck", point_m=(1.2, 0.0, 1.1), directions=(AHEAD,), back_m=(0.0, 0.35))


def foot(x_m: float = 0.0, y_m: float = 0.0, heading_rad: float = 0.0) -> Floats:
    """One place for the foot, on a pedestal of 0.7 m."""
    return np.array([[x_m, y_m, 0.7, heading_rad]])


def test_a_tray_beside_and_a_chuck_before_the_arm_are_reached() -> None:
    """Both with some tenths of a radian to the nearest end of a joint's range."""
    found = reached(ARM, foot(), targets=(TRAY, CHUCK), tool_m=0.2)

    assert found.names == ("tray", "chuck")
    assert found.everywhere.tolist() == [True]
    assert (found.margin > 0.1).all()


@pytest.mark.parametrize("further_m", [0.05, 0.2])
def test_what_lies_too_far_says_by_how_much(further_m: float) -> None:
    """A hand that looks straight ahead at the height of the shoulder: its wrist lies on one line with the links."""
    one, two, three, four, _, six = ARM.joints
    furthest = one.a_m + two.a_m + float(np.hypot(three.a_m, four.d_m)) + six.d_m + 0.2
    target = Target(name="far", point_m=(furthest + further_m, 0.0, 0.7 + one.d_m), directions=(AHEAD,))
    found = reached(ARM, foot(), targets=(target,), tool_m=0.2)

    assert found.slack_m[0, 0] == pytest.approx(-further_m, abs=1e-9)
    assert not found.there.any()


def test_moving_all_or_turning_all_changes_nothing() -> None:
    """The foot and the targets moved by the same way and turned by the same angle about the foot."""
    angle, x_m, y_m = 0.7, 2.0, -1.0
    turn = np.array([[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1.0]])

    def moved(target: Target) -> Target:
        point = turn @ np.array(target.point_m) + np.array([x_m, y_m, 0.0])
        ways = tuple(tuple(turn @ np.array(way)) for way in target.directions)
        return Target(name=target.name, point_m=tuple(point), directions=ways, back_m=target.back_m)

    here = reached(ARM, foot(), targets=(CHUCK,), tool_m=0.2)
    there = reached(ARM, foot(x_m, y_m, angle), targets=(moved(CHUCK),), tool_m=0.2)

    assert there.slack_m == pytest.approx(here.slack_m, abs=1e-9)
    assert there.margin == pytest.approx(here.margin, abs=1e-6)


def test_more_ways_in_and_more_turns_never_make_it_worse() -> None:
    """A second direction and a finer turn of the hand only add poses to choose from."""
    either = Target(name="chuck", point_m=CHUCK.point_m, directions=(AHEAD, DOWN), back_m=CHUCK.back_m)
    one, two = (reached(ARM, foot(), targets=(each,), tool_m=0.2).margin[0, 0] for each in (CHUCK, either))
    finer = reached(ARM, foot(), targets=(CHUCK,), tool_m=0.2, turns=24).margin[0, 0]

    assert two >= one
    assert finer >= one


def test_the_nearest_place_that_would_do() -> None:
    """From 2.4 m before the chuck it is out of reach; the nearest place of a row from which both are had is told."""
    row = np.array([[x, 0.0, 0.7, 0.0] for x in np.linspace(-1.2, 0.8, 41)])
    found = reached(ARM, row, targets=(TRAY, CHUCK), tool_m=0.2).everywhere
    nearest = nearest_place(ARM, row, targets=(TRAY, CHUCK), tool_m=0.2, wanted=0)

    assert not found[0]
    assert nearest == int(np.flatnonzero(found)[0])
    far = Target(name="far", point_m=(5.0, 0.0, 1.0), directions=(AHEAD,))
    assert nearest_place(ARM, row, targets=(far,), tool_m=0.2, wanted=0) == -1


def test_the_tip_of_the_tool_gets_to_the_point_and_back() -> None:
    """Each flange pose has the target a tool's length before it, and the point to begin from so much further back."""
    poses = tool_poses(CHUCK, tool_m=0.2, turns=5)
    tips = poses[..., :3, 3] + 0.2 * poses[..., :3, 2]

    assert poses.shape == (2, 5, 4, 4)
    assert np.abs(tips[0] - np.array(CHUCK.point_m)).max() < 1e-12
    assert np.abs(tips[1] - (np.array(CHUCK.point_m) - np.array([0.35, 0, 0]))).max() < 1e-12
    assert np.abs(np.linalg.det(poses[..., :3, :3]) - 1.0).max() < 1e-12

"""Closed forms of every family: whatever a forward pose was made from is among the ways found for it, and all ways lead
back to it."""

from dataclasses import replace

import numpy as np
import pytest

from millhand.model.arm import Linkage
from millhand.solvers.pose.inverse import inverse, least_margins, slacks_m, turned_margins
from millhand.solvers.pose.links import Floats, forward
from tests.solvers.pose.arms_of_all_kinds import ALL, FLAT, LEANING, LIGHT, LOADER, TEXTBOOK

POSES = 10_000
WHOLE = 2 * np.pi


def some_joints(arm: Linkage, count: int) -> Floats:
    """Joint positions anywhere in the ranges, the same every time."""
    low, high = (np.array([getattr(joint, end) for joint in arm.joints]) for end in ("low", "high"))
    return np.random.default_rng(7).uniform(low, high, (count, len(low)))


def apart(one: Floats, other: Floats) -> Floats:
    """The greatest difference of two positions of an arm, whole turns left out."""
    found: Floats = np.abs((one - other + np.pi) % WHOLE - np.pi).max(axis=-1)
    return found


@pytest.mark.parametrize("arm", ALL.values(), ids=ALL)
def test_every_way_leads_back_and_the_first_is_among_them(arm: Linkage) -> None:
    """Ten thousand poses of each arm."""
    joints = some_joints(arm, POSES)
    flange = forward(arm, joints)
    held = inverse(arm, flange)
    back = np.abs(forward(arm, held.joints) - flange[:, None]).max(axis=(-1, -2))

    assert back[held.there].max() < 1e-9
    assert np.where(held.there, apart(held.joints, joints[:, None]), 9.0).min(axis=1).max() < 1e-5
    assert (held.slack_m[held.there] >= -1e-9).all()


@pytest.mark.parametrize("arm", [TEXTBOOK, LEANING, LIGHT], ids=["of the books", "leaning", "light"])
def test_eight_ways_differ(arm: Linkage) -> None:
    """Where all eight ways of a six-axis arm are there, they are eight different ones."""
    held = inverse(arm, forward(arm, some_joints(arm, 300)))
    whole = held.joints[held.there.all(axis=1)]
    gaps = [apart(whole[:, i], whole[:, j]) for i in range(8) for j in range(i)]

    assert len(whole) > 100
    assert np.min(gaps) > 1e-6


@pytest.mark.parametrize("arm", [TEXTBOOK, LEANING], ids=["of the books", "leaning"])
def test_a_straight_wrist_is_held_all_the_same(arm: Linkage) -> None:
    """With the fifth joint at nothing or half a turn the fourth and sixth turn about one axis: a way is found, exactly.

    One of the poses has the wrist beside the shoulder's axis, as near as the arm comes; there the square root of the
    rounding counts, some nanometres.
    """
    joints = some_joints(arm, 200)
    joints[:, 4] = np.where(np.arange(200) % 2, 0.0, np.pi) - arm.joints[4].offset_rad
    flange = forward(arm, joints)
    held = inverse(arm, flange)

    back = np.where(held.there, np.abs(forward(arm, held.joints) - flange[:, None]).max(axis=(-1, -2)), 0.0)

    assert held.there.any(axis=1).all()
    assert np.sort(back.max(axis=1))[-2] < 1e-12
    assert back.max() < 2e-8


def test_a_straight_hand_of_parallel_axes_is_held_all_the_same() -> None:
    """With the fifth joint at nothing the sixth turns about the parallel axes: a way is found, exactly."""
    joints = some_joints(LIGHT, 200)
    joints[:, 4] = 0.0
    flange = forward(LIGHT, joints)
    held = inverse(LIGHT, flange)
    back = np.abs(forward(LIGHT, held.joints) - flange[:, None]).max(axis=(-1, -2))

    assert held.there.any(axis=1).all()
    assert back[held.there].max() < 1e-9


@pytest.mark.parametrize("beyond_m", [0.05, 0.3])
def test_out_of_reach_is_told_in_metres(beyond_m: float) -> None:
    """A wrist that lies so far beyond the stretched arm, straight ahead of the shoulder."""
    one, two, three, four, _, six = LEANING.joints
    reach = two.a_m + float(np.hypot(three.a_m, four.d_m)) + beyond_m
    flange = np.eye(4)
    ahead = float(np.hypot(reach + one.a_m, two.d_m + three.d_m))
    flange[:3, 3] = ahead, 0.0, one.d_m - six.d_m
    flange[:3, :3] = np.diag([1.0, -1.0, -1.0])  # the hand looks down
    held = inverse(LEANING, flange[None])

    assert not held.there.any()
    assert held.slack_m.max() == pytest.approx(-beyond_m, abs=1e-9)


@pytest.mark.parametrize("arm", [LEANING, LIGHT, LOADER], ids=["leaning", "light", "loader"])
def test_an_arm_that_hangs_is_the_same_arm_upside_down(arm: Linkage) -> None:
    """With the same joints its flange is where that of the standing one is, after half a turn about x: what lay as far
    above the foot lies as far below it, what lay to the left lies to the right; and it is held by the same joints."""
    joints = some_joints(arm, 200)
    standing, hanging = forward(arm, joints), forward(replace(arm, hangs=True), joints)
    up, down = standing[:, :3, 3], hanging[:, :3, 3]
    held = inverse(replace(arm, hangs=True), hanging)

    assert np.allclose(down, up * np.array([1.0, -1.0, -1.0]), atol=1e-12)
    assert np.abs(down[:, 2]).max() > 0.1
    assert np.allclose(held.joints, inverse(arm, standing).joints, atol=1e-7)


def test_a_tilted_hand_is_nothing_for_a_flat_arm_or_a_loader() -> None:
    """Their hands stay upright: a pose with a tilt of a tenth cannot be had, the upright one can."""
    for arm in (FLAT, LOADER):
        flange = forward(arm, some_joints(arm, 50))
        tilt = np.array(
            [[1, 0, 0, 0], [0, np.cos(0.1), -np.sin(0.1), 0], [0, np.sin(0.1), np.cos(0.1), 0], [0, 0, 0, 1]]
        )

        assert inverse(arm, flange).there.all()
        assert not inverse(arm, flange @ tilt).there.any()


def test_whole_turns_bring_joints_into_their_ranges() -> None:
    """A joint whose range lies beyond a half turn is turned on by a whole one, furthest from its ends."""
    turned = [*LIGHT.joints]
    turned[5] = type(turned[5])(a_m=0, alpha_rad=0, d_m=0.1, offset_rad=1, low=3.5, high=9.0)
    arm = Linkage(id="turned", family="parallel_axes", joints=tuple(turned))
    joints = some_joints(arm, 500)
    held = inverse(arm, forward(arm, joints))
    sixth = held.joints[..., 5][held.there]

    assert (np.abs(sixth - 6.25) <= np.pi + 1e-9).all()
    assert held.fits.any(axis=1).all()
    assert (least_margins(held)[held.fits] >= 0).all()
    assert np.isneginf(least_margins(held)[~held.there]).all()


def test_a_joint_outside_its_range_says_by_how_much() -> None:
    """Narrow the shoulder's range to a tenth below what a pose takes: that way does not fit, by minus a tenth."""
    joints = np.array([[1.0, 0.4, 0.9, 0.2, 0.5, 0.1]])
    narrow = [*TEXTBOOK.joints]
    narrow[0] = type(narrow[0])(alpha_rad=np.pi / 2, low=-0.9, high=0.9)
    arm = Linkage(id="narrow", family="spherical_wrist", joints=tuple(narrow))
    held = inverse(arm, forward(TEXTBOOK, joints))
    same = apart(held.joints, joints[:, None]) < 1e-9

    assert same.sum() == 1
    assert least_margins(held)[same] == pytest.approx(-0.1, abs=1e-9)
    assert not held.fits[same].any()


@pytest.mark.parametrize("arm", ALL.values(), ids=ALL)
def test_the_slack_alone_is_that_of_the_best_way(arm: Linkage) -> None:
    """Poses within reach and beyond it, upright and hung."""
    flange = forward(arm, some_joints(arm, 500))
    flange[::2, :3, 3] *= 1.4
    for own in (arm, replace(arm, hangs=True)):
        assert slacks_m(own, flange) == pytest.approx(inverse(own, flange).slack_m.max(axis=1), abs=1e-12)


@pytest.mark.parametrize("arm", ALL.values(), ids=ALL)
def test_a_turned_hand_is_the_last_joint_turned(arm: Linkage) -> None:
    """Least margins of all ways with the hand turned in steps of 90 degrees, against each turned pose by itself."""
    flange = forward(arm, some_joints(arm, 300))
    turned = turned_margins(arm, inverse(arm, flange), 4)
    for number, (cos, sin) in enumerate(((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))):
        about = np.eye(4)
        about[:2, :2] = [[cos, -sin], [sin, cos]]

        assert turned[..., number] == pytest.approx(least_margins(inverse(arm, flange @ about)), abs=1e-6)

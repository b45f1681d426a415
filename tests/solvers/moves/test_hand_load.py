"""A hand with its parts on the flange, against sums worked by hand."""

import math
from dataclasses import replace

import pytest

from millhand.solvers.moves.hand_load import Hand, greatest_inertia_kg_m2, greatest_moment_nm, hand_load

G = 9.80665
ONE = Hand(
    hands=1, gripper_kg=2.0, fingers_kg=0.7, part_kg=2.4, parts=1.0, length_m=0.2, width_m=0.1,
    sides_m=(0.12, 0.08, 0.04),
)  # fmt: skip
TWO = replace(ONE, hands=2, gripper_kg=4.0, fingers_kg=1.4)


def test_one_hand_is_body_fingers_and_part_one_behind_the_other() -> None:
    """Body to 120 mm, fingers to 200 mm, the part at their tips."""
    load = hand_load(ONE)

    assert load.mass_kg == pytest.approx(5.1)
    assert load.lever_m == pytest.approx((2.0 * 0.06 + 0.7 * 0.16 + 2.4 * 0.2) / 5.1)
    assert greatest_moment_nm(ONE) == pytest.approx((2.0 * 0.06 + 0.7 * 0.16 + 2.4 * 0.2) * G)


def test_two_full_hands_balance() -> None:
    """Full, both lie half a right angle to either side: what pulls sideways cancels, what pulls ahead adds."""
    load = hand_load(TWO)
    ahead = math.cos(math.pi / 4.0)

    assert load.mass_kg == pytest.approx(10.2)
    assert load.lever_m == pytest.approx(2.0 * ahead * (2.0 * 0.06 + 0.7 * 0.16 + 2.4 * 0.2) / 10.2)
    assert greatest_moment_nm(TWO) == pytest.approx(load.moment_nm)


def test_inertia_counts_each_body_about_the_flange() -> None:
    """The part alone on massless fingers: its own, and its mass at the length of the hand."""
    bare = replace(ONE, gripper_kg=0.0, fingers_kg=0.0)

    own = 2.4 * (0.12**2 + 0.04**2) / 12.0
    assert greatest_inertia_kg_m2(bare) == pytest.approx(own + 2.4 * 0.2**2)


def test_a_shot_hangs_on_one_hand() -> None:
    """Four parts out of a mould are four times the mass at the tips."""
    assert hand_load(replace(ONE, parts=4.0)).mass_kg == pytest.approx(2.7 + 4 * 2.4)

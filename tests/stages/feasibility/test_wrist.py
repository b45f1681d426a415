"""What hangs on the wrist: payload at its lever, moment and inertia, each against numbers worked here."""

import math
from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.stages.feasibility.payload import inertia, moment, payload
from tests.stages.feasibility.judged import TRACK, asked_of, judged
from tests.stages.shop import shop

SINGLE = TRACK.replace("double", "single")
AHEAD = math.cos(math.pi / 4)  # of two hands, half a right angle aside


def test_a_load_far_from_the_flange_leaves_less_payload() -> None:
    """Hands of 600 mm: the centre of the load lies beyond the 200 mm at which the arm is rated, and the rest falls."""
    asked = asked_of(TRACK)
    assert asked.concept.gripper is not None
    figures = {
        **asked.concept.gripper.figures,
        "length_m": Fact(id="gripper.length", value=0.6, unit="m", basis="given", source="test"),
    }
    long = replace(asked, concept=replace(asked.concept, gripper=replace(asked.concept.gripper, figures=figures)))

    found = payload(long)

    assert found is not None
    centre = AHEAD * (4.0 * 0.18 + 1.4 * 0.48 + 2 * 1.17 * 0.6) / 7.74
    assert centre > 0.2
    assert long.sheet.value(found.limit) == pytest.approx(20.0 * 0.2 / centre)
    assert long.sheet.value(found.margin) == pytest.approx(1.0 - 7.74 * centre / 4.0)


def test_an_arm_of_which_nothing_more_is_known_is_checked_by_its_payload_alone() -> None:
    """An arm out of a shop's own list may lack lever, moment and inertia."""
    asked = asked_of(TRACK)
    assert asked.concept.arm is not None
    known = {key: fact for key, fact in asked.concept.arm.figures.items() if key not in LATER}
    bare = replace(asked, concept=replace(asked.concept, arm=replace(asked.concept.arm, figures=known)))

    found = payload(bare)

    assert (moment(bare), inertia(bare)) == (None, None)
    assert found is not None
    assert bare.sheet.value(found.limit) == 20.0
    assert "centre" not in found.words


LATER = ("payload_lever_m", "moment_nm", "inertia_kg_m2")


def test_the_moment_on_the_wrist_is_that_of_body_fingers_and_parts() -> None:
    """Body to 120 mm, fingers to 200 mm, parts at their tips, hands half a right angle aside; wrists bear 45 N m."""
    demand, limit = judged().numbers("moment")
    assert demand == pytest.approx(AHEAD * (4.0 * 0.06 + 1.4 * 0.16 + 2 * 1.17 * 0.2) * 9.80665)
    assert limit == 45.0
    assert judged(SINGLE).numbers("moment")[0] == pytest.approx((2.0 * 0.06 + 0.7 * 0.16 + 1.17 * 0.2) * 9.80665)


def test_a_wrist_that_is_too_weak_warns_within_the_class_and_ends_beyond_it() -> None:
    """25 kg in one hand pull with 51 N m, between a usual wrist and the best of the class; 32 kg go beyond it."""
    heavy = judged(SINGLE, shop(raw_mass=25)).verdicts["moment"]
    heavier = judged(SINGLE, shop(raw_mass=32)).verdicts["moment"]

    assert (heavy.holds, heavy.kills) == (False, False)
    assert (heavier.holds, heavier.kills) == (False, True)


def test_inertia_is_checked_against_the_wrist() -> None:
    """Below what wrists of the class turn, with the part as a box at the tips."""
    demand, limit = judged(SINGLE).numbers("inertia")

    part = 1.17 * (0.12**2 + 0.08**2) / 12 + 1.17 * 0.2**2
    body = 2.0 * (0.11**2 + 0.12**2) / 12 + 2.0 * 0.06**2
    fingers = 0.7 * (0.11**2 + 0.08**2) / 12 + 0.7 * 0.16**2
    assert demand == pytest.approx(part + body + fingers)
    assert limit == 2.2

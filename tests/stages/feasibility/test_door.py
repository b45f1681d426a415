"""The way of hands and parts through a door, against numbers worked here."""

import math
from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from tests.stages.feasibility.judged import TRACK, judged
from tests.stages.shop import shop

SINGLE = TRACK.replace("double", "single")
CIRCLE = 2.0 * math.hypot(0.2 + 0.045 / 2.0, 0.12 / 2.0)  # a hand of 200 mm, a bracket of 120 x 80 x 45 mm


def with_door(width_m: float, height_m: float = 0.8) -> Inquiry:
    """The shop with a door that somebody measured."""
    of = shop()
    machine = of.machines[0]

    def measured(fact: Fact, value: float) -> Fact:
        return replace(fact, value=value, low=None, high=None, shape="point", basis="given")

    inside = replace(
        machine.inside,
        door_width_m=measured(machine.inside.door_width_m, width_m),
        door_height_m=measured(machine.inside.door_height_m, height_m),
    )
    return replace(of, machines=(replace(machine, inside=inside),))


def test_two_hands_turn_in_the_width_of_the_door() -> None:
    """The circle of hand and half a part, half the part to the side, and 50 mm on each side."""
    found = judged()

    assert found.numbers("door_opening") == pytest.approx((CIRCLE + 0.1, 0.8))
    assert found.sentence("door_opening").startswith("Across the door, two hands with their parts turn in 561 mm")


@pytest.mark.parametrize("width_m", [0.55, 0.5, 0.2])
def test_a_measured_door_that_is_too_narrow_ends_the_two_hands(width_m: float) -> None:
    """The margin is the circle over the door; one hand passes still."""
    found = judged(TRACK, with_door(width_m))
    verdict = found.verdicts["door_opening"]

    assert (verdict.holds, verdict.kills, verdict.coarse) == (False, True, True)
    assert found.sheet.value(verdict.margin) == pytest.approx(1.0 - (CIRCLE + 0.1) / width_m)
    assert "one hand instead of two" in verdict.words
    missing = found.sheet.value(f"concepts.{TRACK}.feasibility.door_opening.missing")
    assert missing == pytest.approx(CIRCLE + 0.1 - width_m)
    assert judged(SINGLE, with_door(width_m)).verdicts["door_opening"].holds == (width_m >= 0.22)


def test_at_its_limit_it_still_holds() -> None:
    """A door exactly as wide as the circle with its clearance."""
    assert judged(TRACK, with_door(CIRCLE + 0.1 + 1e-9)).verdicts["door_opening"].holds
    assert not judged(TRACK, with_door(CIRCLE + 0.1 - 1e-6)).verdicts["door_opening"].holds


def test_an_assumed_door_warns_where_a_wider_one_is_usual() -> None:
    """A part of a metre turns in no usual door; one of half a metre turns in the widest of them."""
    wide, far = (judged(TRACK, shop(raw__length=length)).verdicts["door_opening"] for length in (0.6, 1.3))

    assert (wide.holds, wide.kills) == (False, False)
    assert (far.holds, far.kills) == (False, True)


def test_a_low_opening_lets_the_least_side_pass() -> None:
    """The body of the hand, 110 mm, is higher than the part of 40 mm: 210 mm against 200 mm."""
    found = judged(SINGLE, with_door(0.8, 0.2))

    assert found.numbers("door_opening") == pytest.approx((0.11 + 0.1, 0.2))
    assert found.sentence("door_opening").startswith("Upright in the door")

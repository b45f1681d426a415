"""A flat arm beside an open press: it works, and one figure changed it fails at the right check.

Its hand goes from 0.2 m below its foot to 0.1 m above it; the foot stands at one of five heights.
"""

from dataclasses import replace
from functools import cache

import pytest

from millhand.catalogue.components import read_catalogue
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry
from millhand.stages.concepts import concepts, dropped
from tests.stages.short_road import walked
from tests.stages.test_turning_verdicts import FLAT, MILLS, example, judged, told

NAME = "small_tray-high_pedestal-scara_10-parallel_single-fence"
FOOT = 1.0  # the lowest foot from which the hand gets over the tray


def press(**changes: float) -> Inquiry:
    """A press of which opening and height are told: wide open, at the height of the tray."""
    return told(example(FLAT), **{"door_width": 0.9, "door_height": 1.2, "load_height": 1.0, **changes})


@cache
def as_it_is() -> frozenset[str]:
    """The checks that hold as it is."""
    verdicts, _ = judged(FLAT, press(), read_catalogue())
    return frozenset(check for check, each in verdicts.items() if each.holds)


def turned(of: Inquiry, catalogue: Catalogue | None = None) -> dict[str, tuple[bool, float]]:
    """Every check that held and does not hold now: whether it ends the cell, and its margin."""
    verdicts, sheet = judged(FLAT, of, catalogue or read_catalogue())
    return {
        check: (each.kills, sheet.value(each.margin))
        for check, each in verdicts.items()
        if check in as_it_is() and not each.holds
    }


def test_a_flat_arm_works_beside_an_open_press() -> None:
    """It is among the concepts and has its cell."""
    assert {"reach", "joint_room", "arm_gap", "payload", "moment", "inertia"} <= as_it_is()
    assert walked(press(), NAME).plan.cell is not None


def test_elsewhere_no_flat_arm_is_looked_at() -> None:
    """Not at mills, not between several presses, on no other mount and with no larger tray."""
    of, whole = press(), read_catalogue()
    several = replace(of, machines=(replace(of.machines[0], count=replace(of.machines[0].count, value=2.0)),))
    mine = [each for each in concepts(of, whole) if each.arm and each.arm.id == "scara_10"]

    assert mine
    assert {each.mount.id for each in mine if each.mount} == {"high_pedestal"}
    assert "drawers" not in {each.presenter.id for each in mine if each.presenter}
    for other in (several, example(MILLS)):
        assert not any("scara_10" in each.id for each in concepts(other, whole))
    assert "short stroke" in dict(dropped(example(MILLS), whole))["pedestal-scara_10"]


def test_a_low_table_leaves_the_stroke_little_room() -> None:
    """3 mm above the lowest that the hand gets to: 5 mm are kept, so it warns."""
    room_m = 0.003

    assert turned(press(load_height=FOOT - 0.2 + room_m)) == {
        "joint_room": (False, pytest.approx(1.0 - 0.005 / room_m))
    }


def test_a_lower_table_is_beyond_the_stroke() -> None:
    """30 mm lower than the hand gets: the third joint lacks them, and the cell ends."""
    lacks_m = 0.03
    of = press(load_height=FOOT - 0.2 - lacks_m)
    verdicts, sheet = judged(FLAT, of, read_catalogue())
    (beyond,) = (sheet.value(key) for key in sheet.facts if key.endswith("joint_room.beyond"))

    assert turned(of)["joint_room"][0] is True
    assert turned(of).keys() == {"joint_room"}
    assert beyond == pytest.approx(lacks_m)
    assert "third joint" in verdicts["joint_room"].words


def test_a_part_too_heavy_turns_the_payload() -> None:
    """The part lies 0.2 m before the flange, fingers and gripper at 0.8 and 0.3 of that; the arm is rated for 10 kg at
    0.15 m: together they pull with 110 % of that moment."""
    part_kg = 1.1 * 10.0 * 0.15 / 0.2 - 0.7 * 0.8 - 2.0 * 0.3

    assert turned(press(raw_mass=part_kg))["payload"] == (True, pytest.approx(-0.1))


def test_a_low_opening_turns_the_gap() -> None:
    """The links go in 0.35 m over the foot: an opening that ends below them is touched, and was told."""
    assert turned(press(door_height=0.55))["arm_gap"][0] is True
    assert "arm_gap" not in turned(press(door_height=1.0))

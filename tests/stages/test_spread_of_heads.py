"""One head at more machines: hours come free, but never those in which there is work to be done."""

import pytest

from millhand.model.inquiry import Inquiry
from tests.stages.short_road import Walked, changed, example, walked

BOXES = "by_hand-drop_and_boxes"


def presses(packing_s: float) -> Inquiry:
    """The two moulding machines, with another time for looking at the parts of a shot and packing them."""
    return changed(example("3_moulding"), {"today.elements.look_and_pack.time": packing_s})


def figure(made: Walked, name: str) -> float:
    """A figure of the change by hand."""
    return made.sheet.value(f"concepts.{BOXES}.performance.{name}")


def test_where_the_work_is_little_the_heads_are_halved() -> None:
    """One head at four presses instead of two."""
    made = walked(presses(9.0), BOXES)
    assigned = made.sheet.value("shifts.assigned_h_per_y")

    assert figure(made, "work_h") < assigned / 2.0
    assert figure(made, "operator_h_per_y") == pytest.approx(assigned / 2.0)


def test_nobody_is_freed_of_work_that_is_still_to_be_done() -> None:
    """With 36 s of packing a shot, of which 0.4 stay, half the hours are not enough."""
    made = walked(presses(36.0), BOXES)
    assigned = made.sheet.value("shifts.assigned_h_per_y")
    allowance, stays, outside, walk = 1.12, 0.4, 0.1, 0.1
    a_shot = (6.0 * outside + (36.0 + 0.6) * stays) * allowance + 4.0 * walk  # from one press to the next
    shots = made.sheet.value(f"concepts.{BOXES}.performance.tended_parts_per_y") / 2.0
    good = made.sheet.value(f"concepts.{BOXES}.performance.good_share")
    set_ups_h = 2.0 * shots / 4000.0

    assert figure(made, "work_h") == pytest.approx(shots / good * a_shot / 3600.0 + set_ups_h, rel=1e-6)
    assert assigned / 2.0 < figure(made, "operator_h_per_y") == figure(made, "work_h") <= assigned


def test_no_change_by_hand_asks_for_more_than_is_there() -> None:
    """Ten times the packing: the hours of today, and nothing freed."""
    made = walked(presses(90.0), BOXES)

    assert figure(made, "operator_h_per_y") == made.sheet.value("shifts.assigned_h_per_y")

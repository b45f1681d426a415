"""Shifts in short and in long form, their breaks and their people."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.inquiry_sums import covered_s, present_s
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
H = 3600.0


def with_shifts(text: str, **other: str) -> Inquiry:
    """The dozen facts with these shifts."""
    whole = DOZEN.replace("shifts: 2 x 8 h", text).replace("unattended: 3 h", other.get("alone", "unattended: 0 h"))
    return inquiry_of(tree_of(whole.encode(), "i.yaml"), Path(), assumptions())


def test_the_short_form_is_one_shift_after_another() -> None:
    """Start assumed, length given, premiums by order, one break in the middle."""
    first, second, third = with_shifts("shifts: 3 x 8 h").shifts

    assert [shift.start_s.value / H for shift in (first, second, third)] == [6, 14, 22]
    assert [shift.premium.value for shift in (first, second, third)] == ["none", "late", "night"]
    assert (first.length_s.basis, first.start_s.basis) == ("given", "assumed")
    assert second.start_s.source == "one shift after another, from shifts.shift_1.start"
    assert (first.breaks[0].start_s.value, first.breaks[0].length_s.value) == (9.75 * H, 0.5 * H)


@pytest.mark.parametrize(("text", "count"), [("2 x 8 h (7 h to 9 h)", 2), ("8 h (7 h to 9 h)", 1)])
def test_a_length_may_have_a_range(text: str, count: int) -> None:
    """The words in brackets are no times of day."""
    shifts = with_shifts(f"shifts: {text}").shifts

    assert [(each.length_s.low, each.length_s.high) for each in shifts] == [(7 * H, 9 * H)] * count


def test_a_number_alone_is_asked_about() -> None:
    """Two shifts, or one of two hours; eight can only be hours."""
    with pytest.raises(InputErrors) as caught:
        with_shifts("shifts: 2")

    assert [each.write for each in caught.value.errors] == ["2 x 8 h or 2 h: '2' can be read both ways"]
    assert [each.length_s.value for each in with_shifts("shifts: 8").shifts] == [8 * H]


def test_a_shift_may_run_over_midnight() -> None:
    """22:00 to 06:00 is eight hours, and so is from 22:00 with a length."""
    for text in ("to: 06:00", "length: 8 h"):
        (shift,) = with_shifts(f"shifts: [{{name: night, from: 22:00, {text}}}]").shifts
        assert (shift.start_s.value, shift.length_s.value) == (22 * H, 8 * H)


def test_crews_may_overlap_and_rotate() -> None:
    """Two crews of twelve hours, four days and three; an hour that two crews share is one hour of the day."""
    inquiry = with_shifts(
        "shifts:\n  - {name: a, from: 06:00, to: 18:00, days_per_week: 3.5}\n"
        "  - {name: b, from: 17:00, to: 06:00, days_per_week: 3.5}"
    )

    assert covered_s(inquiry) == 24 * H
    assert [shift.days_per_week.value for shift in inquiry.shifts] == [3.5, 3.5]


@pytest.mark.parametrize(("text", "hours"), [("breaks: []", 8.0), ("breaks: 45 min", 7.25), ("manned: yes", 7.5)])
def test_breaks_take_from_the_hours_present(text: str, hours: float) -> None:
    """None, one length in the middle, and the usual one where nothing is said."""
    inquiry = with_shifts(f"shifts: [{{name: early, from: 06:00, to: 14:00, {text}}}]")

    assert present_s(inquiry) == hours * H


def test_a_short_or_unmanned_shift_has_no_break_assumed() -> None:
    """Under six hours, or with nobody there."""
    shifts = with_shifts(
        "shifts:\n  - {name: day, from: 06:00, length: 5 h 50 min}\n"
        "  - {name: night, from: 22:00, to: 06:00, manned: no}"
    ).shifts

    assert [shift.breaks for shift in shifts] == [(), ()]


def test_breaks_of_a_list_are_named_by_their_time() -> None:
    """Paths are made of what is written, never of counters."""
    (shift,) = with_shifts(
        "shifts: [{name: early, from: 06:00, to: 14:00, breaks: [{from: 09:00, length: 15 min, paid: yes}]}]"
    ).shifts

    assert shift.breaks[0].length_s.id == "shifts.early.breaks.at_0900.length"
    assert (shift.breaks[0].start_s.value, shift.breaks[0].paid.value) == (9 * H, "yes")


def test_the_people_of_a_shift_are_those_of_the_shop_unless_it_says_more() -> None:
    """The same fact, not a copy; an own figure stands under the shift's path."""
    inquiry = with_shifts(
        "shifts:\n  - {name: early, from: 06:00, to: 14:00}\n  - {name: late, from: 14:00, to: 22:00, operators: 2}"
    )

    assert inquiry.shifts[0].operators is inquiry.people.operators
    assert (inquiry.shifts[1].operators.id, inquiry.shifts[1].operators.value) == ("shifts.late.operators", 2)


@pytest.mark.parametrize(("week", "days"), [("5", 245.0), ("7", 343.0), ("3.5", 171.5)])
def test_work_days_follow_the_week(week: str, days: float) -> None:
    """Work days that nobody gave are those of a week of five days, in proportion."""
    inquiry = with_shifts(f"shifts: [{{name: early, from: 06:00, to: 14:00, days_per_week: {week}}}]")

    assert inquiry.shop.work_days_per_y.value == days
    assert (inquiry.shop.work_days_per_y.note is None) == (week == "5")

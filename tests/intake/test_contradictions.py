"""Figures that cannot both be right are errors with a code; figures that are odd are questions."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.inquiry_sums import asked_s, present_s, shifts_per_y
from millhand.intake.odd import oddities
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
COUNTRY = "shop: {country: US}\npeople:"


def with_changes(*changes: tuple[str, str]) -> Inquiry:
    """The dozen facts, in a named country, with some of their words changed."""
    text = DOZEN.replace("people:", COUNTRY, 1)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


def codes(*changes: tuple[str, str]) -> list[str]:
    """The codes of the errors that these changes lead to."""
    with pytest.raises(InputErrors) as caught:
        with_changes(*changes)
    return [error.code for error in caught.value.errors]


def test_a_shift_holds_only_so_many_parts() -> None:
    """Two machines of eight hours hold 151 cycles of 380 s; breaks that are only assumed accuse nobody."""
    orders = ("orders_per_y: 52000", "orders_per_y: 90000")

    assert with_changes(("parts_per_shift: 105", "parts_per_shift: 151"), orders).today.parts_per_shift.value == 151
    assert codes(("parts_per_shift: 105", "parts_per_shift: 152"), orders) == ["over_capacity"]


def test_a_part_that_two_parts_share_counts_by_orders() -> None:
    """The mix of what is shipped is the mix of what is ordered."""
    second = (
        "  - {name: block, shape: prismatic, raw: 80 x 80 x 40 mm, raw_mass: 2 kg, families: 4, lot_size: 50, "
        "orders_per_y: 52000, operations: [{name: milling, machine: mill, time: 100 s, time_is: cycle}]}\n\ntoday:"
    )
    inquiry = with_changes(("today:", second))

    assert asked_s(inquiry, inquiry.machines[0]) == 105 * (380 + 100) / 2


def test_several_parts_of_a_cycle_share_its_time() -> None:
    """Four cavities make four parts in one cycle."""
    inquiry = with_changes(("parts_per_cycle: 1", "parts_per_cycle: 4"))

    assert asked_s(inquiry, inquiry.machines[0]) == 105 * 380 / 4


def test_an_unknown_time_is_read_as_short_as_it_may_be() -> None:
    """Nobody is accused on the longer of two readings."""
    inquiry = with_changes(("time_is: cycle", "time_is: unknown"))

    assert asked_s(inquiry, inquiry.machines[0]) == 105 * inquiry.parts[0].operations[0].time_s.low  # type: ignore[operator]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([("machines_per_operator: 2", "operators: 7")], "too_many_operators"),
        ([("machines_per_operator: 2", "machines_per_operator: 1\n  operators: 1")], "machines_untended"),
        ([("lot_size: 200", "lot_size: 52001")], "lot_over_orders"),
        ([("orders_per_y: 52000", "orders_per_y: 26000")], "shipped_over_orders"),
        ([("unattended: 3 h", "unattended: 8 h 1 min")], "over_24_h"),
        ([("raw_mass: 2.4 kg", "raw_mass: 2.4 kg\n    finished_mass: 2.41 kg")], "finished_heavier"),
        ([("raw_mass: 2.4 kg", "raw_mass: 2.4 kg\n    finished: 120 x 80 x 40.1 mm")], "finished_larger"),
    ],
)
def test_each_limit_is_where_it_is_said_to_be(changes: list[tuple[str, str]], code: str) -> None:
    """One step over the limit is an error of that kind alone."""
    assert codes(*changes) == [code]


@pytest.mark.parametrize(
    "changes",
    [
        [("machines_per_operator: 2", "operators: 6")],
        [("machines_per_operator: 2", "machines_per_operator: 1\n  operators: 2")],
        [("lot_size: 200", "lot_size: 52000")],
        [("orders_per_y: 52000", "orders_per_y: 26251")],
        [("unattended: 3 h", "unattended: 8 h")],
        [("raw_mass: 2.4 kg", "raw_mass: 2.4 kg\n    finished_mass: 2.4 kg\n    finished: 120 x 80 x 40 mm")],
    ],
)
def test_the_limit_itself_is_allowed(changes: list[tuple[str, str]]) -> None:
    """Equal is not over."""
    assert with_changes(*changes).name


def test_usual_figures_are_not_odd() -> None:
    """Two mills filled to three quarters by one operator."""
    inquiry = with_changes()

    assert oddities(inquiry, {}) == ()
    assert asked_s(inquiry, inquiry.machines[0]) / (2 * present_s(inquiry)) == pytest.approx(0.739, abs=5e-4)
    assert shifts_per_y(inquiry) == 500


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ([(COUNTRY, "people:")], "shop.country is not said"),
        ([("parts_per_shift: 105", "parts_per_shift: 138"), ("52000", "70000")], "mill: parts shipped x time fill 97%"),
        ([("\nparts:", "\n  - {name: lathe, kind: lathe, count: 1}\nparts:")], "lathe: no part has an operation there"),
        (
            [("parts_per_shift: 105", "parts_per_shift: 70"), ("52000", "38000")],
            "mill: parts shipped x time, loading and set-ups fill only 5",
        ),
        (
            [("time: 6 min 20 s", "time: 40 s"), ("time_is: cycle", "time_is: floor_to_floor")],
            "bracket, milling: 40 s from floor to floor, and loading by hand is taken",
        ),
        ([("orders_per_y: 52000", "orders_per_y: 47000")], "52500 parts a year are shipped and 47000 are ordered"),
        ([("orders_per_y: 52000", "orders_per_y: 106000")], "106000 parts a year are ordered and 52500 are shipped"),
        ([("machines_per_operator: 2", "operators: 3")], "3 operators at 2 machines"),
        ([("machines_per_operator: 2", "machines_per_operator: 4")], "One operator tends 4 machines, and 2 stand here"),
        (
            [("machines_per_operator: 2", "machines_per_operator: 2\n  freed_use: none\n  share_usable: 60 %")],
            "Nothing is planned for freed hours, and 60% of them count",
        ),
        (
            [("shifts: 2 x 8 h", "shifts: 1 x 14 h"), ("105", "140")],
            "The shift shift_1 lasts 14 h",
        ),
    ],
)
def test_odd_figures_are_asked_about(changes: list[tuple[str, str]], words: str) -> None:
    """Possible, and still worth a question."""
    (question,) = [question for question in oddities(with_changes(*changes), {}) if question.words.startswith(words)]

    assert question.words.endswith("?")

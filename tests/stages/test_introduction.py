"""What it takes to bring the advised way into the shop: by how a change by hand comes, and for a cell."""

import math
from dataclasses import replace

import pytest

from millhand.model.performance import Figure, Output
from millhand.stages.acceptance import introduction
from tests.report.fixture_study import ARM, VISE, study
from tests.stages.brought_in import CATALOGUE, brought, changed, result, sheet_of


def test_another_order_of_work_is_neither_delivered_nor_waited_for() -> None:
    """It takes a little training; its pace and its shifts are still counted."""
    made = brought(changed("staggered_breaks"), sheet_of())
    assert made.by_hand is not None

    assert (made.by_hand.takes, made.by_hand.delivery_s, made.by_hand.stands_d) == ("arrangement", None, None)
    assert (made.by_hand.own_money, made.by_hand.boxes, made.by_hand.tests.fillings) == (None, None, None)
    assert made.by_hand.moving == made.by_hand.distances == ()
    assert [each.hours for each in made.training] == ["catalogue.by_hand_arrangement_training_h"]


def test_a_device_is_delivered_and_fitted_and_its_own_work_is_the_estimates() -> None:
    """Nine weeks, a day, 24 h; what they come to in money stands in the price's own lines."""
    sheet, advised = sheet_of(), changed("powered_door")
    made = brought(advised, sheet).by_hand
    assert made is not None
    assert advised.estimate is not None
    found = [sheet.value(each or "") for each in (made.delivery_s, made.stands_d, made.own_h)]

    assert found == [9 * 604_800.0, 1.0, 24.0]
    assert made.own_money == advised.estimate.own
    assert [each.id for each in made.moving] == ["driven_door"]


def test_full_boxes_are_counted_and_held_against_what_lifting_allows() -> None:
    """As many parts as come to the box's mass; the limit is below the constant of the equation."""
    sheet = sheet_of()
    made = brought(changed("drop_and_boxes"), sheet).by_hand
    assert made is not None
    assert made.boxes is not None
    part = max(study().inquiry.parts, key=lambda each: each.finished_mass_kg.value)
    shift = sheet.value(f"concepts.{VISE}.performance.shift")

    assert sheet.value(made.boxes.parts) == math.floor(8.0 / part.finished_mass_kg.value)
    assert sheet.value(made.boxes.a_shift) == pytest.approx(shift / sheet.value(made.boxes.parts))
    assert 0.0 < sheet.value(made.boxes.limit_kg) < 23.0


def test_a_run_of_fillings_shows_the_share_that_is_not_to_be_passed() -> None:
    """One in ten with 80 %: 16 fillings, and one fewer would not do."""
    sheet = sheet_of()
    made = brought(changed("bar_feeder"), sheet).by_hand
    assert made is not None
    fillings = made.tests.fillings
    assert fillings is not None

    assert sheet.value(fillings.run) == 16.0
    assert 0.9**16 <= 0.2 < 0.9**15
    assert sheet.value(fillings.pass_chance) == pytest.approx(0.97**16)


def test_what_moves_keeps_the_distances_of_the_published_tables() -> None:
    """A slot of 20 mm, the widest opening that a table for arms knows, and gaps for finger, hand, arm and foot."""
    sheet = sheet_of()
    made = brought(changed("drop_and_boxes"), sheet).by_hand
    assert made is not None

    assert [sheet.value(each.fact) for each in made.distances] == [0.12, 0.85, 0.025, 0.1, 0.12, 0.12]
    assert {each.rule for each in made.distances} == {"ISO 13857:2019", "ISO 13854:2017"}
    assert sheet.value(made.slot_m or "") == 0.02


def test_nothing_is_said_of_an_opening_wider_than_the_table() -> None:
    """A body may follow through it: another guard is asked for, not a longer distance."""
    inquiry = study().inquiry
    wide = [replace(getattr(inquiry.parts[0].raw, name), id=f"wide.{name}", value=0.2)
            for name in ("length_m", "width_m", "height_m")]  # fmt: skip
    raw = replace(inquiry.parts[0].raw, length_m=wide[0], width_m=wide[1], height_m=wide[2])
    large = replace(inquiry, parts=(replace(inquiry.parts[0], raw=raw),))
    made = introduction(changed("drop_and_boxes"), result("today"), (large, CATALOGUE), sheet_of())
    assert made is not None
    assert made.by_hand is not None

    assert "introduction.distance_outlet" not in {each.fact for each in made.by_hand.distances}


def test_a_cell_is_attended_in_hours_of_a_shift_as_simulated() -> None:
    """A hundredth of the week's 168 hours at the tools, over ten shifts; and so long until it is loaded by hand."""
    sheet = sheet_of()
    cell = result(ARM)
    assert cell.performance is not None
    run = Output(cell="a", seed=1, replications=20, horizon_s=1.0, parts_per_h=Figure(mean=1.0, low=1.0, high=1.0),
                 good_per_h=Figure(mean=1.0, low=1.0, high=1.0),
                 duty_share={"tools": Figure(mean=0.01, low=0.0, high=0.02)})  # fmt: skip
    made = brought(replace(cell, performance=replace(cell.performance, output=run)), sheet)
    assert made.standby is not None

    assert {each.kind: round(sheet.value(each.hours), 9) for each in made.care} == {"tools": 0.168}
    assert [each.who for each in made.training] == ["attends", "programs"]
    assert made.standby.today == "concepts.today.performance.shift"
    assert made.by_hand is None


def test_where_nothing_is_advised_nothing_is_brought_in() -> None:
    """Nor where the work stays as it is."""
    terms = (study().inquiry, CATALOGUE)

    assert introduction(None, result("today"), terms, sheet_of()) is None
    assert introduction(result("today"), result("today"), terms, sheet_of()) is None

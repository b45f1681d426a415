"""Whoever loads, the same work stands on both sides: nothing is credited to a cell that merely moves."""

from dataclasses import replace

import pytest

from millhand.model.fact import Choice, Fact
from millhand.model.part import ManualElement
from millhand.stages.performance.kept import fate
from tests.stages.short_road import Walked, example, walked

CELL = "drawers-pedestal-fenced_20-parallel_single-fence"


def element(name: str, side: str, every: float = 1.0, place: str | None = None) -> ManualElement:
    """One element of 30 s."""
    return ManualElement(
        name=name,
        time_s=Fact(id="t", value=30.0, unit="s", basis="given", source="x"),
        side=Choice(id="s", value=side, options=("outside", "inside"), basis="given", source="x"),
        every_n=Fact(id="n", value=every, unit="1", basis="given", source="x"),
        place=place,
    )


@pytest.mark.parametrize(
    ("name", "side", "becomes"),
    [
        ("load_and_clamp", "outside", "arm"),
        ("open_and_blow_off", "outside", "arm"),
        ("gauge", "outside", "stays"),
        ("deburr_in_the_vise", "outside", "stays"),
        ("deburr", "inside", "stays"),
        ("look_and_pack", "inside", "stays"),
        ("put_away_and_fetch", "inside", "refill"),
        ("entgraten", "inside", "unsaid"),
    ],
)
def test_each_element_goes_where_its_name_says(name: str, side: str, becomes: str) -> None:
    """Loading to the arm, fetching to the refill; gauging, deburring and packing stay; what is not told is shared."""
    assert fate(element(name, side), moulding=False) == becomes


def test_work_that_is_not_done_at_each_load_or_not_at_the_machine_is_no_loading() -> None:
    """It stays with people although the machine stands for it today."""
    assert fate(element("special", "outside", every=20.0), moulding=False) == "stays"
    assert fate(element("special", "outside", place="bench"), moulding=False) == "stays"
    assert fate(element("special", "outside"), moulding=False) == "arm"


def test_fetching_at_a_mould_is_not_in_its_refill() -> None:
    """There the refill is the walk alone."""
    assert fate(element("fetch", "inside"), moulding=True) == "unsaid"


@pytest.fixture(scope="module")
def mills() -> Walked:
    """Today and a cell of the first example."""
    return walked(example("1_two_mills"), CELL)


def test_the_duties_of_a_cell_are_those_of_today_and_the_refill(mills: Walked) -> None:
    """Stops, tools and chips call people in both cells, who are away alike; the refill and the arm's faults on top."""
    away = {"absence_1_1", "absence_1_2", "handover_1"}
    today = {"clear", "tools", "chips"} | away
    cell = mills.plan.cell
    assert cell is not None

    assert today <= set(cell.duties)
    assert set(cell.duties) - today == {"refill", "arm_fault"}


def test_deburring_and_gauging_cost_the_same_beside_a_cell(mills: Walked) -> None:
    """35 s a part and 90 s at each twentieth, with 12 % allowance: 44.2 s a part; fetching is in the refill."""
    top = f"concepts.{CELL}.performance."

    assert mills.value(f"{top}stays_part_s") == pytest.approx(1.12 * (35.0 + 90.0 / 20.0))
    assert mills.value(f"{top}inside_s") == pytest.approx(1.12 * (35.0 + 90.0 / 20.0))
    assert mills.value(f"concepts.{CELL}.cells.refill_part") == mills.sheet.value("catalogue.refill_part_s") > 0.0


def test_gauging_that_the_machine_stands_for_is_not_freed_by_a_cell() -> None:
    """The same gauging as outside work costs people the same time beside a cell."""
    inquiry = example("1_two_mills")
    outside = tuple(
        replace(each, side=replace(each.side, value="outside")) if each.name == "gauge" else each
        for each in inquiry.today.elements
    )
    moved = walked(replace(inquiry, today=replace(inquiry.today, elements=outside)), CELL)

    assert moved.value(f"concepts.{CELL}.performance.inside_s") == pytest.approx(1.12 * (35.0 + 90.0 / 20.0))


def test_a_lot_is_set_up_in_both(mills: Walked) -> None:
    """Today's set-up of a lot stands in the care of today and, with the cell's own changeover, in that of the cell."""
    today = mills.value("concepts.today.performance.people.set_up_a_part_s")
    cell = mills.value(f"concepts.{CELL}.performance.people.set_up_a_part_s")

    assert cell > today > 0.0

"""What would change a cell, by load and by cycle, with any search put in."""

from pathlib import Path

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.variants import Variant, cycle_of, like_machines, outcome, tended, variants
from tests.solvers.cycle.rows import Row, row_cell

CELLS = Path("examples/cells")


def example(name: str) -> Cell:
    """An example cell."""
    return read_cell(CELLS / f"{name}.json")


def refused(cell: Cell) -> Schedule:
    """A search that knows no cell."""
    raise NotYet(f"anything, {cell.name} neither")


def test_the_machines_of_the_step_that_asks_most_are_changed() -> None:
    """Of three in a row the one of 35 s; of three alike all of them."""
    assert like_machines(row_cell(Row(times_s=(20, 35, 25)))) == ("m2",)
    assert like_machines(row_cell(Row(times_s=(60,), machines=3))) == ("m1", "m2", "m3")


def test_a_washer_for_three_counts_by_its_slots() -> None:
    """180 s for three parts at once are 60 s each, less than the 77 s of the first operation."""
    assert like_machines(example("turn_wash_and_gauge")) == ("op1",)


def test_variants_of_one_arm_with_one_gripper() -> None:
    """A machine fewer, a machine more, a second gripper, a second arm."""
    names = [each.name for each in variants(example("three_machines_on_a_track_one_gripper"))]

    assert names == [
        "one machine fewer (no m3)",
        "one machine more (m4 like m3)",
        "two grippers on arm",
        "a second arm (arm2)",
    ]


def test_people_get_no_grippers() -> None:
    """An operator's two mills: only machines change."""
    names = [each.name for each in variants(example("one_operator_two_mills"))]

    assert names == ["one machine fewer (no mill2)", "one machine more (mill3 like mill2)"]


def test_figures_of_a_published_cell_by_hand() -> None:
    """Four machines, one gripper: 144 s for four parts; with three, 132 s for three. Both proven."""
    cell = example("published_identical_4_machines_one_gripper")
    found = {each.name: outcome(each, schedule) for each in [Variant(name="now", cell=cell), *variants(cell)]}

    assert found["now"].cycle_per_h == 4 * 3600 / 144
    assert found["one machine fewer (no m4)"].cycle_per_h == pytest.approx(3 * 3600 / 132)
    assert found["now"].proven


@pytest.mark.parametrize("name", ["three_machines_on_a_track", "published_identical_4_machines_two_grippers",
                                  "reference_cell", "turn_wash_and_gauge", "first_and_second_side"])  # fmt: skip
def test_no_cycle_beats_its_load_bound(name: str) -> None:
    """Whatever is changed."""
    cell = example(name)
    found = [outcome(each, schedule) for each in [Variant(name="now", cell=cell), *variants(cell)]]

    assert any(each.cycle_per_h is not None for each in found)
    assert all(each.cycle_per_h <= each.bound_per_h * (1 + 1e-9) for each in found if each.cycle_per_h is not None)


def test_a_second_arm_shares_the_machines_out_where_none_may_be_shared() -> None:
    """Each arm has two machines of its own: 132 s for two parts and two arms."""
    cell = example("published_identical_4_machines_one_gripper")
    second = next(each for each in variants(cell) if each.name.startswith("a second arm"))

    assert second.instead is not None
    assert outcome(second, schedule).cycle_per_h == pytest.approx(4 * 3600 / 132)


def test_a_search_that_refuses_leaves_the_bound_and_its_reason() -> None:
    """The load bound needs no search."""
    found = outcome(Variant(name="now", cell=row_cell(Row(times_s=(20, 35, 25)))), refused)

    assert found.cycle_per_h is None
    assert found.refused == "anything, a row neither"
    assert found.bound_per_h == pytest.approx(3600 / 47)
    assert cycle_of(Variant(name="now", cell=row_cell(Row(times_s=(20, 35, 25)))), refused)[0] is None


def test_machines_one_arm_could_tend_by_load_and_by_cycle() -> None:
    """A machine needs 132 s for a part, the arm 36 s: 3.67, so 3; cycles for 3 in which none waits are found."""
    found = tended(example("published_identical_4_machines_one_gripper"), schedule)

    assert found is not None
    assert (found.by_load, found.by_cycle) == (3, 3)
    assert found.share == pytest.approx(132 / 36)


def test_the_cycle_may_keep_fewer_at_work_than_the_load_says() -> None:
    """With one gripper on the track three machines wait a little; two do not."""
    found = tended(example("three_machines_on_a_track_one_gripper"), schedule)

    assert found is not None
    assert found.by_load == 3
    assert found.by_cycle is not None
    assert found.by_cycle < 3


def test_more_machines_than_there_are_may_be_tended() -> None:
    """Two mills wait for nobody; the operator could tend more of them, and cycles say how many."""
    found = tended(example("one_operator_two_mills"), schedule)

    assert found is not None
    assert found.by_load == 7
    assert found.by_cycle is not None
    assert 2 < found.by_cycle <= found.by_load


def test_two_arms_at_the_same_machines_are_not_asked() -> None:
    """How many one arm could tend is no question where two do."""
    assert tended(example("two_arms_on_a_track"), schedule) is None

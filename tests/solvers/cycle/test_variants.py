"""What would change a cell, by load and by cycle, with any search put in."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.model.schedule import Arc, Event, Schedule
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.cycle.variants import Tended, Variant, cycle_of, like_machines, outcome, tended, variants
from tests.solvers.cycle.rows import Row, row_cell

CELLS = Path("examples/cells")


def example(name: str) -> Cell:
    """An example cell."""
    return read_cell(CELLS / f"{name}.json")


def changes(cell: Cell) -> list[Variant]:
    """Its changes, with the machines taken by load."""
    return list(variants(cell, like_machines(cell).machines))


def tends(cell: Cell) -> Tended | None:
    """How many of its machines one arm could tend."""
    return tended(cell, schedule, like_machines(cell).machines)


def event(name: str, what: str, station: str) -> Event:
    """A happening at a station."""
    return Event(id=name, attendant=None, station=station, what=what, part="part", lap=0, at_steps=0)


def refused(cell: Cell) -> Schedule:
    """A search that knows no cell."""
    raise NotYet(f"anything, {cell.name} neither")


def test_the_machines_of_the_step_that_asks_most_are_changed() -> None:
    """Of three in a row the one of 35 s; of three alike all of them."""
    assert like_machines(row_cell(Row(times_s=(20, 35, 25)))).machines == ("m2",)
    assert like_machines(row_cell(Row(times_s=(60,), machines=3))).machines == ("m1", "m2", "m3")


def test_a_washer_for_three_counts_by_its_slots() -> None:
    """180 s for three parts at once are 60 s each, less than the 77 s of the first operation."""
    assert like_machines(example("turn_wash_and_gauge")).machines == ("op1",)


def test_a_machine_visited_by_more_parts_may_have_most_to_do() -> None:
    """Of two types one needs longest on the lathe, but two of three parts go to the drill: 2005 tenths of a second."""
    assert like_machines(example("two_part_types_two_to_one")).machines == ("drill",)


def test_the_machine_that_sets_the_pace_goes_before_the_one_with_the_largest_load() -> None:
    """Who waits in a cycle may be another machine than the load's; an arm that sets the pace is none."""
    cell = row_cell(Row(times_s=(20, 35, 25)))
    best = schedule(cell)
    waits_at_m3 = replace(
        best, critical=("a", "b"), period_steps=60,
        events=(event("a", "lifted", "m3"), event("b", "placed", "m3")),
        arcs=(Arc(before="a", after="b", lag_steps=20, laps=0, why="m3"),
              Arc(before="b", after="a", lag_steps=40, laps=1, why="m3")),
    )  # fmt: skip

    assert like_machines(cell, waits_at_m3).machines == ("m3",)
    assert like_machines(cell, waits_at_m3).paced
    assert not like_machines(example("two_part_types_two_to_one")).paced


def test_a_machine_that_another_step_needs_is_not_taken_away() -> None:
    """Two machines share a step, and the second one alone makes the next: neither is one to spare."""
    cell = row_cell(Row(times_s=(20, 35)))
    part = cell.parts["part"]
    route = (part.route[0], replace(part.route[1], at=("m1", "m2")), *part.route[2:])
    shared = replace(cell, parts={"part": replace(part, route=route)})

    assert not any("fewer" in each.name for each in variants(shared, ("m1", "m2")))


def test_variants_of_one_arm_with_one_gripper() -> None:
    """A machine fewer, a machine more, a second gripper, a second arm."""
    names = [each.name for each in changes(example("three_machines_on_a_track_one_gripper"))]

    assert names == [
        "one machine fewer (no m3)",
        "one machine more (m4 like m3)",
        "two grippers on arm",
        "a second arm (arm2)",
    ]


def test_people_get_no_grippers() -> None:
    """An operator's two mills: only machines change."""
    names = [each.name for each in changes(example("one_operator_two_mills"))]

    assert names == ["one machine fewer (no mill2)", "one machine more (mill3 like mill2)"]


def test_figures_of_a_published_cell_by_hand() -> None:
    """Four machines, one gripper: 144 s for four parts; with three, 132 s for three. Both proven."""
    cell = example("published_identical_4_machines_one_gripper")
    found = {each.name: outcome(each, schedule) for each in [Variant(name="now", cell=cell), *changes(cell)]}

    assert found["now"].cycle_per_h == 4 * 3600 / 144
    assert found["one machine fewer (no m4)"].cycle_per_h == pytest.approx(3 * 3600 / 132)
    assert found["now"].proven


@pytest.mark.parametrize("name", ["three_machines_on_a_track", "published_identical_4_machines_two_grippers",
                                  "reference_cell", "turn_wash_and_gauge", "first_and_second_side"])  # fmt: skip
def test_no_cycle_beats_its_load_bound(name: str) -> None:
    """Whatever is changed."""
    cell = example(name)
    found = [outcome(each, schedule) for each in [Variant(name="now", cell=cell), *changes(cell)]]

    assert any(each.cycle_per_h is not None for each in found)
    assert all(each.cycle_per_h <= each.bound_per_h * (1 + 1e-9) for each in found if each.cycle_per_h is not None)


def test_a_second_arm_shares_the_machines_out_where_none_may_be_shared() -> None:
    """Each arm has two machines of its own: 132 s for two parts and two arms."""
    cell = example("published_identical_4_machines_one_gripper")
    second = next(each for each in changes(cell) if each.name.startswith("a second arm"))

    assert second.instead is not None
    assert outcome(second, schedule).cycle_per_h == pytest.approx(4 * 3600 / 132)


def test_a_search_that_refuses_leaves_the_bound_and_its_reason() -> None:
    """The load bound needs no search."""
    found = outcome(Variant(name="now", cell=row_cell(Row(times_s=(20, 35, 25)))), refused)

    assert found.cycle_per_h is None
    assert found.refused == "anything, a row neither"
    assert found.bound_per_h == pytest.approx(3600 / 47)
    assert cycle_of(Variant(name="now", cell=row_cell(Row(times_s=(20, 35, 25)))), refused)[0] is None


@pytest.mark.parametrize("name", ["one machine more (m5 like m4)", "two grippers on arm", "a second arm (arm2)"])
def test_what_is_added_never_makes_a_loss(name: str) -> None:
    """A search cut short finds nothing better, or nothing: the cycle as it is holds there too, by the validator."""
    cell = example("published_identical_4_machines_one_gripper")
    now = schedule(cell)
    variant = next(each for each in changes(cell) if each.name == name)
    slow = replace(now, period_steps=now.period_steps + 1)

    for search in (refused, lambda _: slow):
        found = outcome(variant, search, now)
        assert (found.best, found.kept, found.proven) == (now, True, False)
        assert found.cycle_per_h == 4 * 3600 / 144
        assert not found.refused


def test_what_is_taken_away_may_make_a_loss() -> None:
    """The cycle of four machines is none of three, nor that of two grippers one of a single one."""
    cell = example("published_identical_4_machines_two_grippers")
    now = schedule(cell)
    fewer = next(each for each in changes(cell) if each.name == "one machine fewer (no m4)")
    single = next(each for each in changes(cell) if each.name == "one gripper on arm")

    for variant in (fewer, single):
        found = outcome(variant, refused, now)
        assert not found.kept
        assert found.cycle_per_h is None


def test_machines_one_arm_could_tend_by_load_and_by_cycle() -> None:
    """A machine needs 132 s for a part, the arm 36 s: 3.67, so 3; cycles for 3 in which none waits are found."""
    found = tends(example("published_identical_4_machines_one_gripper"))

    assert found is not None
    assert (found.by_load, found.by_cycle) == (3, 3)
    assert found.share == pytest.approx(132 / 36)


def test_the_cycle_may_keep_fewer_at_work_than_the_load_says() -> None:
    """With one gripper on the track three machines wait a little; two do not."""
    found = tends(example("three_machines_on_a_track_one_gripper"))

    assert found is not None
    assert found.by_load == 3
    assert found.by_cycle is not None
    assert found.by_cycle < 3


def test_more_machines_than_there_are_may_be_tended() -> None:
    """Two mills wait for nobody; the operator, who gauges too, could tend more of them, and cycles say how many."""
    found = tends(example("one_operator_two_mills"))

    assert found is not None
    assert found.by_load == 5
    assert found.by_cycle is not None
    assert 2 < found.by_cycle <= found.by_load


def test_two_arms_at_the_same_machines_are_not_asked() -> None:
    """How many one arm could tend is no question where two do."""
    assert tends(example("two_arms_on_a_track")) is None

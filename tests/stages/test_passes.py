"""A part that comes to the same machines again, lot by lot, against sums made by hand from what was given."""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.canonical import content_hash
from millhand.model.inquiry import Inquiry
from millhand.model.part import ManualElement, Operation
from millhand.road import visited
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import STUDY
from millhand.stages.performance.build import performance
from millhand.stages.performance.shared import Scope
from tests.agreement.nothing_left_to_chance import certain
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.stages.jobs import Planned, job, plan_of, told

ALONE, AGAIN = job("one_mill"), 200.0
CELL = "trays-movable_stand-force_limited_25-parallel_single-scanner"
MORE = 1.0 + ALONE.people.allowance.value


def second(first: Operation) -> Operation:
    """A second operation on the mill of the first, quicker, with its own scrap, tools and checks."""
    values = {"time_s": AGAIN, "good": 0.9, "tool_life_parts": 60.0, "gauge_every": 30.0}
    changed = {
        name: replace(getattr(first, name), id=f"parts.lever.turned.{name}", value=value, low=None, high=None)
        for name, value in values.items()
    }
    return replace(first, name="turned", **changed)


@cache
def twice(mills: float = 2.0) -> Inquiry:
    """Levers that are milled on their first side, turned over, and milled on the other, on the same machines; deburred
    after the second alone."""
    part = ALONE.parts[0]
    first = part.operations[0]
    elements = tuple(at_second(each) for each in ALONE.today.elements)
    inquiry = replace(
        ALONE,
        parts=(replace(part, operations=(first, second(first))),),
        today=replace(ALONE.today, elements=elements),
    )
    return told(inquiry, {"machines.mill.count": mills, "people.machines_per_operator": mills})


def at_second(element: ManualElement) -> ManualElement:
    """Deburring belongs to the second side."""
    return replace(element, operation="turned") if element.name == "deburr" else element


@cache
def made(concept: str) -> Planned:
    """The plan of one way to load two mills."""
    return plan_of(visited(twice()), concept)


def test_a_load_is_the_mean_of_both_sides_and_half_of_its_parts_leaves_the_cell() -> None:
    """Two parts of 300 s and of 200 s: 250 s a load, 50 s outside each time, 40 s inside every second time."""
    found = made("today")
    timed = found.plan.timing.operations[0]

    assert found.value(timed.process) == pytest.approx((300.0 + AGAIN) / 2.0)
    assert found.value(timed.exchange) == pytest.approx(50.0 * MORE)
    assert found.value(timed.other) == pytest.approx(40.0 / 2.0 * MORE)
    assert found.value(timed.parts_per_load) == 1.0


def test_the_bound_counts_both_operations_and_both_exchanges() -> None:
    """Two machines share the sum of both cycles and both exchanges of a load of two parts, without stops."""
    found = made("today")
    cell = certain(found.plan.cell)

    cycle = best_cycle(cell, effort=STUDY)

    loads_per_h = 3600.0 * cycle.parts_per_period / (cycle.period_steps * cycle.grid_s)
    by_hand = 3600.0 / ((300.0 + 50.0 * MORE + AGAIN + 50.0 * MORE) / 2.0) * 2.0  # finished parts of two machines
    assert loads_per_h * found.value(found.plan.timing.operations[0].parts_per_load) == pytest.approx(by_hand, rel=1e-4)


@pytest.mark.parametrize("concept", ["today", CELL])
def test_with_nothing_left_to_chance_the_simulation_makes_what_the_cycle_promises(concept: str) -> None:
    """By hand and by an arm, to the grid step."""
    cell = certain(made(concept).plan.cell)

    assert keeps_the_period(cell, best_cycle(cell, effort=STUDY))


def test_lots_tools_and_scrap_count_for_both_sides() -> None:
    """A lot is set up twice, as if half of it were one; both sides wear tools out and spoil parts, each with its own
    fingers and program."""
    part = visited(twice()).parts[0]
    own, once = twice().parts[0], part.operations[0]

    assert part.lot_size.value == own.lot_size.value / 2.0
    assert part.families.value == 2.0 * own.families.value
    assert once.good.value == pytest.approx(0.97 * 0.9)
    assert once.tool_life_parts.value == pytest.approx(1.0 / (1.0 / 180.0 + 1.0 / 60.0))  # finished parts
    wear = {each.id: each.limit for each in made(CELL).plan.cell.stations["machine_1"].wear}
    assert wear["tool"] == pytest.approx(45.0)  # loads: each is half of two parts
    box = twice().machines[0].chip_limit_parts.value  # pieces that are cut, of which a load is two
    assert wear["chips"] == pytest.approx(box / 2.0)
    assert made(CELL).value(f"{once.passes.id}.chips_until_{once.machine}" if once.passes else "") == pytest.approx(
        box / 2.0
    )


def test_a_filling_of_the_presenter_is_half_as_many_finished_parts() -> None:
    """The arm takes every piece out of it that lies in it, and somebody lays each of them in."""
    found = made(CELL)
    cell, pockets = found.plan.cell, found.value(found.plan.layout.pockets)

    pieces = 2.0 * pockets
    assert cell.stations["presenter"].capacity == pieces // 2.0  # a load is two pieces
    share = found.desk.catalogue.figures["refill_level_share"].value
    assert found.value(f"concepts.{CELL}.cells.refill_parts") == pytest.approx(pieces * (1.0 - share), abs=1.0)


def test_hours_of_people_and_output_follow_finished_parts() -> None:
    """Set-ups of both sides, and the handling of both on a part."""
    found = made("today")
    scope = Scope(
        inquiry=found.desk.inquiry, concept=found.plan.concept, timing=found.plan.timing, cell=found.plan.cell,
        cell_hash=content_hash(found.plan.cell), schedule=found.plan.schedule, output=None, hours=found.desk.pattern,
        figures=found.desk.catalogue.figures, sheet=found.sheet,
    )  # fmt: skip

    own = performance(scope, found.plan.layout.pockets)

    assert own.bound_loads_per_h is not None
    assert found.value(own.bound_per_h) == pytest.approx(found.value(own.bound_loads_per_h))  # half of two parts
    assert found.value("concepts.today.performance.good_share") == pytest.approx(0.97 * 0.9)
    lots = found.value("concepts.today.performance.set_ups")
    shipped, setup = found.value("concepts.today.performance.net_parts_per_h"), twice().today.setup_s.value
    assert lots == pytest.approx(2.0 * shipped / twice().parts[0].lot_size.value * setup / 3600.0 / 2.0)  # two machines


def test_operations_on_machines_of_their_own_stay_as_they_were() -> None:
    """Nothing is drawn together where the machines are told apart."""
    line = job("line")

    assert visited(line).parts == line.parts

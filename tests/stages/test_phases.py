"""Lots that come to the same machines again: a cell for each phase, against sums made by hand and simulations of each.

Levers are milled in 400 s and turned over for 60 s more, on two mills. Two machines have one operator or one arm, who
is quicker than they are in the first phase and slower in the second.
"""

from dataclasses import replace
from functools import cache

import pytest

from millhand.model.canonical import content_hash
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Figure, Output, Performance
from millhand.model.study import Result
from millhand.model.walk import facts_in
from millhand.report.study_json import result_plain
from millhand.road import Plan, earned, planned, run_cells, scope_of, visited
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.cycle.in_turn import by_loads, load_s
from millhand.solvers.cycle.simple import simple
from millhand.solvers.kernel.replications import simulate
from millhand.solvers.output.in_turn import output_in_turn
from millhand.stages.performance.build import performance
from millhand.stages.spread import shares_of
from millhand.trace import Sheet, recomputed
from tests.agreement.nothing_left_to_chance import certain
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.stages.jobs import Planned, plan_of, told
from tests.stages.short_road import catalogue
from tests.stages.test_passes import CELL, MORE, twice

FIRST, AGAIN = 400.0, 60.0  # seconds of a load of two levers
LOADS, WEEKS = 100, 3
EXCHANGE, INSIDE, WALK = 50.0 * MORE, 40.0 * MORE, 6.0


def given(first: float = FIRST, again: float = AGAIN) -> Inquiry:
    """The levers as the shop says it, with the times of both phases as told."""
    return told(twice(), {"parts.lever.milling.time": first, "parts.lever.turned.time_s": again})


@cache
def uneven(first: float = FIRST, again: float = AGAIN) -> Inquiry:
    """The same as the study takes it."""
    return visited(given(first, again))


@cache
def made(concept: str) -> Planned:
    """One way to load the two mills, on a sheet of all facts."""
    sheet = Sheet((*facts_in(given()), *facts_in(uneven()), *facts_in(catalogue())))
    return plan_of(uneven(), concept, sheet)


def cycle_s(plan: Plan) -> list[float]:
    """Time of a load in each phase."""
    return [load_s(each.schedule) for each in plan.phases if each.schedule is not None]


@cache
def worked_out(concept: str) -> Performance:
    """What one way comes to while nothing was simulated."""
    found = made(concept)
    scope = scope_of(found.desk, found.plan, found.sheet, schedule=found.plan.schedule)
    if concept != "today":
        today = planned(found.desk, plan_of(uneven(), "today").plan.concept, found.sheet)
        earned(found.desk, today, None, None, found.sheet)
    return performance(scope, found.plan.layout.pockets)


def test_each_phase_takes_what_its_own_work_sums_up_to() -> None:
    """By hand: two machines share a load's cycle and exchange while milling; turned, the operator has an exchange, the
    inside work of deburring and a walk on each load, and does not keep up. The mean hides that."""
    found, own = made("today"), worked_out("today")
    milling, turned = (FIRST + EXCHANGE) / 2.0, EXCHANGE + INSIDE + WALK

    assert cycle_s(found.plan) == pytest.approx([milling, turned], abs=1e-3)
    assert load_s(found.plan.schedule) == pytest.approx(((FIRST + AGAIN) / 2.0 + EXCHANGE) / 2.0, abs=1e-3)
    assert own.phases is not None
    assert own.phases.mean_cycle is not None
    assert [found.value(each.cycle or "") for each in own.phases.each] == pytest.approx([milling, turned], abs=1e-3)
    assert {each.partition("_")[0] for each in own.phases.each[0].pace_setters} == {"machine"}
    assert own.phases.each[1].pace_setters == ("operator",)
    parts_per_load = 1.0  # two levers, each of them half done
    promised = found.value(own.cycle_per_h or "")
    assert promised == pytest.approx(3600.0 * 2.0 / (milling + turned) * parts_per_load, rel=1e-6)
    assert promised < 0.87 * 3600.0 / found.value(own.phases.mean_cycle)  # what the mean would have claimed


def test_the_load_bound_is_that_of_the_phases_one_after_the_other() -> None:
    """As many loads in each: n over the sum of the hours that a load takes, for people and for an arm."""
    for concept in ("today", CELL):
        found, own = made(concept), worked_out(concept)
        hours = sum(1.0 / rate_bound_per_h(each.cell) for each in found.plan.phases)
        assert found.value(own.bound_per_h) == pytest.approx(2.0 / hours, rel=1e-9)
        assert found.value(own.bound_per_h) < 0.9 * rate_bound_per_h(found.plan.cell)


def test_where_the_same_machine_sets_the_pace_nothing_is_taken_off() -> None:
    """Times of 300 s and 200 s on machines that never wait: the mean of both is what they make."""
    found = plan_of(visited(twice()), "today")
    scope = scope_of(found.desk, found.plan, found.sheet, schedule=found.plan.schedule)

    own = performance(scope, found.plan.layout.pockets)

    assert own.phases is not None
    assert found.value(own.phases.share) == 1.0
    assert found.value(own.bound_per_h) == found.value(own.bound_loads_per_h)
    assert found.value(own.cycle_per_h or "") == found.value("concepts.today.performance.cycle_loads_per_h")


def test_share_of_any_two_phases_is_never_above_one_and_the_sum_of_hours_by_hand() -> None:
    """On nine pairs of times: the operator or two machines, whichever takes longer, in each phase; then both."""
    for first in (80.0, 150.0, 500.0):
        for again in (20.0, 110.0, 400.0):
            plan = plan_of(uneven(first, again), "today").plan
            hands, turn = EXCHANGE + WALK, EXCHANGE + INSIDE + WALK
            times = [max((first + EXCHANGE) / 2.0, hands), max((again + EXCHANGE) / 2.0, turn)]
            mean = max(((first + again) / 2.0 + EXCHANGE) / 2.0, (hands + turn) / 2.0)
            assert plan.cell is not None
            bare = [certain(each.cell) for each in plan.phases]
            share = by_loads(certain(plan.cell), bare)
            assert share == pytest.approx(2.0 * mean / sum(times), abs=2e-4)
            assert share <= 1.0


@pytest.mark.parametrize("concept", ["today", CELL])
def test_with_nothing_left_to_chance_hours_of_simulated_phases_add_up(concept: str) -> None:
    """Each phase's cell, simulated by itself, keeps its period to the grid step: as many loads in one phase as in the
    other take the sum of both, which is what the study promises."""
    found, own = made(concept), worked_out(concept)
    hours = 0.0
    for each in found.plan.phases:
        cell = certain(each.cell)
        cycle = simple(cell)
        assert cycle is not None
        assert keeps_the_period(cell, cycle)
        hours += LOADS * load_s(cycle) / 3600.0

    assert found.value(own.cycle_per_h or "") == pytest.approx(2.0 * LOADS / hours, rel=1e-5)


@cache
def simulated() -> tuple[Output, ...]:
    """Both phases under an arm, with stops, faults, refills and nights, for a few weeks."""
    cells = run_cells(made(CELL).plan)
    return tuple(simulate(each, hours=168.0, replications=WEEKS, seed=1) for each in cells)


def test_what_is_simulated_is_never_above_the_cycles_of_the_phases() -> None:
    """The whole interval lies below them, where the cell of the mean would go beyond what both phases allow."""
    own = worked_out(CELL)
    made_, both = made(CELL), output_in_turn(simulated(), "both")
    open_share = both.parts_per_h.mean / (both.counts["attended"].mean + both.counts["unattended"].mean)
    assert open_share == pytest.approx(1.0)
    assert made_.plan.cell is not None
    hours_open = sum(end - begin for begin, end in made_.plan.cell.calendars["open"].on) / 604_800.0

    assert both.parts_per_h.high / hours_open < made_.value(own.bound_per_h) < made_.value(own.cycle_per_h or "")


def test_phases_are_put_one_after_the_other_with_as_many_loads_in_each() -> None:
    """Weeks of the first phase and of the second, so many of each that both make the same: counted together."""
    first, second = simulated()
    weeks = [1.0 / first.parts_per_h.mean, 1.0 / second.parts_per_h.mean]

    both = output_in_turn((first, second), "both")

    assert both.parts_per_h.mean == pytest.approx(2.0 / sum(weeks))
    night = [each.counts["unattended"].mean for each in (first, second)]
    counted = (night[0] * weeks[0] + night[1] * weeks[1]) / sum(weeks)
    assert both.counts["unattended"].mean == pytest.approx(counted)
    for owner, states in both.states.items():
        assert sum(states.values()) == pytest.approx(1.0), owner
    for station, told_ in both.effectiveness.items():
        parts = told_["availability"] * told_["effectiveness"]
        each = [one.effectiveness[station] for one in (first, second)]
        by_week = [one["availability"] * one["effectiveness"] for one in each]
        assert parts == pytest.approx((by_week[0] * weeks[0] + by_week[1] * weeks[1]) / sum(weeks))
    assert both.alone is not None
    assert sum(both.alone.ended_by.values()) + both.alone.ran_through == pytest.approx(1.0)
    assert both.cell == "both"


def test_a_phase_that_makes_nothing_lets_nothing_be_finished() -> None:
    """It takes all of the time."""
    first, second = simulated()
    nothing = replace(second, parts_per_h=Figure(mean=0.0, low=0.0, high=0.0))

    assert output_in_turn((first, nothing), "both").parts_per_h.mean == 0.0


def test_a_plan_is_simulated_in_its_phases_alone() -> None:
    """The cell of the mean is not run; a part that comes to the machines once has its own cell as ever."""
    plan = made("today").plan

    assert run_cells(plan) == tuple(each.cell for each in plan.phases)
    assert run_cells(replace(plan, phases=())) == (plan.cell,)
    assert [each.name for each in plan.phases] == ["today.phases.milling", "today.phases.turned"]
    assert len({content_hash(each) for each in (*run_cells(plan), plan.cell)}) == 3


def test_in_the_draws_the_share_follows_the_times_of_each_phase() -> None:
    """A second side as long as the first leaves nothing to take off; a slower operator takes more."""
    found, own = made("today"), worked_out("today")
    plan, facts = found.plan, found.sheet.facts
    result = Result(
        concept=plan.concept, verdicts=(), cell=plan.cell, performance=own, phases=plan.phases
    )  # fmt: skip
    solved = shares_of([result], facts)
    share = own.phases.share if own.phases else ""

    def after(changes: dict[str, float]) -> float:
        return recomputed(facts, changes, solved)[share]

    assert after({}) == facts[share].value < 0.9
    assert after({"parts.lever.turned.time_s": 2.0 * FIRST}) == 1.0
    assert after({"today.walk": 10.0 * facts["today.walk"].value}) < facts[share].value


def test_a_study_writes_each_phase_with_its_own_cell_file() -> None:
    """As hash and file beside the concept's own."""
    plan = made("today").plan
    result = Result(concept=plan.concept, verdicts=(), cell=plan.cell, phases=plan.phases, layout=plan.layout)

    written = result_plain(result)

    files = [each["cell"]["file"] for each in written["phases"]]
    assert files == ["cells/today.phases.milling.json", "cells/today.phases.turned.json"]
    hashes = {each["cell"]["hash"] for each in written["phases"]} | {written["cell"]["hash"]}
    assert len(hashes) == 3

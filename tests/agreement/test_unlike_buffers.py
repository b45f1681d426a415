"""A choice for one step between machines of which some have a buffer of their own where others have none: the best
cycle against the simulation that follows it and against a count by hand; lots against every order of carries and every
rule of dispatch."""

from math import ceil

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.expanded import expanded
from tests.agreement.carries_by_hand import least_steps
from tests.agreement.choice_by_carries import least_period
from tests.agreement.random_unlike import (
    choice_of_two,
    standing_loads,
    unlike_form,
    unlike_hand,
    unlike_loads,
    unlike_lots,
)
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.agreement.test_simulation_plain import assert_steady
from tests.solvers.cycle.lots_proof import is_checked, proof_gaps
from tests.solvers.kernel.shop import Form, arm_cell

SEEDS = (0, 1, 4, 6, 12, 17)  # range(40) by hand
LOAD_SEEDS = (8, 21)  # range(30) by hand, of which 19 are found with so little effort
STANDING_SEEDS = (2, 3)  # range(60) by hand, of which 38 are found with so little effort
CHOICE_SEEDS = (2, 4)  # range(60) by hand, all of them the same and proven
HAND_SEEDS = range(8)  # range(60) by hand
LOT_SEEDS = range(8)  # range(40) by hand
HOLD_S, WAY_S, WORK_S = 5, 4, 300
AROUND_S = 4 * HOLD_S + 3 * WAY_S  # a plain machine stands from one part to the next: lift, put down, lift, put in


def test_two_machines_by_hand() -> None:
    """A machine between two buffers works without a pause; one without any beside it has so much less work that both
    take the same time for a part, and the arm has time for both."""
    form = arm_cell(2, way_s=WAY_S)
    form["stations"]["m1"] |= {"in_queue": 1, "out_queue": 1}
    form["parts"]["part"]["route"][1]["time_s"] = {"m1": WORK_S, "m2": WORK_S - AROUND_S}
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (WORK_S * 1000, 2, True)
    assert_steady(form, cycle_s=WORK_S, parts=2, hours=2.0)


def assert_found_and_steady(form: Form) -> None:
    """What is found passes the validator, and comes out of the simulation to the grid step."""
    form_cell = cell_from(form)
    found = best_cycle(form_cell, effort=BRIEF)

    assert violations(form_cell, found) == []
    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=2.0)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_machines(seed: int) -> None:
    """Whatever is found passes the validator, and comes out of a simulation with nothing left to chance."""
    assert_found_and_steady(unlike_form(seed))


@pytest.mark.parametrize("seed", LOAD_SEEDS)
def test_loads_beside_other_buffers(seed: int) -> None:
    """A machine with loads of two beside one with fewer buffers, or with others: what is found passes the validator,
    and comes out of the simulation to the grid step."""
    assert_found_and_steady(unlike_loads(seed))


@pytest.mark.parametrize("seed", STANDING_SEEDS)
def test_loads_with_fewer_buffers(seed: int) -> None:
    """A load stays whole while parts go on through buffers of the other machine: what is found passes the validator,
    and comes out of the simulation to the grid step."""
    assert_found_and_steady(standing_loads(seed))


@pytest.mark.parametrize("seed", CHOICE_SEEDS)
def test_loads_with_fewer_buffers_by_every_order(seed: int) -> None:
    """The proven cycle is the best of all orders of carries, tried one by one."""
    cell = cell_from(choice_of_two(seed))
    found = best_cycle(cell, effort=Effort(deterministic=2.0, most_sets=1))

    assert (found.period_steps, found.parts_per_period, found.proven) == (ceil(least_period(cell, 4)), 4, True)


def test_slots_are_told_in_full() -> None:
    """Where a machine of such a step has several slots, each is told by its name, as the simulation writes it out."""
    form = arm_cell(2)
    form["stations"]["m1"]["in_queue"] = 1
    form["stations"]["m2"]["capacity"] = 2
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert violations(cell, found) == []
    assert {event.station for event in found.events} <= set(expanded(cell).cell.stations)
    assert {"m1 in", "m2 slot 2"} <= {event.station for event in found.events}


@pytest.mark.parametrize("seed", HAND_SEEDS)
def test_lots_against_every_order_of_carries(seed: int) -> None:
    """The proven plan is as long as the best of all orders, tried one by one."""
    cell = cell_from(unlike_hand(seed))
    best = shortest_makespan(cell, deadline=None, deterministic=None, workers=1, seed=1)

    assert (best.period_steps, best.proven) == (least_steps(cell), True)


@pytest.mark.parametrize("seed", LOT_SEEDS)
def test_lots_against_rules_of_dispatch(seed: int) -> None:
    """The validator has looked at the plan; no rule is faster than its bound, but where it lets parts stay too long."""
    form = unlike_lots(seed)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=2.0, workers=1, seed=1)
    stays = any("stay_max_s" in step for part in form["parts"].values() for step in part["route"])
    found = [done for rule in RULES if not stays and (done := finished_s(form, rule)) is not None]

    assert is_checked(best)
    assert proof_gaps(best) == []
    assert min(found, default=best.least_steps) >= best.least_steps

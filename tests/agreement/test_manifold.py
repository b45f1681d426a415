"""Machines with several slots, loads or own buffers together: the best cycle against the simulation that follows it,
and against closed forms; lots against every rule of dispatch."""

from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.expanded import expanded
from tests.agreement.random_manifold import manifold_form
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.agreement.test_simulation_plain import assert_steady
from tests.small_lots import several_in_one
from tests.solvers.cycle.lots_proof import is_checked, proof_gaps
from tests.solvers.kernel.shop import arm_cell

SEEDS = (*range(18), 148)  # range(175) by hand: for six of these so brief a search finds none
LOT_SEEDS = range(6)  # range(60) by hand
HOLD_S, WAY_S, WORK_S = 5, 1, 60


def found_for(machine: dict[str, Any], *, hands: int = 1) -> Schedule:
    """The best cycle of one arm and one machine of 60 s: 5 s for each hold, 1 s for each way."""
    form = arm_cell(1, hands=hands, time_s=WORK_S, way_s=WAY_S)
    form["handling"][2].pop("swap", None)
    form["stations"]["m1"] |= machine
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=2.0)
    return found


@pytest.mark.parametrize(
    ("machine", "cycle_s", "parts"),
    [
        ({"capacity": 2, "in_queue": 1}, WORK_S + HOLD_S, 2),  # the part before is lifted, the next comes by itself
        ({"capacity": 2, "out_queue": 1}, WORK_S + HOLD_S, 2),  # the part before goes by itself, the next is set down
        ({"capacity": 2, "in_queue": 1, "out_queue": 1}, WORK_S, 2),
        ({"batch": 2, "in_queue": 2}, WORK_S + 3 * HOLD_S + 2 * WAY_S, 2),  # lift, put down, back, lift
        ({"batch": 2, "out_queue": 2}, WORK_S + 3 * HOLD_S + 2 * WAY_S, 2),
        ({"batch": 2, "in_queue": 2, "out_queue": 2}, WORK_S, 2),
        (
            {"batch": 2, "capacity": 2, "in_queue": 2, "out_queue": 2},
            4 * (4 * HOLD_S + 3 * WAY_S),
            4,
        ),  # the arm's tours
    ],
)
def test_one_machine_by_hand(machine: dict[str, Any], cycle_s: float, parts: int) -> None:
    """What a slot or load waits for is what its buffers do not do for it."""
    found = found_for(machine)

    assert (found.period_steps, found.parts_per_period, found.proven) == (cycle_s * 1000, parts, True)


@pytest.mark.parametrize("seed", SEEDS)
def test_random_machines(seed: int) -> None:
    """Whatever is found is what comes out of a simulation with nothing left to chance, to the grid step."""
    form = manifold_form(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert violations(cell_from(form), found) == []
    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=2.0)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_schedule_names_what_the_simulation_has(seed: int) -> None:
    """Search, validator and simulation, which writes slots and buffers out by itself, call them the same."""
    cell = cell_from(manifold_form(seed))
    found = best_cycle(cell, effort=BRIEF)

    assert {event.station for event in found.events} == set(expanded(cell).cell.stations)


@pytest.mark.parametrize("seed", LOT_SEEDS)
def test_lots(seed: int) -> None:
    """The validator has looked at the plan, and no rule of dispatch is faster than its bound."""
    form = several_in_one(seed)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=1.0, workers=1, seed=1)
    found = [finished for rule in RULES if (finished := finished_s(form, rule)) is not None]

    assert is_checked(best)
    assert proof_gaps(best) == []
    assert min(found, default=best.least_steps) >= best.least_steps

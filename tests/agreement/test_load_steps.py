"""Loads of several parts at several steps of a route, or of several types at one machine, in the best cycle: against
every order of carries, against the simulation that follows it, and as the validator reads it."""

from dataclasses import replace

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import finished_run
from tests.agreement.loads_by_carries import least_period
from tests.agreement.random_load_steps import load_steps_form
from tests.solvers.kernel.shop import Form, arm_cell, times_s

SEEDS = range(8)  # range(150) by hand
ROUNDS = 24


def two_types() -> Form:
    """Loads of two screws, 20 s, and of two pins, 30 s, in one machine; holds of 5 s, every way 4 s."""
    form = arm_cell(1)
    form["stations"]["m1"]["batch"] = 2
    form["parts"] = {
        name: {"share": 0.5, "route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": time}, {"at": ["done"]}]}
        for name, time in (("screw", 20), ("pin", 30))
    }
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def test_two_types_by_hand() -> None:
    """Between two loads lie lift 5, way 4, set 5, back 4, lift 5, way 4, set 5, to the supply 4, lift 5, way 4, set 5,
    back 4, lift 5, way 4, set 5: 68 s. Twice that and both works are the least for two screws and two pins."""
    found = best_cycle(cell_from(two_types()), effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == ((2 * 68 + 20 + 30) * 1000, 4, True)


@pytest.mark.parametrize("number", SEEDS)
def test_one_hand_by_every_order_of_carries(number: int) -> None:
    """The proven cycle is as short as the best of all orders, tried one by one, and comes out of the simulation."""
    cell = cell_from(load_steps_form(number, hands=1))
    found = best_cycle(cell, effort=BRIEF)
    sets = found.parts_per_period // len(cell.parts)
    run = finished_run(compiled(cell, schedule=found), ROUNDS * found.period_steps, seed=1, replication=0, logging=True)
    outs = [time for time in times_s(run, "out") if time > ROUNDS / 2 * found.period_steps / 1000]

    assert found.proven
    assert found.period_steps == least_period(cell, dict.fromkeys(cell.parts, sets))
    apart = {round(after - before, 6) for before, after in zip(outs, outs[found.parts_per_period :], strict=False)}
    assert apart == {found.period_steps / 1000}


def test_a_load_of_two_types_is_told() -> None:
    """Where a screw and a pin change places their loads are mixed, and the validator says so."""
    cell = cell_from(two_types())
    found = best_cycle(cell, effort=BRIEF)
    second = [event for event in found.events if event.what == "set" and event.station == "m1"][1]
    other = {"screw": "pin", "pin": "screw"}
    number = second.id.split(" ")[0]
    last = [event for event in found.events if event.what == "set" and event.station == "m1"][-1].id.split(" ")[0]
    mixed = tuple(
        replace(event, part=other[event.part]) if event.id.split(" ")[0] in (number, last) else event
        for event in found.events
    )

    assert "m1 works on parts of two types, or at two steps, in one load" in violations(
        cell, replace(found, events=mixed)
    )


def closing_door(tail_s: float) -> Form:
    """Supply and machine at one place, so that only the door keeps the second part of a load waiting."""
    form = arm_cell(1, time_s=20.0)
    form["stations"]["m1"] |= {"batch": 2, "place": "in"}
    form["handling"][2]["place"] = {"hold_s": 5, "tail_s": tail_s}
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


@pytest.mark.parametrize(("tail_s", "period_s"), [(0.0, 56 + 20), (8.0, 56 + 20 + 3 + 8)])
def test_the_second_part_of_a_load_waits_for_the_door(tail_s: float, period_s: float) -> None:
    """Lift 5, way 4, set 5, back 4, lift 5, way 4, set 5, to the supply 4, then lift 5, set 5, lift 5, set 5 without a
    way: 56 s between the works, to 20 s of them. A door that closes for 8 s is waited for twice: 3 s beyond the next
    lift of 5 s, and 8 s before the work. Schedule, validator and simulation say the same."""
    cell = cell_from(closing_door(tail_s))
    found = best_cycle(cell, effort=BRIEF)
    run = finished_run(compiled(cell, schedule=found), ROUNDS * found.period_steps, seed=1, replication=0, logging=True)
    outs = [time for time in times_s(run, "out") if time > ROUNDS / 2 * found.period_steps / 1000]

    assert (found.period_steps, found.proven) == (period_s * 1000, True)
    assert {round(after - before, 6) for before, after in zip(outs, outs[2:], strict=False)} == {period_s}


def test_a_load_put_in_through_a_closing_door_is_told() -> None:
    """The cycle of an open door is none where the door closes after each part."""
    found = best_cycle(cell_from(closing_door(0.0)), effort=BRIEF)
    wrong = violations(cell_from(closing_door(8.0)), found)

    assert "m1 is not clear when the next part of its load is handled" in wrong

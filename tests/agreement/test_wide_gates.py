"""Gates with room for several: against a supply and a sink at one place, against room for one, in the simulation."""

from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import cycle_bound_steps, least_for
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.replications import simulate
from tests.agreement.test_simulation_plain import assert_steady
from tests.solvers.kernel.shop import Form, arm_cell

SEEDS = (8, 10, 14, 17)  # range(60) by hand; the period of some is no whole number of steps
NARROW_SEEDS = (0, 11, 14, 15)  # range(24) by hand
ONE_SET = Effort(deterministic=0.2, most_sets=1)


def gate_and_two(dice: Random, arms: int) -> tuple[Form, Form]:
    """One arm or two and a gate, or a supply and a sink where it stands, with the same times."""
    machines, hands = dice.choice([1, 1, 2, 3]), dice.choice([1, 1, 2])
    times = {"time_s": dice.randint(5, 80), "way_s": dice.randint(1, 5)}
    gate, two = (arm_cell(machines, hands=hands, **times) for _ in range(2))
    pick = {"hold_s": 5, "lead_s": dice.choice([0, 2])}
    place = {"hold_s": dice.choice([3, 5]), "tail_s": dice.choice([0, 4])}
    two["stations"]["done"]["place"] = "in"
    two["handling"][0]["pick"], two["handling"][1]["place"] = pick, place
    del gate["stations"]["done"]
    gate["stations"]["raw"] = {"kind": "gate", "place": "in", "capacity": dice.choice([None, 2, 3])}
    gate["handling"] = [{"who": ["arm"], "at": ["raw"], "pick": pick, "place": place}, gate["handling"][2]]
    gate["parts"]["part"]["route"][2] = {"at": ["raw"]}
    for form in (gate, two):
        if arms == 2:
            form["attendants"]["other"] = dict(form["attendants"]["arm"])
        for row in form["handling"]:
            row["who"] = list(form["attendants"])
        form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    return gate, two


@pytest.mark.parametrize("seed", SEEDS)
def test_without_a_turnaround_it_is_a_supply_and_a_sink_at_one_place(seed: int) -> None:
    """The same pace, proven, for one arm or two; and it comes out of the simulation."""
    dice = Random(f"wide gate {seed}")
    forms = gate_and_two(dice, 1 + (seed % 3 == 2))
    cells = [cell_from(form) for form in forms]
    wide, plain = (best_cycle(cell, effort=BRIEF) for cell in cells)

    assert violations(cells[0], wide) == []
    assert wide.period_steps * plain.parts_per_period == plain.period_steps * wide.parts_per_period
    assert (wide.proven, plain.proven) == (True, True)
    assert_steady(forms[0], cycle_s=wide.period_steps / 1000, parts=wide.parts_per_period, hours=1.0)


@pytest.mark.parametrize("turnaround_s", [15, 45])
def test_one_arm_keeps_a_turnaround_whatever_the_room(turnaround_s: int) -> None:
    """With room for three parts the cycle is that with room for one."""
    found = []
    for capacity in (1, 3, None):
        form, _ = gate_and_two(Random("turned"), 1)
        form["stations"]["raw"] |= {"capacity": capacity, "turnaround_s": turnaround_s}
        cycle = best_cycle(cell_from(form), effort=BRIEF)
        found.append((cycle.period_steps, cycle.parts_per_period, cycle.proven))
        assert violations(cell_from(form), cycle) == []

    assert len(set(found)) == 1


@pytest.mark.parametrize("own", [{}, {"turnaround_s": 15}])
def test_a_tail_binds_nobody_at_a_gate(own: Form) -> None:
    """No door closes where nothing is worked on: with room for one, too, schedule and run know only the turnaround."""
    paces = []
    for tail_s in (0, 40):
        form, _ = gate_and_two(Random("turned"), 1)
        form["stations"]["raw"] |= own | {"capacity": 1}
        form["handling"][0]["place"] = {"hold_s": 3, "tail_s": tail_s}
        found = best_cycle(cell_from(form), effort=BRIEF)
        assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=1.0)
        paces.append(found.period_steps / found.parts_per_period)

    assert len(set(paces)) == 1


def narrow_gate(seed: int) -> Form:
    """Two arms at a gate with a turnaround, or three at one with room for two."""
    dice = Random(f"narrow {seed}")
    arms = dice.choice([2, 2, 3])
    form, _ = gate_and_two(dice, 2)
    own = {"capacity": dice.choice([2, 3, None]), "turnaround_s": dice.choice([5, 9, 20])}
    if arms == 3:
        form["attendants"]["third"] = dict(form["attendants"]["arm"])
        for row in form["handling"]:
            row["who"] = list(form["attendants"])
        form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
        own = {"capacity": 2, "turnaround_s": 0}
    form["stations"]["raw"] |= own
    return form


@pytest.mark.parametrize("seed", NARROW_SEEDS)
def test_several_at_a_gate_are_kept_apart(seed: int) -> None:
    """The cycle passes the validator and comes out of the simulation; proven is only what meets the load bound, and
    otherwise the answer says why."""
    form = narrow_gate(seed)
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert violations(cell, found) == []
    least = least_for(cycle_bound_steps(cell), cell, found)
    assert (found.proven, found.least_steps) == (found.period_steps == least, least)
    assert found.proven != ("one attendant at a time at raw, where a run may let in more" in found.how)
    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=1.0)


def busy_gate(**own: int | None) -> Form:
    """Two arms with two hands each that come to a gate so often that they would meet there."""
    form = arm_cell(1, hands=2, time_s=9.0, way_s=5.0)
    del form["stations"]["done"]
    form["stations"]["raw"] = {"kind": "gate", "place": "in", **own}
    form["attendants"]["other"] = dict(form["attendants"]["arm"])
    row = {"at": ["raw"], "pick": {"hold_s": 5}, "place": {"hold_s": 3}}
    form["handling"] = [{**each, "who": ["arm", "other"]} for each in (row, form["handling"][2])]
    form["parts"]["part"]["route"][2] = {"at": ["raw"]}
    form["dispatch"] = {who: {"rule": "first_to_finish"} for who in form["attendants"]}
    return form


def test_a_run_may_make_more_than_visits_apart_and_never_more_than_the_bound() -> None:
    """Two arms side by side at a gate: a rule of dispatch beats the cycle of one part a period, so that is not called
    proven."""
    cell = cell_from(busy_gate(capacity=None, turnaround_s=5))
    found = best_cycle(cell, effort=ONE_SET)
    most = simulate(cell, hours=2.0, replications=1).parts_per_h.mean
    paces = [3_600_000 * found.parts_per_period / steps for steps in (found.least_steps, found.period_steps)]

    assert not found.proven
    assert paces[0] >= most > paces[1]


@pytest.mark.parametrize(
    "own", [{"capacity": 1}, {"capacity": 2, "turnaround_s": 1}, {"capacity": None, "turnaround_s": 1}]
)
def test_the_validator_keeps_visits_apart_where_the_room_is_less(own: Form) -> None:
    """A cycle of two arms who may be at a wide gate at once is none for a gate with less room, or with a turnaround."""
    wide = cell_from(busy_gate(capacity=2))
    found = best_cycle(wide, effort=ONE_SET)

    assert violations(wide, found) == []
    assert "no arcs make 04 set raw wait 0 steps for 01 lifted raw" in violations(cell_from(busy_gate(**own)), found)


def test_who_may_only_go_elsewhere_is_no_visitor() -> None:
    """Of two arms one neither takes from the gate nor puts to it, so the other keeps the turnaround alone."""
    form, _ = gate_and_two(Random("turned"), 2)
    form["stations"]["raw"] |= {"capacity": 3, "turnaround_s": 15}
    machines = [name for name in form["stations"] if name != "raw"]
    form["attendants"]["other"] |= {"take_from": machines, "put_to": machines}
    cell = cell_from(form)

    assert violations(cell, best_cycle(cell, effort=BRIEF)) == []

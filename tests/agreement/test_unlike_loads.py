"""Lots with a choice between machines whose loads have several sizes, some with buffers of their own beside them: the
plan against every order of visits, by hand, as the validator reads it, and against every rule of dispatch."""

from dataclasses import replace
from random import Random

import pytest

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import lots_of
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.orders_of_visits import shortest
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.small_lots import Form, small_lots
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import arm_cell

SEEDS = (2, 3, 5, 6, 9)  # range(40) by hand, with one hand or two
HOLD_S, WAY_S, WORK_S = 5, 4, 100


def proven(form: Form) -> Schedule:
    """The shortest plan, which the validator has looked at."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert proof_gaps(found) == []
    assert found.proven
    return found


def either(seed: int) -> Form:
    """A small random cell of one arm in which each part may go to a machine with loads of two or to one with loads of
    one."""
    dice = Random(f"either {seed}")
    form = small_lots(seed)
    form["stations"]["m1"]["batch"] = 2
    for part in form["parts"].values():
        times = {name: dice.randint(5, 40) for name in ("m1", "m2")}
        part["route"] = [{"at": ["raw"]}, {"at": ["m1", "m2"], "time_s": times}, {"at": ["done"]}]
        if dice.random() < 0.25:
            part["route"].insert(2, {"at": ["m2"], "time_s": dice.randint(0, 20)})
    if len(form["parts"]) == 1:
        form["parts"]["part1"]["lot"]["size"] = dice.choice([3, 4])
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_random_lots_by_every_order_of_visits(seed: int) -> None:
    """The proven plan is as long as the best of all orders."""
    form = either(seed)

    assert proven(form).period_steps == shortest(cell_from(form))


def pallet_cell(size: int, *, times: dict[str, int]) -> Form:
    """A machine with two places a load beside one with one; holds of 5 s, ways of 4 s."""
    form = arm_cell(2, way_s=WAY_S) | {"goal": "makespan", "grid_s": 1}
    del form["dispatch"]
    form["stations"]["m1"]["batch"] = 2
    form["parts"]["part"] |= {"lot": {"size": size}}
    form["parts"]["part"]["route"][1]["time_s"] = times
    return form


def test_a_simple_plan_sends_no_part_where_it_makes_up_no_load() -> None:
    """Three parts, and endless room before the machine for two at once: two go there, the third to the other."""
    form = pallet_cell(3, times={"m1": 10, "m2": 90})
    form["stations"]["m1"] |= {"in_queue": None, "out_queue": None}
    plan = first_plan(lots_of(cell_from(form)))

    assert plan is not None
    assert sorted(each.way.goal for (_, step), each in plan.carried.items() if step == 0) == ["m1 in", "m1 in", "m2"]


def test_three_parts_by_hand() -> None:
    """Two parts into m1: 14 + 4 + 14 s, then 4 + 14 s for the third into m2. Two come out of m1 and one out of m2, each
    14 s with 4 s between; the third is done when the arm comes for it last."""
    found = proven(pallet_cell(3, times={"m1": WORK_S, "m2": WORK_S}))
    carry = HOLD_S + WAY_S + HOLD_S

    assert found.period_steps == 2 * carry + WAY_S + WORK_S + 3 * carry + 2 * WAY_S
    assert sorted(e.station for e in found.events if e.what == "set" and e.station != "done") == ["m1", "m1", "m2"]


def test_a_single_part_goes_where_it_makes_a_load() -> None:
    """One part alone can only be worked on where a load is one, however slow."""
    found = proven(pallet_cell(1, times={"m1": 10, "m2": 300}))

    assert found.period_steps == 2 * (HOLD_S + WAY_S + HOLD_S) + 300


def test_lots_that_make_up_no_loads_are_told() -> None:
    """Loads of two or three: one part alone makes up none."""
    form = pallet_cell(1, times={"m1": WORK_S, "m2": WORK_S})
    form["stations"]["m2"]["batch"] = 3
    with pytest.raises(InputErrors) as caught:
        proven(form)

    assert "1 parts, loads of 2 or 3" in str(caught.value)
    assert "loads of 2 and 3 together; the last load would never be complete" in str(caught.value)


def test_a_load_that_is_not_whole_is_told() -> None:
    """A sound plan, given for a cell in which the second machine takes two at once as well."""
    form = pallet_cell(3, times={"m1": WORK_S, "m2": WORK_S})
    cell = cell_from(form)
    both = replace(cell, stations=cell.stations | {"m2": replace(cell.stations["m2"], batch=2)})

    told = violations(both, proven(form))

    assert "a part of a load that is not complete is lifted from m2" in told
    assert "m2 starts with 1 of 2 parts" in told


UNLIKE = [  # batch, in_queue, out_queue of m1 and of m2
    ((2, 2, 0), (2, 0, 0)),
    ((2, 0, 2), (1, 0, 0)),
    ((2, 0, 0), (1, 1, 0)),
    ((2, 2, None), (1, 0, 1)),
    ((2, 0, 0), (2, 2, 2)),
]


def with_buffers(number: int, *, hands: int = 1) -> Form:
    """Four parts and two machines with unlike loads or buffers; the times from dice."""
    dice = Random(f"buffers {number} {hands}")
    form = pallet_cell(4, times={name: dice.randint(5, 80) for name in ("m1", "m2")})
    form["attendants"]["arm"]["hands"] = hands
    for name, (batch, before, behind) in zip(("m1", "m2"), UNLIKE[number % len(UNLIKE)], strict=True):
        form["stations"][name] |= {"batch": batch, "in_queue": before, "out_queue": behind}
    if number >= len(UNLIKE):
        form["stations"]["m1"]["capacity"] = 2
    return form


@pytest.mark.parametrize("number", range(2 * len(UNLIKE)))
def test_unlike_buffers_beside_loads(number: int) -> None:
    """The validator has looked at the plan, there is a simple one too, and no rule of dispatch is faster than the
    bound."""
    form = with_buffers(number, hands=1 + number % 2)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=1.0, workers=1, seed=1)
    seen = [done for rule in RULES if (done := finished_s(form, rule)) is not None]

    assert proof_gaps(best) == []
    assert first_plan(lots_of(cell_from(form))) is not None
    assert min(seen, default=best.least_steps) >= best.least_steps


def test_a_buffer_before_a_load_by_hand() -> None:
    """Both machines take two at once; before m1 there is room for two more, and m2 is too slow to be of use. Two come
    into the buffer and at once into m1, two more into the buffer meanwhile. The second load begins when the first is
    out: 5 + 4 + 5 s for its first part, 4 s back, 5 s to lift the second, brought out while the machine works."""
    form = with_buffers(0)
    form["parts"]["part"]["route"][1]["time_s"] = {"m1": WORK_S, "m2": 3000}
    carry = HOLD_S + WAY_S + HOLD_S

    assert proven(form).period_steps == 2 * carry + WAY_S + WORK_S + carry + WAY_S + HOLD_S + WORK_S + 2 * carry + WAY_S

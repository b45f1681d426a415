"""Endless slots with own buffers: the best cycle and the plan for lots against the same cell with as many slots as
parts can ever be there at once, against the simulation, and against the hand's own round, all that counts."""

from random import Random

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking import validate
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.searching import batches
from millhand.solvers.kernel.compile_cycle import BRIEF
from tests.agreement.test_changeovers_in_own_buffers import slots_of_families
from tests.agreement.test_simulation_plain import assert_steady
from tests.solvers.cycle.lots_proof import is_checked, proof_gaps
from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of

WAY_S = 2
ROUND_S = 4 * 5 + 3 * WAY_S  # bring one part, lift another where that was set down, bring it out, come back
HOLD_S = 5
ENOUGH = 6  # slots: no part of 100 s or less is there for as many rounds
BUFFERS = [(1, 0), (2, 0), (0, 1), (0, None), (1, 1), (2, None)]


def oven(queues: tuple[int | None, int | None], capacity: int | None, *, time_s: float) -> Form:
    """An arm and an oven; a part may be in it over several periods."""
    form = arm_cell(1, time_s=time_s, way_s=WAY_S)
    form["stations"]["m1"] |= {"capacity": capacity, "in_queue": queues[0], "out_queue": queues[1]}
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


@pytest.mark.parametrize("queues", BUFFERS)
@pytest.mark.parametrize("time_s", [0, 37, 100])
def test_the_hand_alone_sets_the_pace(queues: tuple[int | None, int | None], time_s: float) -> None:
    """By hand: bring one part, lift another where that was set down, bring it out and come back for the next."""
    cell = cell_from(oven(queues, None, time_s=time_s))
    found = best_cycle(cell, effort=BRIEF)

    assert violations(cell, found) == []
    assert (found.period_steps, found.proven) == (ROUND_S * 1000 * found.parts_per_period, True)


@pytest.mark.parametrize(
    ("queues", "batch"), [((0, 0), 1), ((1, 0), 1), ((2, None), 1), ((0, 0), 2), ((2, 0), 2), ((1, 2), 3)]
)
def test_endless_slots_are_simulated(queues: tuple[int | None, int | None], batch: int) -> None:
    """The pace of the schedule comes out of the simulation that follows it."""
    form = oven(queues, None, time_s=100)
    form["stations"]["m1"]["batch"] = batch
    form["handling"][2]["place"]["tail_s"] = 2
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=2.0)


@pytest.mark.parametrize("seed", range(3))  # range(160) by hand
def test_endless_loads_beside_own_buffers_are_simulated(seed: int) -> None:
    """Loads, doors and hands at random: as many parts an hour as in the schedule,"""
    dice = Random(f"loads {seed}")
    form = arm_cell(1, time_s=dice.randint(0, 120), way_s=dice.randint(0, 4), hands=1 + (seed % 3 == 2))
    queues = dice.choice([(1, 0), (2, 0), (None, 1), (0, 2), (2, None)])
    own = {"capacity": None, "in_queue": queues[0], "out_queue": queues[1], "batch": dice.choice([2, 3])}
    form["stations"]["m1"] |= own
    form["handling"][2]["place"]["tail_s"] = dice.choice([0, 2, 6])
    form["handling"][2]["pick"]["lead_s"] = dice.choice([0, 1, 3])
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    found = best_cycle(cell_from(form), effort=BRIEF)
    early, late = (counts_of(run_of(form, hours, logging=False)) for hours in (1.0, 2.0))

    assert abs(late["parts"] - early["parts"] - 3_600_000 / pace(found)) <= found.parts_per_period


@pytest.mark.parametrize("seed", [0, 6, 13])  # range(70) by hand
def test_loads_are_exchanged_within_their_slots(seed: int) -> None:
    """Two hands at endless slots without buffers, with an exchange and a door that closes after each part: as many
    parts an hour as in the schedule."""
    form = exchanging(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)
    early, late = (counts_of(run_of(form, hours, logging=False)) for hours in (1.0, 2.0))

    assert abs(late["parts"] - early["parts"] - 3_600_000 / pace(found)) <= found.parts_per_period


def exchanging(number: int) -> Form:
    """A random cell of this kind."""
    dice = Random(f"endless {number}")
    form = arm_cell(1, way_s=dice.choice([0, 1, 3]), hands=2, time_s=dice.randint(0, 120))
    form["stations"]["m1"] |= {"capacity": None, "batch": dice.choice([1, 2, 2, 3])}
    form["handling"][2]["swap"] = {"hold_s": dice.choice([6, 8, 10]), "tail_s": dice.choice([0, 2])}
    form["handling"][2]["place"]["tail_s"] = dice.choice([0, 2])
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def test_a_slot_that_was_just_emptied_comes_after_the_free_ones() -> None:
    """A part is brought to another slot than the one that closes behind a part just lifted, and to no slot from which a
    load is still being lifted: as many parts an hour as in the schedule."""
    form = oven((None, 0), None, time_s=31)
    form["attendants"]["arm"]["hands"] = 2
    form["stations"]["m1"]["batch"] = 3
    form["handling"][2]["pick"] = {"hold_s": 2, "tail_s": 6}
    found = best_cycle(cell_from(form), effort=BRIEF)
    early, late = (counts_of(run_of(form, hours, logging=False)) for hours in (1.0, 2.0))

    assert abs(late["parts"] - early["parts"] - 3_600_000 / pace(found)) <= found.parts_per_period


def test_an_exchange_between_two_slots_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """What lifts out of one slot and sets down in another, in one visit, does not pass the validator."""
    told: list[str] = []
    monkeypatch.setattr(batches, "add_exchanges", lambda *_: None)
    monkeypatch.setattr(
        "millhand.solvers.cycle.best.load_by_load", lambda *_: None
    )  # so that the search has to find one itself
    monkeypatch.setattr(validate, "violations", lambda cell, found: told.extend(violations(cell, found)))
    best_cycle(cell_from(exchanging(0)), effort=BRIEF)

    assert "m1 has an exchange between two of its slots" in told


@pytest.mark.parametrize("rule", ["first_to_finish", "longest_waiting"])
def test_what_is_done_comes_before_a_free_slot(rule: str) -> None:
    """A free one of endless slots waits for nobody, so the hand brings parts only while none is done: there are never
    more in the oven than it brings in the time of one."""
    form = oven((0, 0), None, time_s=100)
    form["dispatch"] = {"arm": {"rule": rule}}
    run = run_of(form, 2.0)
    counts, bring_s = counts_of(run), 2 * HOLD_S + 2 * WAY_S

    assert counts["picked"] - counts["parts"] <= 100 / bring_s + 2
    assert counts["parts"] > 7200 / (2 * bring_s) - 100 / bring_s - 2


def test_too_few_slots_for_endless_ones_are_told() -> None:
    """Nobody empties the oven before the fourth hour: the run stops when the last slot that stands for it is filled."""
    form = oven((0, 0), None, time_s=100)
    form["attendants"]["late"] = form["attendants"]["arm"] | {
        "calendar": "late",
        "take_from": ["m1"],
        "put_to": ["done"],
    }
    form["attendants"]["arm"] |= {"take_from": ["raw"], "put_to": ["m1"]}
    form["calendars"] = {"late": {"period_s": 86400, "on": [[14400, 86400]]}}
    for row in form["handling"]:
        row["who"] = ["arm", "late"]
    form["dispatch"] = {}

    with pytest.raises(
        ToolError, match=r"m1 has endless slots, of which .* all of them hold parts\. Give it a capacity"
    ):
        run_of(form, 3.0)


@pytest.mark.parametrize("queues", [(1, 0), (0, 1), (1, 1)])
def test_many_slots_are_as_good_and_are_simulated(queues: tuple[int | None, int | None]) -> None:
    """With so many slots that none is ever lacking the same pace is found, and comes out of the simulation."""
    form = oven(queues, ENOUGH, time_s=100)
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert pace(found) == pace(best_cycle(cell_from(oven(queues, None, time_s=100)), effort=BRIEF))
    assert_steady(form, cycle_s=found.period_steps / 1000, parts=found.parts_per_period, hours=2.0)


def pace(found: Schedule) -> float:
    """Grid steps a part."""
    return found.period_steps / found.parts_per_period


def test_a_limited_stay_counts_over_periods_too() -> None:
    """A part may be lifted as soon as it is done and no later: the hand's round has to come out even with the work."""
    form = oven((1, 1), None, time_s=100)
    form["parts"]["part"]["route"][1]["stay_max_s"] = 100
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert violations(cell, found) == []
    assert pace(found) >= ROUND_S * 1000


@pytest.mark.parametrize("queues", [(0, 0), *BUFFERS])
def test_lots_need_as_many_slots_as_parts(queues: tuple[int | None, int | None]) -> None:
    """The plan for three parts is that of the same machine with three slots, both proven."""
    form = oven(queues, None, time_s=100)
    form["goal"] = "makespan"
    form["parts"]["part"]["lot"] = {"size": 3}
    endless, three = (
        shortest_makespan(cell_from(each), deadline=None, deterministic=2.0, workers=1, seed=1)
        for each in (form, form | {"stations": form["stations"] | {"m1": form["stations"]["m1"] | {"capacity": 3}}})
    )

    assert is_checked(endless)
    assert proof_gaps(endless) == []
    assert (endless.period_steps, endless.proven, three.proven) == (three.period_steps, True, True)


@pytest.mark.parametrize("queues", [(0, 0), (2, 0), (2, 2)])
@pytest.mark.parametrize("batch", [2, 3])
def test_the_hand_alone_sets_the_pace_of_loads(queues: tuple[int, int], batch: int) -> None:
    """Loads of several parts in endless slots wait for their own parts only, so the hand goes round without a wait."""
    form = oven(queues, None, time_s=100)
    form["stations"]["m1"]["batch"] = batch
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert violations(cell, found) == []
    assert (pace(found), found.proven) == (ROUND_S * 1000, True)


@pytest.mark.parametrize("queues", [(0, 0), (2, 0), (0, 2)])
def test_lots_of_loads_need_as_many_slots_as_loads(queues: tuple[int, int]) -> None:
    """The plan for two loads of two is that of the same machine with two slots."""
    form = oven(queues, None, time_s=60)
    form["goal"] = "makespan"
    form["parts"]["part"]["lot"] = {"size": 4}
    plans = []
    for slots in (None, 2):
        form["stations"]["m1"] |= {"batch": 2, "capacity": slots}
        plans.append(shortest_makespan(cell_from(form), deadline=None, deterministic=2.0, workers=1, seed=1))

    assert all(is_checked(plan) for plan in plans)
    assert [proof_gaps(plan) for plan in plans] == [[], []]
    assert plans[0].proven
    assert len({plan.period_steps for plan in plans}) == 1


def test_endless_slots_are_never_changed_over() -> None:
    """Of endless slots one has never held another family: the plan is that of as many slots as there are parts."""
    form = slots_of_families()
    plans = [
        shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)
        for form["stations"]["m1"]["capacity"] in (None, 3)
    ]

    assert [plan.proven and is_checked(plan) for plan in plans] == [True, True]
    assert len({plan.period_steps for plan in plans}) == 1
    assert not any(event.what == "start" and event.attendant for plan in plans for event in plan.events)


def test_endless_slots_beside_a_machine_that_is_told_in_full() -> None:
    """An oven before a machine with two slots and buffers: each slot by its name, the oven's parts at the oven."""
    form = oven((1, 0), None, time_s=60)
    form["places"]["m2"] = {}
    form["stations"]["m2"] = {"kind": "process", "place": "m2", "capacity": 2, "in_queue": 1}
    form["handling"][2]["at"] = ["m1", "m2"]
    ways = form["moves"]["ways"]
    ways["places"] = [*ways["places"], "m2"]
    ways["empty_s"] = [[0 if a == b else WAY_S for b in ways["places"]] for a in ways["places"]]
    form["parts"]["part"]["route"].insert(2, {"at": ["m2"], "time_s": 30})
    cell = cell_from(form)
    found = best_cycle(cell, effort=BRIEF)

    assert violations(cell, found) == []
    assert {"m1", "m1 in", "m2 slot 2 in"} <= {event.station for event in found.events}

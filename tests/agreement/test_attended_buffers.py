"""An attended machine with a buffer of its own: in the schedule, in the simulation, and by hand."""

from random import Random

import pytest

from millhand.errors import NotYet
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.kernel.compile_cycle import BRIEF
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.replications import simulate
from tests.agreement.test_simulation_plain import assert_steady
from tests.solvers.kernel.shop import Form, arm_cell, attendant_s, run_of, station_s

RANDOM_SEEDS = (0, 1, 9, 13, 17)  # range(24) by hand
AROUND_S = 5 + 4 + 5 + 20 + 5 + 4 + 5 + 4  # lift, way, set down, stay, lift, way, set down, way back


def attended(**buffers: int) -> Form:
    """One arm that stays at its machine for 20 s."""
    form = arm_cell(1, time_s=20.0)
    form["stations"]["m1"] |= {"attended": True} | buffers
    return form


@pytest.mark.parametrize("rule", ["cycle", "longest_waiting", "first_to_finish"])
def test_the_arm_stays_and_then_takes_the_part_out_of_the_buffer(rule: str) -> None:
    """The buffer wins nothing, since the arm is there in any case; schedule and every rule say the same."""
    form = attended(out_queue=1)
    form["dispatch"] = {"arm": {"rule": rule}}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (AROUND_S * 1000, 1, True)
    assert_steady(form, cycle_s=AROUND_S)


def test_the_first_parts_of_a_load_keep_nobody() -> None:
    """The arm brings three parts one by one, stays for the work on all, and takes them out one by one."""
    form = attended(batch=3)
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    found = best_cycle(cell_from(form), effort=BRIEF)
    around_s = 6 * (5 + 4 + 5) + 5 * 4 + 20

    assert (found.period_steps, found.parts_per_period, found.proven) == (around_s * 1000, 3, True)
    assert_steady(form, cycle_s=around_s, parts=3)


def test_nobody_stays_for_a_part_that_finds_no_room() -> None:
    """Nobody takes anything out: the second part stays in the machine when it is done, and the arm goes."""
    form = attended(out_queue=1)
    form["attendants"]["arm"] |= {"take_from": ["raw"], "put_to": ["m1"]}
    form["attendants"]["other"] = form["attendants"]["arm"] | {
        "take_from": ["m1"],
        "put_to": ["done"],
        "calendar": "off",
    }
    form["calendars"] = {"off": {"period_s": 36000, "on": [[35000, 36000]]}}
    for row in form["handling"]:
        row["who"] = ["arm", "other"]
    run = run_of(form, 1.0)

    assert station_s(run, "m1")["blocked"] > 3400
    assert attendant_s(run, "arm")["waiting_station"] == 2 * 20


def bench(machine: Form | None = None, **brings: Form) -> Form:
    """Somebody brings parts to the tray of a bench, somebody else works there for 20 s and takes them away."""
    form = arm_cell(1, time_s=20.0)
    form["stations"]["m1"] |= {"attended": True, "in_queue": 2} | (machine or {})
    arm = form["attendants"].pop("arm") | {"kind": "operator"}
    form["attendants"] = {
        "brings": arm | {"take_from": ["raw"], "put_to": []} | brings,
        "works": arm | {"home": "m1", "take_from": ["m1"], "put_to": ["m1", "done"]},
    }
    for row in form["handling"]:
        row["who"] = ["brings", "works"]
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    return form


def random_bench(seed: int) -> Form:
    """A bench with a tray and a machine in line, with one hand or two people and own buffers."""
    dice = Random(seed)
    form = arm_cell(2, way_s=dice.randint(1, 6)) | {"grid_s": 0.5}
    form["stations"]["m1"] |= {"attended": True, "in_queue": dice.choice([1, 2, None])}
    form["stations"]["m1"] |= {"out_queue": dice.choice([0, 0, 1])}
    form["stations"]["m2"] |= {"in_queue": dice.choice([0, 0, 1])}
    first, second = ({"at": [name], "time_s": dice.randint(5, 60)} for name in ("m1", "m2"))
    form["parts"]["part"]["route"] = [{"at": ["raw"]}, first, second, {"at": ["done"]}]
    if dice.random() < 0.5:
        form["attendants"]["other"] = dict(form["attendants"]["arm"])
        for row in form["handling"]:
            row["who"] = ["arm", "other"]
        if dice.random() < 0.5:
            form["attendants"]["arm"] |= {"put_to": ["m1"], "take_from": ["raw"]}
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    return form


TENDS_S = 20 + 5 + 4 + 5 + 4  # work, lift, way, set down, way back
BELT: Form = {"self_in": True}


@pytest.mark.parametrize("rule", ["cycle", "longest_waiting"])
def test_a_bench_with_a_tray_that_a_belt_fills(rule: str) -> None:
    """Whoever works there takes the next part out of the tray in no time; nobody else is needed."""
    form = bench(BELT)
    form["dispatch"]["works"] = {"rule": rule}
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert (found.period_steps, found.parts_per_period, found.proven) == (TENDS_S * 1000, 1, True)
    assert_steady(form, cycle_s=TENDS_S)


def test_whoever_brings_parts_to_a_tray_need_not_stay() -> None:
    """The other one takes them out of it; who may put to the bench may also fill its tray."""
    form = bench(take_from=["raw"], put_to=["m1"])
    form["attendants"]["works"]["put_to"] = ["done"]
    stays = best_cycle(cell_from(form), effort=BRIEF)

    assert (stays.period_steps, stays.proven) == ((5 + 4 + 5 + 20 + 4) * 1000, True)
    assert_steady(form, cycle_s=5 + 4 + 5 + 20 + 4)


@pytest.mark.parametrize("seed", RANDOM_SEEDS)
def test_random_benches(seed: int) -> None:
    """The cycle is proven, passes the validator, and comes out of the simulation to the grid step."""
    form = random_bench(seed)
    found = best_cycle(cell_from(form), effort=BRIEF)

    assert found.proven
    assert violations(cell_from(form), found) == []
    assert_steady(form, cycle_s=found.period_steps / 2, parts=found.parts_per_period, hours=2.0)


def test_lots_over_a_bench() -> None:
    """A tray is passed by every part of the lots; the plan is proven, and what each rule of dispatch needs too."""
    form = attended(in_queue=1) | {"goal": "makespan"}
    form["parts"]["part"]["lot"] = {"size": 3}
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert (found.period_steps, found.proven) == ((3 * AROUND_S - 4) * 1000, True)
    assert simulate(cell_from(form), hours=1.0, replications=1).finished_s.mean == 3 * AROUND_S - 4


def test_what_a_tray_does_not_say_is_refused_with_a_cure() -> None:
    """Beside other machines of its step it is not said to which one a part belongs: a store says it."""
    form = attended(in_queue=1)
    form["stations"]["m2"] = {"kind": "process", "place": "m1"}
    form["parts"]["part"]["route"][1]["at"] = ["m1", "m2"]
    form["handling"][2]["at"] = ["m1", "m2"]
    words = r"or beside others of its step, by sample or with a limited stay \(write a store\)"
    for solver in (compiled, best_cycle):
        with pytest.raises(NotYet, match=words):
            solver(cell_from(form))

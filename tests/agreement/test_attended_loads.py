"""Lots with attended machines that work on several parts at once: whoever completes a load stays beside it. The plan
against every order of visits, by hand, as the validator reads it, and against every rule of dispatch."""

from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.orders_of_visits import shortest
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.small_lots import Form, small_lots
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import arm_cell

SEEDS = (1, 3, 6, 7, 10, 13, 16)  # range(60) by hand, without three parts for two arms with two hands
CARRY_S, WAY_S, WORK_S = 14, 4, 100


def proven(form: Form) -> Schedule:
    """The shortest plan, which the validator has looked at."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert proof_gaps(found) == []
    assert found.proven
    return found


def attended_loads(seed: int) -> Form:
    """A small random cell whose first machine works on two parts at once while somebody stays; in some another machine
    takes one at a time, for the same step or for another."""
    dice = Random(f"attended {seed}")
    form = small_lots(seed, hands=dice.choice([1, 1, 2]), arms=dice.choice([1, 1, 2]))
    form["handling"][2].pop("swap", None)
    either = dice.random() < 0.4
    form["stations"]["m1"] |= {"batch": 2, "attended": True}
    form["stations"]["m2"]["attended"] = dice.random() < 0.5
    for number, part in enumerate(form["parts"].values()):
        times = {name: dice.randint(5, 40) for name in ("m1", "m2")}
        step: Form = {"at": ["m1", "m2"], "time_s": times} if either else {"at": ["m1"], "time_s": times["m1"]}
        second: Form = {"at": ["m2"], "time_s": times["m2"]}
        if not either:
            part["lot"]["size"] = 1 if number else 2
            step = second if number else step
        part["route"] = [{"at": ["raw"]}, step, {"at": ["done"]}]
        if not either and not number and dice.random() < 0.4:
            part["route"].insert(dice.choice([1, 2]), second)
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_random_lots_by_every_order_of_visits(seed: int) -> None:
    """The proven plan is as long as the best of all orders, and no rule of dispatch is faster."""
    form = attended_loads(seed)
    best = proven(form).period_steps
    seen = [done for rule in RULES if (done := finished_s(form, rule)) is not None]

    assert best == shortest(cell_from(form))
    assert min(seen, default=best) >= best


def press_cell(*, attended: bool = True) -> Form:
    """A press for two parts at once and a machine for another part; holds of 5 s, ways of 4 s."""
    form = arm_cell(2, way_s=WAY_S) | {"goal": "makespan", "grid_s": 1}
    del form["dispatch"]
    form["stations"]["m1"] |= {"batch": 2, "attended": attended}
    form["stations"]["raw2"] = form["stations"]["raw"]
    form["handling"][0]["at"] = ["raw", "raw2"]
    form["parts"] = {
        name: {"lot": {"size": size}, "route": [{"at": [raw]}, {"at": [machine], "time_s": WORK_S}, {"at": ["done"]}]}
        for name, size, raw, machine in (("pair", 2, "raw", "m1"), ("single", 1, "raw2", "m2"))
    }
    return form


def test_by_hand() -> None:
    """The single part comes first and is worked on while the pair is: 14 + 4 s for it, 14 + 4 + 14 s for the pair,
    100 s beside the press, then the pair is brought out, and the single part."""
    found = proven(press_cell())
    pair = 2 * CARRY_S + WAY_S

    assert found.period_steps == CARRY_S + WAY_S + pair + WORK_S + pair + WAY_S + CARRY_S


def test_the_first_part_of_a_load_keeps_nobody() -> None:
    """Two parts are brought one after the other by one arm, which stays with the second only."""
    form = press_cell()
    del form["parts"]["single"]

    assert proven(form).period_steps == 2 * CARRY_S + WAY_S + WORK_S + 2 * CARRY_S + WAY_S


def test_somebody_who_leaves_is_told() -> None:
    """The best plan of a press that needs nobody, given for one at which somebody has to stay."""
    form = press_cell(attended=False)
    form["parts"]["single"]["route"][1]["time_s"] = 10
    found = proven(form)
    told = violations(cell_from(form | {"stations": press_cell()["stations"]}), found)

    assert any("steps too late for its" in words for words in told), told

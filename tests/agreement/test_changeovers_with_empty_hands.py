"""Changeovers that need hands empty, by somebody who holds several parts: the plan for lots against every order of
visits, by hand, and as the validator reads it."""

from dataclasses import replace
from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.orders_of_visits import shortest
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.small_lots import Form, a_set_up, small_lots
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import arm_cell

SEEDS = (0, 2, 5, 24)  # range(60) by hand, without those of four parts
HOLD_S, WAY_S, WORK_S, SET_UP_S = 5, 4, 100, 60


def proven(form: Form) -> Schedule:
    """The shortest plan, which the validator has looked at."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert proof_gaps(found) == []
    assert found.proven
    return found


def by_the_arm(seed: int, needs_hands: int) -> Form:
    """A small random cell of an arm with two grippers, which changes its machines over itself."""
    form = small_lots(seed, hands=2)
    a_set_up(form, Random(f"hands {seed}"))
    form["duties"]["set_up"] |= {"who": ["arm1"], "needs_hands": needs_hands}
    form["attendants"].pop("person", None)
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_random_lots_by_every_order_of_visits(seed: int) -> None:
    """With one hand empty, and with both, the proven plan is as long as the best of all orders."""
    both = proven(by_the_arm(seed, 2)).period_steps

    assert both == shortest(cell_from(by_the_arm(seed, 2)))
    assert proven(by_the_arm(seed, 1)).period_steps <= both


def set_up_cell(needs_hands: int) -> Form:
    """A part of each of two families for one machine, which the arm changes over with so many grippers empty."""
    form = arm_cell(1, hands=2, way_s=WAY_S, time_s=WORK_S) | {"goal": "makespan", "grid_s": 1}
    del form["handling"][2]["swap"]
    route = form["parts"]["part"]["route"]
    form["parts"] = {
        name: {"lot": {"size": 1}, "route": [route[0], route[1] | {"family": family}, route[2]]}
        for name, family in (("plate", "large"), ("shaft", "small"))
    }
    ways = [("large", "small"), ("small", "large")]
    form["changeovers"] = [{"at": ["m1"], "from": one, "to": other, "duty": "jaws"} for one, other in ways]
    jaws = {"trigger": {"kind": "changeover"}, "who": ["arm"], "takes": SET_UP_S, "holds": "station"}
    form["duties"] = {"jaws": jaws | {"needs_hands": needs_hands}}
    return form


def test_by_hand() -> None:
    """The plate comes in after 14 s and is lifted out at 114 s to 119 s. With the plate still in one gripper the arm
    begins the changeover at once, goes to the supply, 4 s, and holds the plate until the shaft is at work. With both
    empty it brings the plate away first and comes back, 4 + 5 + 4 s. The shaft takes 5 + 4 + 5 + 100 + 5 + 4 + 5 s."""
    lifted = HOLD_S + WAY_S + HOLD_S + WORK_S + HOLD_S
    away = WAY_S + HOLD_S + WAY_S
    shaft = HOLD_S + WAY_S + HOLD_S + WORK_S + HOLD_S + WAY_S + HOLD_S

    assert proven(set_up_cell(1)).period_steps == lifted + SET_UP_S + WAY_S + shaft
    assert proven(set_up_cell(2)).period_steps == lifted + away + SET_UP_S + WAY_S + shaft


def test_a_changeover_with_a_part_in_hand_is_told() -> None:
    """A sound plan with one gripper empty, given for a duty that needs both."""
    found = proven(set_up_cell(1))
    cell = cell_from(set_up_cell(2))

    assert violations(cell, found) == ["arm has 1 of 2 hands empty for jaws, 2 are needed"]
    assert violations(replace(cell, duties={"jaws": replace(cell.duties["jaws"], needs_hands=1)}), found) == []


@pytest.mark.parametrize("needs_hands", [1, 2])
def test_no_rule_of_dispatch_is_faster(needs_hands: int) -> None:
    """The simulation asks for the same empty hands."""
    form = set_up_cell(needs_hands)
    best = proven(form).period_steps
    found = [done for rule in RULES if (done := finished_s(form, rule)) is not None]

    assert found
    assert min(found) >= best

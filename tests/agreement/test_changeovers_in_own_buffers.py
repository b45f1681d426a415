"""Changeovers of machines with own buffers or slots: the plan for lots as the validator reads it, part by part, and
plans spoilt on purpose, which it refuses."""

from dataclasses import replace
from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.agreement.test_makespan_simulated import RULES, finished_s
from tests.small_lots import Form, a_set_up, small_lots
from tests.solvers.cycle.lots_proof import is_checked, proof_gaps
from tests.solvers.kernel.shop import arm_cell

SEEDS = range(8)  # range(80) by hand
WORK_S, SET_UP_S, HOLD_S, WAY_S = 30, 20, 5, 1


def changed_over(seed: int) -> Form:
    """A small random cell of two families whose machines have buffers of their own, or several slots, or both."""
    dice = Random(f"changed over {seed}")
    form = small_lots(seed, hands=dice.choice([1, 1, 2]), most=4)
    a_set_up(form, dice)
    for name in ("m1", "m2"):
        before, behind = dice.choice([(1, 0), (2, 0), (None, 0), (0, 1), (0, None), (1, 1), (2, 1)])
        form["stations"][name] |= {"in_queue": before, "out_queue": behind}
    if seed % 2:
        form["stations"]["m1"]["capacity"] = 2
    if seed % 4 == 1:  # slots alone, told by their names
        form["stations"]["m1"] |= {"in_queue": 0, "out_queue": 0}
    alike = {key: form["stations"]["m1"][key] for key in ("in_queue", "out_queue")}
    form["stations"]["m2"] |= alike
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_random_lots_are_checked(seed: int) -> None:
    """The validator has looked at the plan, changeovers and all, and no rule of dispatch is faster than its bound."""
    form = changed_over(seed)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=1.0, workers=1, seed=1)
    seen = [finished for rule in RULES if (finished := finished_s(form, rule)) is not None]

    assert is_checked(best)
    assert violations(cell_from(form), best) == []
    assert proof_gaps(best) == []
    assert min(seen, default=best.least_steps) >= best.least_steps


def slots_of_families() -> Form:
    """Two slots and three families, so that some slot has to be changed over."""
    form = two_families({"capacity": 2})
    row = form["parts"]["part2"]["route"]
    form["parts"]["part3"] = {"lot": {"size": 1}, "route": [row[0], row[1] | {"family": "family3"}, row[2]]}
    form["changeovers"] = [
        {"at": ["m1"], "from": f"family{one}", "to": f"family{other}", "duty": "set_up"}
        for one in (1, 2, 3)
        for other in (1, 2, 3)
        if one != other
    ]
    return form


def test_a_slot_is_changed_over_by_its_name() -> None:
    """One of two slots is changed over for the third family; where no part asks for that the plan is refused."""
    cell = cell_from(slots_of_families())
    found = shortest_makespan(cell, deadline=None, deterministic=None, workers=1, seed=1)
    changed = [event.station for event in found.events if event.what == "start" and event.attendant]
    for_others = replace(cell, changeovers=tuple(replace(each, to_family="other") for each in cell.changeovers))

    assert found.proven
    assert violations(cell, found) == []
    assert len(changed) == 1
    assert changed[0] in ("m1", "m1 slot 2")
    assert any("that no part asks for" in words for words in violations(for_others, found))


def two_families(queues: Form) -> Form:
    """A part of each of two families, a supply for each, and a person who changes the machine over."""
    form = arm_cell(1, time_s=WORK_S, way_s=WAY_S)
    form["goal"] = "makespan"
    form["stations"]["m1"] |= queues
    route = form["parts"]["part"]["route"]
    form["parts"] = {
        f"part{number}": {"lot": {"size": 1}, "route": [route[0], route[1] | {"family": f"family{number}"}, route[2]]}
        for number in (1, 2)
    }
    form["changeovers"] = [{"at": ["m1"], "from": "family1", "to": "family2", "duty": "set_up"}]
    form["attendants"]["person"] = {"kind": "operator", "home": "m1", "take_from": [], "put_to": []}
    takes = {"trigger": {"kind": "changeover"}, "who": ["person"], "takes": SET_UP_S, "holds": "station"}
    form["duties"] = {"set_up": takes}
    return form


def planned(queues: Form) -> tuple[Form, Schedule]:
    """The cell, and its plan."""
    form = two_families(queues)
    return form, shortest_makespan(cell_from(form), deadline=None, deterministic=1.0, workers=1, seed=1)


@pytest.mark.parametrize("queues", [{"in_queue": 1}, {"out_queue": 1}, {"in_queue": 1, "out_queue": 1}])
def test_by_hand(queues: Form) -> None:
    """One part of each family: brought, worked on, out of the machine (by hand, or into the buffer in no time); it is
    changed over, the next one taken in (out of the buffer in no time, or fetched), worked on and brought out."""
    bring = out = HOLD_S + WAY_S + HOLD_S
    leaves = 0 if "out_queue" in queues else HOLD_S
    comes = 0 if "in_queue" in queues else bring
    _, found = planned(queues)

    assert is_checked(found)
    whole_s = bring + WORK_S + leaves + SET_UP_S + comes + WORK_S + out
    assert (found.period_steps, found.proven) == (whole_s * 1000, True)


def set_up(found: Schedule) -> tuple[Event, Event]:
    """The beginning and the end of the changeover."""
    first, last = (next(e for e in found.events if e.what == what and e.attendant) for what in ("start", "finish"))
    return first, last


@pytest.mark.parametrize("queues", [{"in_queue": 1}, {"out_queue": 1}, {"in_queue": 1, "out_queue": 1}])
def test_a_changeover_that_nothing_waits_for_is_refused(queues: Form) -> None:
    """Without the waits for the old part, or without those of the new one, the arcs allow what the rules forbid."""
    form, found = planned(queues)
    first, last = set_up(found)
    own = {first.id, last.id}
    for apart in ("before", "after"):
        arcs = tuple(
            each for each in found.arcs if getattr(each, other(apart)) in own or getattr(each, apart) not in own
        )

        assert violations(cell_from(form), replace(found, arcs=arcs))


def other(end: str) -> str:
    """The other end of an arc."""
    return "after" if end == "before" else "before"


@pytest.mark.parametrize("queues", [{"in_queue": 1}, {"out_queue": 1}, {"in_queue": 1, "out_queue": 1}])
def test_a_plan_without_its_changeover_is_refused(queues: Form) -> None:
    """The plan for the same cell without changeovers: one is lacking."""
    form = two_families(queues)
    free = form | {"changeovers": [], "duties": {}}
    found = shortest_makespan(cell_from(free), deadline=None, deterministic=1.0, workers=1, seed=1)

    assert any("is changed over 0 times" in words for words in violations(cell_from(form), found))

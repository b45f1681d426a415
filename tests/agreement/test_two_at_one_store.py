"""Two arms at one store at one moment: whoever comes second there has to begin no sooner than the first, and need not
wait until it is over."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from tests.agreement.kept_period import assert_keeps_period
from tests.solvers.kernel.shop import Form, arm_cell

CELLS = {
    "no ways": (0, 1, (1, 6, 2, 0), 3, 0),
    "a way to the store": (1, 2, (4, 4, 4, 2), 2, 0),
    "a lead before the lift": (0, 2, (0, 5, 1, 0), 3, 2),
}  # ways, hands, lift raw, lift and set down at the store, set down at the end, room, lead


def by_way_of_a_shelf(way_s: int, hands: int, holds_s: tuple[int, int, int, int], room: int, lead_s: int) -> Form:
    """Raw parts to a shelf and from there out of the cell, by two arms of which each may do everything."""
    raw_s, lift_s, set_s, done_s = holds_s
    form = arm_cell(1, way_s=way_s, hands=hands) | {"grid_s": 1.0}
    del form["stations"]["m1"]
    form["stations"]["shelf"] = {"kind": "store", "place": "m1", "capacity": room}
    who = ["arm", "second"]
    form["attendants"]["second"] = dict(form["attendants"]["arm"])
    form["dispatch"] = {name: {"rule": "cycle"} for name in who}
    form["handling"] = [
        {"who": who, "at": ["raw"], "pick": {"hold_s": raw_s}},
        {"who": who, "at": ["done"], "place": {"hold_s": done_s}},
        {"who": who, "at": ["shelf"], "pick": {"hold_s": lift_s, "lead_s": lead_s}, "place": {"hold_s": set_s}},
    ]
    form["parts"] = {"part": {"route": [{"at": ["raw"]}, {"at": ["shelf"]}, {"at": ["done"]}]}}
    return form


@pytest.mark.parametrize("name", CELLS)
def test_two_may_handle_at_a_store_at_one_moment(name: str) -> None:
    """The run keeps the period of the proven cycle; where the second waited for the first it took up to half as long
    again."""
    cell = cell_from(by_way_of_a_shelf(*CELLS[name]))
    best = best_cycle(cell, effort=Effort(deterministic=0.2, most_sets=2))

    assert best.proven
    assert any(each.begun for ops in compiled(cell, schedule=best).ways.ops for op in ops for each in op.waits)
    assert_keeps_period(cell, best)


def by_two_machines_to_one_gate() -> Form:
    """Each arm feeds its own machine from a gate that takes one of them at a time; bringing a part back has a lead."""
    form = arm_cell(2, way_s=0, time_s=1) | {"grid_s": 1.0}
    form["stations"] = {"g": {"kind": "gate", "place": "in"}} | {at: form["stations"][at] for at in ("m1", "m2")}
    arm = form["attendants"]["arm"]
    form["attendants"] = {
        who: arm | {"take_from": ["g", at], "put_to": ["g", at]} for who, at in (("arm", "m1"), ("second", "m2"))
    }
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    form["handling"] = [
        {"who": list(form["attendants"]), "at": ["g"], "pick": {"hold_s": 1}, "place": {"hold_s": 3, "lead_s": 3}},
        {"who": list(form["attendants"]), "at": ["m1", "m2"], "pick": {"hold_s": 1}, "place": {"hold_s": 1}},
    ]
    for step in (0, 2):
        form["parts"]["part"]["route"][step]["at"] = ["g"]
    return form


def test_a_lead_runs_while_another_is_still_at_work_there() -> None:
    """At a gate a lead begins when the arm arrives, not when the other is done: ten seconds for two parts."""
    cell = cell_from(by_two_machines_to_one_gate())
    best = best_cycle(cell, effort=Effort(deterministic=0.3, most_sets=2))

    assert best.period_steps == 5 * best.parts_per_period
    assert_keeps_period(cell, best)

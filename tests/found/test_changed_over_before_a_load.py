"""Only the first part of a load was fetched after the changeover that the load needs; a hand that was free lifted the
second one before it."""

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.lots.makespan_graph import timed
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import lots_of
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.cycle.test_makespan import families
from tests.solvers.kernel.shop import Form


def loads_of_families() -> Form:
    """A pair of plates and a pair of shafts for a machine that takes two at once, and an arm with two hands."""
    form = families([("large", "small")])
    form["attendants"]["arm"]["hands"] = 2
    form["stations"]["m1"]["batch"] = 2
    for part in form["parts"].values():
        part["lot"]["size"] = 2
    return form


def test_every_part_of_a_load_is_fetched_after_the_changeover() -> None:
    """In the proven plan, which the validator has looked at, and by the waits of any simple one."""
    cell = cell_from(loads_of_families())
    best = shortest_makespan(cell, deadline=None, deterministic=2.0, workers=1, seed=1)
    over = next(event.at_steps for event in best.events if event.what == "finish" and event.attendant)
    plan = first_plan(lots_of(cell))

    assert proof_gaps(best) == []
    assert all(e.at_steps >= over for e in best.events if (e.what, e.station, e.part) == ("lift", "raw", "shaft"))
    assert plan is not None
    waits = [arc.after for arc in timed(lots_of(cell), plan).arcs if arc.before.split(" ")[1:3] == ["finish", "set_up"]]
    assert sorted(name.split(" ")[3] for name in waits if " lift " in name) == ["1", "2"]

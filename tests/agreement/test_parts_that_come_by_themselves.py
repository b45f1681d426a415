"""Machines to which some parts come by themselves and others are brought, or from several buffers: the run under the
rule `cycle` keeps the order of the schedule, and goes on where a part is lost."""

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import finished_run
from tests.agreement.kept_period import assert_keeps_period
from tests.solvers.kernel.shop import Form, arm_cell, counts_of


def cell_with(machines: Form, routes: list[Form], *, hands: int = 1, way_s: int = 2) -> Form:
    """An arm that lifts and sets down in 2 s each, its machines, perhaps a shelf for two, and a type for each route."""
    form = arm_cell(len(machines), hands=hands, way_s=way_s) | {"grid_s": 0.5}
    for name, own in machines.items():
        form["stations"][name] |= own
    if any("shelf" in route for route in routes):
        form["stations"]["shelf"] = {"kind": "store", "place": "out", "capacity": 2}
        form["handling"][1] |= {"at": ["done", "shelf"], "pick": {}}
    for row in form["handling"]:
        row |= {kind: {"hold_s": 2} for kind in ("pick", "place") if kind in row}
    form["parts"] = {
        f"part{number}": {"share": 1 / len(routes), "route": [{"at": ["raw"]}, *steps_of(route), {"at": ["done"]}]}
        for number, route in enumerate(routes)
    }
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


def steps_of(route: Form) -> list[Form]:
    """The steps of a route, in machines for so many seconds each; a machine's name may be followed by a point."""
    return [{"at": [name.rstrip(".")]} | ({"time_s": s} if s else {}) for name, s in route.items()]


def cells() -> dict[str, Form]:
    """One of each kind; all of them stood still when what came by itself came as soon as it could."""
    puts_out = {"self_out": True}
    return {
        "a machine that is fed by another and by hand": cell_with(
            {"m1": puts_out | {"out_queue": 1}, "m2": {}}, [{"m1": 40, "m2": 20}, {"m2": 10}], hands=2
        ),
        "a machine that a part comes back to by itself": cell_with(
            {"m1": puts_out, "m2": {}}, [{"m2": 29, "m1": 10, "m2.": 7}]
        ),
        "two buffers before one machine": cell_with(
            {"m1": puts_out | {"capacity": 2, "out_queue": 2}, "m2": {}}, [{"m1": 43, "m2": 26, "shelf": 0}], way_s=3
        ),
    }


def found(form: Form) -> tuple[Cell, Schedule]:
    """The cell and its best cycle."""
    cell = cell_from(form)
    return cell, best_cycle(cell, effort=Effort(deterministic=0.3, most_sets=2))


@pytest.mark.parametrize("name", cells())
def test_the_run_makes_what_the_cycle_makes(name: str) -> None:
    """What comes by itself keeps the order of what is brought."""
    cell, best = found(cells()[name])

    assert_keeps_period(cell, best)


@pytest.mark.parametrize("name", cells())
def test_where_parts_are_lost_the_run_goes_on(name: str) -> None:
    """One in ten is scrapped at the last machine, and another now and then in a stop of the first: parts leave in each
    tenth of the run."""
    form = cells()[name]
    _, best = found(form)
    for part in form["parts"].values():
        work = [step for step in part["route"] if "time_s" in step]
        if len(work) > 1:
            work[0]["good"], work[-1]["on_bad"] = 0.9, "scrap_this"
    stop = {"id": "stop", "on": "busy", "every": {"dist": "exponential", "mean_s": 600}, "self_s": 60}
    form["stations"]["m1"]["faults"] = [stop | {"keeps_part": False}]
    cell, tenth = cell_from(form), 50 * best.period_steps
    run = finished_run(compiled(cell, schedule=best), 10 * tenth, seed=1, replication=0, logging=True)
    out = [float(line["t_s"]) for line in log_of(run) if line["what"] == "out"]

    assert counts_of(run)["scrapped"] > 10
    assert {int(when / cell.grid_s) // tenth for when in out} == set(range(10))


def two_arms_that_wait() -> Form:
    """Two arms over a machine with two slots, to which one type comes back, and one that puts out by itself."""
    form = cell_with(
        {"m1": {"capacity": 2}, "m2": {"self_out": True}},
        [{"m2": 38, "m1": 35, "m2.": 15}, {"m1": 31, "m1.": 50}],
        way_s=5,
    )
    for part, share in zip(form["parts"].values(), (2 / 3, 1 / 3), strict=True):
        part["share"] = share
    form["attendants"]["second"] = dict(form["attendants"]["arm"])
    form["dispatch"] = {who: {"rule": "cycle"} for who in form["attendants"]}
    for row, hold_s in zip(form["handling"], ({"pick": 5}, {"place": 3}, {"pick": 5, "place": 3}), strict=True):
        row |= {"who": list(form["attendants"])} | {kind: {"hold_s": each} for kind, each in hold_s.items()}
    return form


def test_two_who_wait_for_each_other_after_a_loss_go_on() -> None:
    """One arm held a part for which the other had to make room, and that one waited for the first to do more: one of
    them does what is not in its turn."""
    form = two_arms_that_wait()
    best = best_cycle(cell_from(form), effort=Effort(deterministic=0.2, most_sets=1))
    first, last = (step for step in form["parts"]["part1"]["route"] if "time_s" in step)
    first["good"], last["on_bad"] = 0.9, "scrap_this"
    cell, tenth = cell_from(form), 50 * best.period_steps
    run = finished_run(compiled(cell, schedule=best), 10 * tenth, seed=1, replication=0, logging=True)
    out = [float(line["t_s"]) for line in log_of(run) if line["what"] == "out"]

    assert counts_of(run)["scrapped"] > 10
    assert {int(when / cell.grid_s) // tenth for when in out} == set(range(10))

"""With one hand nobody waits with a part where it cannot be served: a run lifts it no sooner than the schedule does."""

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from tests.agreement.kept_period import assert_keeps_period
from tests.solvers.kernel.shop import Form, arm_cell


def two_arms() -> Form:
    """Two types over three machines, one of which takes loads of two; two arms of which each may do everything."""
    form = arm_cell(3, way_s=5) | {"grid_s": 0.5}
    form["stations"]["m1"]["batch"] = 2
    form["stations"]["m2"] |= {"in_queue": 1, "out_queue": 2}
    form["stations"]["m3"]["in_queue"] = 1
    form["parts"] = {
        "long": {"share": 0.5, "route": route({"m2": 26, "m3": 41, "m1": 3})},
        "short": {"share": 0.5, "route": route({"m1": 13})},
    }
    form["attendants"]["second"] = dict(form["attendants"]["arm"])
    form["dispatch"] = {name: {"rule": "cycle"} for name in form["attendants"]}
    holds = [{"pick": 4}, {"place": 6}, {"pick": 3, "place": 1}]
    for row, hold_s in zip(form["handling"], holds, strict=True):
        row |= {"who": list(form["attendants"])} | {kind: {"hold_s": each} for kind, each in hold_s.items()}
    return form


def route(machines: dict[str, int]) -> list[Form]:
    """From the raw parts through machines, in each for so many seconds."""
    return [{"at": ["raw"]}, *({"at": [name], "time_s": s} for name, s in machines.items()), {"at": ["done"]}]


def test_a_run_is_no_faster_than_its_cycle_by_lifting_too_early() -> None:
    """A part was lifted while the other arm still had to empty the next machine, and held before it for up to 25 s: the
    run took 104 s where the schedule, which nobody may keep so, takes 115 s."""
    cell = cell_from(two_arms())
    best = best_cycle(cell, effort=Effort(deterministic=0.3, most_sets=2))

    assert_keeps_period(cell, best)

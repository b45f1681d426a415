"""Runs under the rule `cycle` in which a part is lost: nothing else is missing, and after it the cell makes what its
cycle makes."""

from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import finished_run
from tests.agreement.kept_period import PERIODS
from tests.agreement.test_parts_that_come_by_themselves import cell_with
from tests.solvers.kernel.shop import Form

LOST_AT = 0.6  # of the run


def with_second_arm(form: Form) -> Form:
    """Another arm of the same kind, that may do the same."""
    form["attendants"]["second"] = dict(form["attendants"]["arm"])
    for row in form["handling"]:
        row["who"] = ["arm", "second"]
    form["dispatch"]["second"] = {"rule": "cycle"}
    return form


def cells() -> dict[str, tuple[Form, str]]:
    """Cells, and the machine at which a part is lost; in all of them somebody waited for it in its place for ever, or
    took up a part for which no room was left."""
    puts_out = {"self_out": True}
    return {
        "an arm that exchanges": (
            cell_with({"m1": {}, "m2": puts_out | {"capacity": 2}}, [{"m2": 6, "m1": 37}], hands=2, way_s=5),
            "m2",
        ),
        "two arms and a machine to which four kinds come": (
            with_second_arm(
                cell_with(
                    {"m1": puts_out | {"capacity": 2, "in_queue": 1}, "m2": {}, "m3": puts_out},
                    [{"m1": 16, "m3": 21}, {"m3": 23, "m2": 46, "m3.": 45}],
                )
            ),
            "m2",
        ),
        "loads of two that lose a mate": (
            cell_with({"m1": puts_out, "m2": {"batch": 2}}, [{"m1": 20, "m2": 50}]),
            "m1",
        ),
        "one hand, and a buffer to which three kinds come": (
            cell_with(
                {"m1": {"in_queue": 1}, "m2": puts_out},
                [{"m2": 22, "m1": 10, "shelf": 0, "m1.": 46}, {"m1": 5, "shelf": 0}],
                way_s=5,
            ),
            "m1",
        ),
    }


@pytest.mark.parametrize("name", cells())
def test_after_a_part_is_lost_the_run_makes_what_the_cycle_makes(name: str) -> None:
    """One load is spoiled by a stop of no time that counts: by the last third of the run its hole has gone through."""
    form, machine = cells()[name]
    best = best_cycle(cell_from(form), effort=Effort(deterministic=0.3, most_sets=2))
    loads = sum(event.what == "start" and event.station.split(" ")[0] == machine for event in best.events)
    of_each = form["stations"][machine].get("batch", 1) * form["stations"][machine].get("capacity", 1)
    spoilt: dict[str, Any] = {"id": "stop", "on": "load", "every": int(LOST_AT * PERIODS * loads / of_each)}
    form["stations"][machine]["faults"] = [spoilt | {"self_s": 1, "keeps_part": False}]
    cell = cell_from(form)

    run = finished_run(compiled(cell, schedule=best), PERIODS * best.period_steps, seed=1, replication=0, logging=True)
    lines = log_of(run)
    out = [float(line["t_s"]) for line in lines if line["what"] == "out"]
    late = out[-len(out) // 3 :]

    assert sum(line["what"] == "scrapped" for line in lines) >= 1
    one_s = best.period_steps * cell.grid_s / best.parts_per_period
    assert (late[-1] - late[0]) / (len(late) - 1) == pytest.approx(one_s, rel=2 * best.parts_per_period / len(late))

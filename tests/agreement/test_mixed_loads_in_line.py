"""Parts of several types that wait in line before one machine, or in one store: the simulation repeats the cycle.

A machine takes out of its own buffer what completes the load that it has begun, also past parts of another type, and
begins loads in the order of the schedule, for which it may wait; whoever lifts out of a store or of the buffer behind a
machine takes the type that the schedule lifts there.
"""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.solvers.kernel.shop import Form, arm_cell

Pair = tuple[int, int]
Line = tuple[tuple[int, int, int], int, Pair, Pair, Pair]
# parts of a load, places before and behind the machine; way, hold and tail of lift and of set-down, work of both types
LINES = (
    ((2, 3, 0), 0, (5, 3), (4, 3), (42, 18)),
    ((2, 3, 0), 4, (6, 3), (5, 0), (68, 46)),
    ((1, 3, 0), 4, (4, 0), (4, 2), (6, 47)),
    ((1, 2, 0), 4, (4, 3), (2, 3), (38, 20)),
)


def in_line(line: Line) -> Form:
    """An arm with one hand, a machine with a buffer before it, two types half and half."""
    (batch, before, behind), way_s, lift, place, works = line
    form = arm_cell(1, way_s=way_s)
    form["stations"]["m1"] |= {"batch": batch, "in_queue": before, "out_queue": behind}
    form["handling"][2] |= {
        kind: {"hold_s": hold, "tail_s": tail} for kind, (hold, tail) in (("pick", lift), ("place", place))
    }
    form["parts"] = {
        name: {"share": 0.5, "route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": work}, {"at": ["done"]}]}
        for name, work in zip(("part", "other"), works, strict=True)
    }
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


@pytest.mark.parametrize("line", LINES)
def test_mixed_loads_in_line_keep_the_period(line: Line) -> None:
    """With nothing left to chance the run of an empty cell settles into the schedule's period, to the grid step."""
    repeats(in_line(line), most_sets=2)


def test_a_type_is_lifted_out_of_a_store_past_others() -> None:
    """Of three types in one store the arm lifts the one that the schedule lifts there, not what came first."""
    form = arm_cell(1, way_s=1)
    form["stations"] |= {
        "st": {"kind": "store", "place": "out", "capacity": None},
        "n1": {"kind": "process", "place": "out"},
    }
    form["stations"]["m1"] |= {"in_queue": 1}
    form["handling"].append({"who": ["arm"], "at": ["st", "n1"], "pick": {"hold_s": 2}, "place": {"hold_s": 2}})
    works = {"part": (16, 40), "other": (13, 39), "third": (75, 6)}
    form["parts"] = {
        name: {
            "share": 0.5 if name == "third" else 0.25,
            "route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": first}]
            + ([{"at": ["st"]}] if name != "other" else [])
            + [{"at": ["n1"], "time_s": second}, {"at": ["done"]}],
        }
        for name, (first, second) in works.items()
    }
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    repeats(form, most_sets=1)


def repeats(form: Form, *, most_sets: int) -> None:
    """The schedule keeps all rules, and the run its period."""
    cell = cell_from(form)
    best = best_cycle(cell, effort=Effort(deterministic=0.5, most_sets=most_sets))

    assert violations(cell, best) == []
    assert keeps_the_period(cell, best)

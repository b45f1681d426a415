"""Loads of two types that wait in line before one machine: the simulation repeats the cycle.

A machine takes out of its own buffer what completes the load that it has begun, also past parts of the other type, as
the schedule does; an empty one begins a load that is all there before one that is not.
"""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from tests.agreement.test_cycle_simulated import keeps_the_period
from tests.solvers.kernel.shop import Form, arm_cell

Pair = tuple[int, int]
Line = tuple[Pair, int, Pair, Pair, Pair]
# places before and behind the machine, way, hold and tail of lift and of set-down, work of both types
LINES = (
    ((3, 0), 0, (5, 3), (4, 3), (42, 18)),
    ((3, 0), 4, (6, 3), (5, 0), (68, 46)),
)


def in_line(line: Line) -> Form:
    """An arm with one hand, a machine with loads of two, two types half and half."""
    (before, behind), way_s, lift, place, works = line
    form = arm_cell(1, way_s=way_s)
    form["stations"]["m1"] |= {"batch": 2, "in_queue": before, "out_queue": behind}
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
def test_mixed_loads_in_line_keep_the_period(
    line: Line,
) -> None:
    """With nothing left to chance the run of an empty cell settles into the schedule's period, to the grid step."""
    cell = cell_from(in_line(line))
    best = best_cycle(cell, effort=Effort(deterministic=0.5, most_sets=2))

    assert violations(cell, best) == []
    assert keeps_the_period(cell, best)

"""Somebody takes a part out of a machine and puts it in again for its next step there: a plan for lots left that out of
what it told, and forgot the turn before it."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import arm_cell


@pytest.mark.parametrize("hands", [1, 2])
def test_a_part_is_put_in_again(hands: int) -> None:
    """Lift 5, way 4, set down 5, work 100, lift 5, turn 2, set down 5, work 30, lift 5, way 4, set down 5."""
    form = arm_cell(1, hands=hands) | {"goal": "makespan", "grid_s": 1}
    del form["dispatch"]
    form["attendants"]["arm"]["turn_s"] = 2
    part = form["parts"]["part"]
    part["lot"] = {"size": 1}
    part["route"].insert(2, {"at": ["m1"], "time_s": 30})
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)

    assert proof_gaps(found) == []
    assert (found.period_steps, found.proven) == (14 + 100 + 5 + 2 + 5 + 30 + 14, True)
    assert [event.what for event in found.events if event.station == "m1"].count("set") == 2

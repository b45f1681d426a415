"""Routes that come back to machines with several slots or buffers of their own, or to a shelf: the run repeats the
cycle, for an attendant lifts the part of the step that the schedule means."""

from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from tests.agreement.kept_period import assert_keeps_period
from tests.solvers.kernel.shop import Form, arm_cell

SEEDS = (3, 4, 7, 14, 16, 27, 33)  # range(40) by hand
LOOPS = (("m1", "m2", "m1"), ("m1", "m2", "m1", "m2"), ("m1", "m1"), ("m1", "m2", "m2"))
OVER_A_SHELF = (("m1", "shelf", "m2", "shelf"), ("m1", "shelf", "m2", "shelf", "m1"))


def returning(seed: int) -> Form:
    """An arm with one hand or two, two machines of one slot to three, perhaps a shelf, and a route that comes back."""
    dice = Random(f"returning {seed}")
    form = arm_cell(2, hands=dice.choice([1, 1, 2]), way_s=dice.randint(0, 5)) | {"grid_s": 0.5}
    for name in ("m1", "m2"):
        own = {"in_queue": int(dice.random() < 0.2), "out_queue": int(dice.random() < 0.2)}
        form["stations"][name] |= own | {"capacity": dice.choice([1, 2, 3])}
    route = dice.choice(OVER_A_SHELF if dice.random() < 0.5 else LOOPS)
    if "shelf" in route:
        capacity, place = dice.choice([1, 2, 3, None]), dice.choice(["m2", "out"])
        form["stations"]["shelf"] = {"kind": "store", "place": place, "capacity": capacity}
        form["handling"][1] |= {"at": ["done", "shelf"], "pick": {}}
    for row in form["handling"]:
        row |= {kind: {"hold_s": dice.randint(0, 6)} for kind in ("pick", "place") if kind in row}
    steps = [{"at": [name]} | ({} if name == "shelf" else {"time_s": dice.randint(2, 50)}) for name in route]
    form["parts"]["part"]["route"] = [{"at": ["raw"]}, *steps, {"at": ["done"]}]
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    return form


@pytest.mark.parametrize("seed", SEEDS)
def test_the_run_makes_what_the_cycle_makes(seed: int) -> None:
    """In random cells, some with buffers and a shelf."""
    cell = cell_from(returning(seed))
    best = best_cycle(cell, effort=Effort(deterministic=0.3, most_sets=2))

    assert_keeps_period(cell, best)

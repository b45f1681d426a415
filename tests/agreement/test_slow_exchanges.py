"""Lines of two machines whose exchange takes longer than lifting, turning and setting down: in one visit the old part
may be lifted and the next one set down too, with a part for a further machine in each hand meanwhile."""

import random
from itertools import pairwise
from typing import Any

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.running import finished_run
from tests.agreement.random_small import small_cell
from tests.cycle_oracle import best_one_unit
from tests.solvers.kernel.shop import times_s

PLACES = ["in", "out", "one", "two"]
MACHINES = ["m1", "m2"]


def line(dice: random.Random) -> dict[str, Any]:
    """A random line of two machines, an arm with two hands, half seconds throughout."""
    pick, place = ({"hold_s": dice.randint(1, 5)} for _ in range(2))
    swap = {"hold_s": pick["hold_s"] + place["hold_s"] + dice.choice([0, 0.5, 1, 3])}
    for visit in (pick, place, swap):
        if dice.random() < 0.3:
            visit |= {"lead_s": dice.randint(1, 3), "lead_on": dice.choice(["arrival", "finish"])}
        if dice.random() < 0.3:
            visit |= {"tail_s": dice.randint(1, 3)}
    ways = [[0 if one == other else dice.randint(1, 6) for other in PLACES] for one in PLACES]
    steps = [{"at": [name], "time_s": dice.randint(0, 40)} for name in MACHINES]
    return {
        "format": "millhand-cell/1",
        "name": "two machines in a row with a slow exchange",
        "grid_s": 0.5,
        "places": {place: {} for place in PLACES},
        "stations": {
            "raw": {"kind": "supply", "place": "in", "capacity": None},
            "m1": {"kind": "process", "place": "one"},
            "m2": {"kind": "process", "place": "two"},
            "done": {"kind": "sink", "place": "out", "capacity": None},
        },
        "attendants": {
            "arm": {"kind": "arm", "hands": 2, "turn_s": dice.choice([0, 0.5, 1, 2]), "home": "in", "moves": "ways"}
        },
        "moves": {"ways": {"places": PLACES, "empty_s": ways}},
        "handling": [
            {"who": ["arm"], "at": ["raw"], "pick": {"hold_s": dice.randint(0, 3)}},
            {"who": ["arm"], "at": ["done"], "place": {"hold_s": dice.randint(0, 3)}},
            {"who": ["arm"], "at": MACHINES, "pick": pick, "place": place, "swap": swap},
        ],
        "parts": {"part": {"route": [{"at": ["raw"]}, *steps, {"at": ["done"]}]}},
    }


@pytest.mark.parametrize("seed", range(24))
def test_no_order_with_either_way_to_exchange_is_shorter(seed: int) -> None:
    """With one part a period what is found is what all orders of lifts, set-downs and exchanges say, and is proven."""
    cell = cell_from(line(random.Random(seed)))

    found = best_cycle(cell, effort=Effort(most_sets=1))

    assert (found.period_steps, found.proven) == (best_one_unit(cell), True)


@pytest.mark.parametrize("seed", range(24))
def test_the_simulation_keeps_the_best_cycle(seed: int) -> None:
    """Following the schedule with nothing left to chance, a part comes out each period once the line is full."""
    form = line(random.Random(seed))
    form["dispatch"] = {"arm": {"rule": "cycle"}}
    cell = cell_from(form)
    best = best_cycle(cell, effort=Effort(most_sets=1))
    run = finished_run(compiled(cell, schedule=best), 80 * best.period_steps, seed=1, replication=0, logging=True)
    late = [round(at / cell.grid_s) for at in times_s(run, "out")][40:]

    assert len(late) > 30
    assert {after - before for before, after in pairwise(late)} == {best.period_steps}


def test_an_exchange_whose_lead_waits_for_the_arm_is_not_as_good() -> None:
    """A door that opens as soon as machining is over, but for an exchange only when the arm is there: 51 s, not 54."""
    cell = small_cell(770_000_138)

    found = best_cycle(cell, effort=Effort(most_sets=1))

    assert (found.period_steps, found.proven) == (51, True)
    assert best_one_unit(cell) == 51


def test_two_raw_parts_fetched_at_once_leave_no_hand_for_an_exchange() -> None:
    """What is best where no exchange exists is told as a fault where one may be needed, if it fills both hands."""
    form = line(random.Random(0))
    form["handling"][2] = {"who": ["arm"], "at": MACHINES, "pick": {"hold_s": 1}, "place": {"hold_s": 1}}
    form["parts"]["part"]["route"][1:3] = [{"at": MACHINES, "time_s": 5}]
    found = best_cycle(cell_from(form), effort=Effort(most_sets=2))
    form["handling"][2]["swap"] = {"hold_s": 9}

    told = violations(cell_from(form), found)

    assert told == ["arm has a raw part in every hand after raw: none is free for an exchange"]

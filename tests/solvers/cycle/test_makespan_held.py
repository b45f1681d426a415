"""The bound of machines in a row that one attendant with two hands serves, against proven plans and other bounds."""

from random import Random

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.lots.makespan_held import delayed, held_bounds
from millhand.solvers.cycle.lots.makespan_lots import lots_of
from millhand.solvers.cycle.makespan import makespan_bounds, shortest_makespan
from tests.solvers.cycle.lots_rows import row_form

UNLIKE = [[47, 102, 138], [132, 127, 38]]  # the first type is held up by the last machine, the second by the first


def test_one_part_at_a_time_may_be_passed() -> None:
    """By hand: of two parts and a third one, one at a time stays behind."""
    assert delayed((1, 1, 2)) == {(1, 1, 2), (1, 2, 1)}
    assert delayed((1, 2, 3)) == {(1, 2, 3), (1, 3, 2), (2, 1, 3), (2, 3, 1)}


def test_it_is_the_largest_where_the_types_are_held_up_elsewhere() -> None:
    """Each machine alone has time enough for all; that one part at most is held between them costs more."""
    bounds = makespan_bounds(lots_of(cell_from(row_form(UNLIKE, size=6, hands=2))))

    assert bounds[0].resource == "m1, m2 and m3"
    assert "holds one part between two" in bounds[0].words
    assert bounds[0].steps > 1.05 * bounds[1].steps


@pytest.mark.parametrize("seed", range(4))  # range(100) by hand
def test_no_plan_is_shorter(seed: int) -> None:
    """Random rows of two machines with ways, leads, tails and turns of their own: the best plan takes so long."""
    dice = Random(f"held {seed}")
    form = row_form([[dice.randint(0, 40) for _ in range(2)] for _ in range(2)], size=2, hands=2)
    form["attendants"]["arm"]["turn_s"] = dice.choice([0, 2])
    for kind in ("pick", "place", "swap"):
        visit = {"hold_s": dice.randint(1, 9), "lead_s": dice.choice([0, 2]), "tail_s": dice.choice([0, 3])}
        form["handling"][2][kind] = visit | {"lead_on": dice.choice(["arrival", "finish"])}
    ways = form["moves"]["ways"]
    ways["empty_s"] = [[0 if a == b else dice.randint(1, 9) for b in ways["places"]] for a in ways["places"]]
    cell = cell_from(form)
    (bound,) = held_bounds(lots_of(cell))

    assert bound.steps <= shortest_makespan(cell, deadline=None, deterministic=1.0, workers=1, seed=1).period_steps

"""A simple plan for lots ended a chain of exchanges in an empty machine without changing it over for the part that
came; the search was then asked for something shorter than such a plan, and forbade all."""

from random import Random

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.small_lots import a_set_up, small_lots
from tests.solvers.cycle.lots_proof import proof_gaps


def test_an_arm_that_exchanges_and_changes_over() -> None:
    """Three parts of two families, an arm with two grippers: 195 s, proven, and checked by the validator."""
    form = small_lots(19, hands=2)
    a_set_up(form, Random("hands 19"))
    form["duties"]["set_up"]["who"] = ["arm1"]
    form["attendants"].pop("person", None)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=4.0, workers=1, seed=1)

    assert proof_gaps(best) == []
    assert (best.period_steps, best.proven) == (195, True)

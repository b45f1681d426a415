"""The shortest makespan against the simulation: no rule of dispatch is faster, when nothing is left to chance."""

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import cell_from
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.kernel.replications import simulate
from tests.small_lots import Form, rich_lots, small_lots
from tests.solvers.cycle.lots_proof import proof_gaps

SEEDS = range(3)  # range(10) by hand
RICH_SEEDS = range(9)  # one of each kind; range(10, 54) by hand
DETERMINISTIC = 2.0
RULES = ("longest_waiting", "first_to_finish", "nearest")


def finished_s(form: Form, rule: str) -> float | None:
    """When the simulation has finished the lots; None where its rule lets parts block each other."""
    form["dispatch"] = {who: {"rule": rule} for who, each in form["attendants"].items() if each["kind"] == "arm"}
    try:
        output = simulate(cell_from(form), hours=1.0, replications=1)
    except ToolError as error:
        if error.code != "deadlock":
            raise
        return None
    return None if output.finished_s is None else output.finished_s.mean


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("kind", ["one gripper", "two grippers", "two arms"])
def test_no_rule_is_faster_than_the_shortest_makespan(seed: int, kind: str) -> None:
    """Each rule of dispatch takes at least as long as the proven plan, and some rule finishes at all."""
    form = small_lots(seed, hands=2 if kind == "two grippers" else 1, arms=2 if kind == "two arms" else 1)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=None, workers=1, seed=1)
    found = [finished for rule in RULES if (finished := finished_s(form, rule)) is not None]

    assert best.proven
    assert min(found, default=best.period_steps) >= best.period_steps


@pytest.mark.parametrize("seed", RICH_SEEDS)
def test_no_rule_is_faster_in_richer_cells(seed: int) -> None:
    """Loads of two, own buffers, slots, stores, gates, parts that move by themselves, attended machines, changeovers,
    several supplies: each rule takes at least as long as the bound."""
    form = rich_lots(seed)
    best = shortest_makespan(cell_from(form), deadline=None, deterministic=DETERMINISTIC, workers=1, seed=1)
    found = [finished for rule in RULES if (finished := finished_s(form, rule)) is not None]

    assert proof_gaps(best) == []
    assert min(found, default=best.least_steps) >= best.least_steps

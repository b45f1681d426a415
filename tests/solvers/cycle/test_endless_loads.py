"""Exchanges of loads in endless slots, as the search knows them."""

from millhand.intake.cell import cell_from
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.endless_loads import exchanges_at
from millhand.solvers.cycle.searching.jobs import jobs_of
from millhand.solvers.cycle.searching.program import add_swaps, started
from millhand.solvers.cycle.searching.stays import spots_at
from tests.solvers.kernel.shop import arm_cell


def test_loads_that_stand_for_further_steps_are_exchanged_within_their_slots_too() -> None:
    """An oven with endless slots beside a machine with a buffer behind it: parts of the oven are lifted at the buffer's
    step. The rule that keeps an exchange in its slot has to know each of them; it knew none, so cycles were refused."""
    form = arm_cell(2, hands=2)
    form["stations"]["m1"] |= {"capacity": None, "batch": 2}
    form["stations"]["m2"]["out_queue"] = 1
    view = scope(cell_from(form))
    program = started(view, jobs_of(view, 4), least=1, longest=1000)
    add_swaps(program)
    spots = list(spots_at(program, "m1"))
    known = [(old, new) for old, new, _ in exchanges_at(program, "m1", spots)]

    assert len(known) == sum(station == "m1" for _, station, _, _ in program.swaps) == 4 * 4
    assert {step for pair in known for _, _, step in pair} == {1}

"""Exchanges of loads in endless slots: as the search knows them, and what is claimed of them."""

from dataclasses import replace

from millhand.intake.cell import cell_from
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.best import Hunt
from millhand.solvers.cycle.effort import STUDY
from millhand.solvers.cycle.kept import Kept
from millhand.solvers.cycle.no_swaps import known
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.endless_loads import exchanges_at
from millhand.solvers.cycle.searching.jobs import jobs_of
from millhand.solvers.cycle.searching.program import add_swaps, started
from millhand.solvers.cycle.searching.search import Answer
from millhand.solvers.cycle.searching.stays import spots_at
from tests.solvers.kernel.shop import Form, arm_cell


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


def test_a_search_proves_nothing_of_loads_exchanged_in_part() -> None:
    """No search looks at a load that is exchanged in part and filled up by set-downs: a finished search leaves the
    bound as it was and says what it was restricted to. Where nothing can be exchanged it is a proof."""
    form = arm_cell(1, hands=2)
    form["stations"]["m1"] |= {"capacity": None, "batch": 2}
    told = finished_search(form).told
    del form["handling"][2]["swap"]
    plain = finished_search(form).told

    assert (told.proven, told.least_steps) == (False, 2)
    assert told.how.endswith(
        "; none with 2 part sets a period is shorter per part of those that exchange a load at m1 whole or not at all"
    )
    assert (plain.proven, plain.least_steps) == (True, plain.period_steps)
    assert plain.how.endswith("; none with 2 part sets a period is shorter per part")


def finished_search(form: Form) -> Kept:
    """What is told of a cycle after a search with two part sets that found nothing shorter, the bound far below."""
    cell = cell_from(form)
    best = Schedule(
        cell="",
        grid_s=cell.grid_s,
        period_steps=50_000,
        parts_per_period=2,
        bounds=(),
        events=(),
        arcs=(),
        critical=(),
        proven=False,
        how="searched",
        left_out=(),
    )
    answer = Answer(cycle=None, least_steps=best.period_steps, complete=True)
    view = scope(cell)
    hunt = Hunt(cell=cell, view=view, left=STUDY, loads=1.0, hands=0.0, best=best, answers={2: answer})
    return hunt.told(best)


def test_the_kind_that_is_not_proven_is_told_with_its_reason() -> None:
    """A cycle without exchanges that no other without them beats; of those with exchanges only some were looked at."""
    form = arm_cell(1, hands=2)
    form["stations"]["m1"] |= {"capacity": None, "batch": 2}
    cell = cell_from(form)
    best = finished_search(form)
    plain = Kept(
        cycle=replace(best.cycle, proven=True, least_steps=best.cycle.period_steps), found="searched", swaps=False
    )
    longer = replace(best, cycle=replace(best.cycle, period_steps=best.cycle.period_steps + 1))
    told = known(plain, longer, cell).told

    assert (told.proven, told.least_steps) == (False, 2)
    assert told.how.endswith("; with exchanges in one visit only loads exchanged whole were looked at")

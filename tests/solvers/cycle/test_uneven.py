"""Like machines that need not share the work equally: where the arm sets the pace, the near one may do more, or all."""

from dataclasses import replace

from millhand.cli.schedule_machines import machine_lines
from millhand.model.cell import Cell, CellPart, MoveTable, Step
from millhand.solvers.cycle.apart import machines
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.uneven import may_be_uneven, uneven_steps
from tests.solvers.cycle.rows import Row, row_cell, span

ENOUGH = Effort(deterministic=10.0)


def two_and_one() -> Cell:
    """Two like machines of 6 s, one behind the other on the way to a third of 5 s; one second from place to place."""
    cell = row_cell(Row(times_s=(6, 6, 5), hold_s=1, step_s=1))
    route = (Step(at=("i",)), Step(at=("m1", "m2"), time_s=span(6)), Step(at=("m3",), time_s=span(5)), Step(at=("o",)))
    return replace(cell, grid_s=1.0, parts={"part": CellPart(route=route)})


def test_a_far_machine_is_left_idle_where_that_is_quicker() -> None:
    """17 s a part with both machines in turn, 16 s through the nearer one alone: a machine more never costs parts."""
    cell = two_and_one()
    found = best_cycle(cell, effort=replace(ENOUGH, most_sets=1))

    assert (found.period_steps, found.parts_per_period, found.proven) == (16, 1, True)
    assert found.how == (
        "searched with 1 part set a period, like machines not loaded equally often; none with 1 part set a period is "
        "shorter per part, and none with 2 part sets that loads like machines equally often"
    )
    assert not violations(cell, found)
    assert list(machine_lines(cell, found))[-1] == (
        "m1 is not used in this cycle: with it none was found that makes more."
    )


def test_two_parts_through_one_machine_and_one_through_the_other() -> None:
    """Unequal ways: 46 s for three parts, two of them through one machine, where equal shares take 31 s for two."""
    cell = row_cell(Row(times_s=(9,), machines=2, hold_s=1))
    ways = ((0, 2, 4, 2), (4, 0, 4, 2), (2, 4, 0, 3), (2, 4, 2, 0))
    table = MoveTable(places=("i", "m1", "m2", "o"), empty_s=tuple(tuple(map(float, row)) for row in ways))
    found = best_cycle(replace(cell, grid_s=1.0, moves={"line": table}), effort=ENOUGH)

    assert (found.period_steps, found.parts_per_period, found.proven) == (46, 3, True)
    assert sorted(each.loads for each in machines(replace(cell, grid_s=1.0), found)) == [1, 2]


def test_how_long_unequal_shares_take_at_least() -> None:
    """Three machines of 120 s, holds of 1 s each way: with one part more than its share a machine has two of three."""
    view = scope(row_cell(Row(times_s=(120,), machines=3, hold_s=1)))

    assert may_be_uneven(view)
    assert [uneven_steps(view, sets) for sets in (1, 2, 3, 6)] == [122_000, 122_000, 244_000, 366_000]
    assert not may_be_uneven(scope(row_cell(Row(times_s=(20, 30)))))

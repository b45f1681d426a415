"""Long lines of tanks with limited stays: more than one part a period, tanks in pairs, three hoists on one track."""

from dataclasses import replace
from pathlib import Path

from millhand.intake.cell import read_cell
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.rails.rail_hunt import sharings
from millhand.solvers.cycle.rails.rail_view import shared_rail
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.jobs import jobs_of

HOIST = Path("examples/cells/phillips_unger_1976.json")
THREE = Path("tests/solvers/cycle/three_hoists.json")
PAIRED = ("s1", "s3", "s9", "s10")


def in_pairs(cell: Cell) -> Cell:
    """The line with some tanks twice, at the same places."""
    stations = dict(cell.stations) | {f"{name}b": cell.stations[name] for name in PAIRED}
    ((name, part),) = cell.parts.items()
    route = tuple(
        replace(step, at=(step.at[0], f"{step.at[0]}b")) if step.at[0] in PAIRED else step for step in part.route
    )
    return replace(cell, stations=stations, parts={name: replace(part, route=route)})


def test_two_parts_a_period_are_proven_on_the_published_line() -> None:
    """Two parts take 1004 s, less than twice the 521 s of one."""
    found = best_cycle(read_cell(HOIST), effort=Effort(deterministic=2.0, most_sets=2))

    assert (found.period_steps, found.parts_per_period, found.proven) == (1004, 2, True)
    assert "none with 1 or 2 part sets" in found.how


def test_tanks_in_pairs_are_never_worse_than_single_ones() -> None:
    """A second tank may be left empty; the parts that lie in a pair stay no longer than they may."""
    found = best_cycle(in_pairs(read_cell(HOIST)), effort=Effort(deterministic=1.0, most_sets=1))

    assert found.period_steps <= 521 * found.parts_per_period


def test_three_hoists_hand_on_to_each_other() -> None:
    """Of three on a track each may have its third of the line: in their order and the other way round."""
    cell = read_cell(THREE)
    view = scope(cell)
    rail = shared_rail(cell, view)
    assert rail is not None
    first, second = list(sharings(view, rail, 1))[:2]

    assert first.words == "a handing on to b handing on to c"
    assert second.words == "c handing on to b handing on to a"
    assert [{option.who for option in move.options} for move in first.jobs.moves] == [{w} for w in "aaabbbccc"]
    assert len(jobs_of(view, 1).moves) == len(first.jobs.moves)


def test_three_hoists_find_a_cycle_with_little_effort() -> None:
    """A hoist for each third of the line makes a part in less than half of the 303 s that one hoist needs (which a
    program of another kind has given for one part a period)."""
    found = best_cycle(read_cell(THREE), effort=Effort(deterministic=0.5))

    assert found.period_steps < 303 / 2 * found.parts_per_period

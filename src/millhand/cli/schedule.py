"""`millhand schedule CELL`: the best cycle of a cell file, what is proven of it, its load bounds, who sets the pace."""

import os
import time
from collections.abc import Iterator
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path

import click

from millhand.cli.cell_told import say_odd
from millhand.cli.schedule_changes import change_lines
from millhand.cli.schedule_chart import chart_lines
from millhand.cli.schedule_lots import finished_early, lots_lines
from millhand.cli.schedule_machines import machine_lines
from millhand.cli.schedule_svg import chart_svg
from millhand.cli.schedule_words import number, schedule_words, wrapped
from millhand.cli.searching import searching
from millhand.errors import NotYet
from millhand.intake.cell import read_cell
from millhand.model.canonical import canonical, content_hash
from millhand.model.cell import Cell
from millhand.model.mix import part_set
from millhand.model.schedule import Bound, Schedule
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import good_bound_per_h, load_bounds, rate_bound_per_h
from millhand.solvers.cycle.closed import with_open_machines
from millhand.solvers.cycle.deadline import Deadline
from millhand.solvers.cycle.effort import STUDY, Effort, more
from millhand.solvers.cycle.pace import pace_setters
from millhand.solvers.cycle.trays import unused_trays, with_trays, without_trays
from millhand.solvers.cycle.variants import Search

PARTS = "The most rounds of part sets in one period."
CHANGED_TIMES = 3  # the effort for a changed cell: so many times that of a study, whatever clock the cell itself has


@click.command(name="schedule")
@click.argument("cell", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
@click.option("--chart", type=click.Path(dir_okay=False, path_type=Path), help="Draw one period as SVG into this file.")
@click.option("--seconds", type=click.FloatRange(min=0.1), default=30.0, show_default=True, help="To search for.")
@click.option("--parts", type=click.IntRange(min=1, max=12), default=3, show_default=True, help=PARTS)
@click.option("--what-if", is_flag=True, help="Add what a machine, a gripper or an arm more or fewer would change.")
def command(cell: Path, as_json: bool, chart: Path | None, seconds: float, parts: int, what_if: bool) -> None:
    """Find the best cycle of the cell in the file CELL, prove it or say how much better one could be; with the goal
    makespan, how its lots are finished soonest.

    The load bounds come out for every cell. A cycle that this version cannot find yet is refused by name, exit code 1;
    demands that contradict each other are named with what would help, exit code 2.
    """
    changed = partial(best_cycle, effort=more(STUDY, CHANGED_TIMES)) if what_if else None
    given = read_cell(cell)
    say_odd(cell, given)
    read = whole = with_open_machines(given)
    try:
        unused = unused_trays(whole)
        read = with_trays(without_trays(whole, unused))
        whole = whole if unused else read  # what bounds it: with the trays that its cycle leaves empty
        found = finished_early(whole, seconds) if read.goal == "makespan" else searched(whole, seconds, parts)
    except NotYet as refused:
        click.echo(refused_json(whole, refused) if as_json else "\n".join(refused_lines(whole, changed)))
        raise
    if chart is not None:
        chart.write_text(chart_svg(found, title=read.name, cell=read), encoding="utf-8")
    found = replace(found, cell=content_hash(given))  # of the file, not of what is made of it
    click.echo(canonical(found) if as_json else "\n".join(told(read, found, whole, changed)), nl=not as_json)


def searched(cell: Cell, seconds: float, parts: int) -> Schedule:
    """The best cycle that is found in so much time; how the search goes is told on standard error."""
    with searching(grid_s=cell.grid_s) as heard:
        workers = os.cpu_count() or 1
        until = Deadline(clock=time.monotonic, at_s=time.monotonic() + seconds)
        limits = Effort(
            deterministic=None, seconds=seconds, deadline=until, workers=workers, most_sets=parts, heard=heard
        )
        return best_cycle(cell, effort=limits)


def told(cell: Cell, found: Schedule, whole: Cell, what_if: Search | None) -> Iterator[str]:
    """The answer for a reader, by what the cell is for."""
    return lots_lines(cell, found) if found.goal == "makespan" else lines(cell, found, whole, what_if)


def refused_json(cell: Cell, refused: NotYet) -> str:
    """The bounds of a cell whose cycle is refused, for machines."""
    bounds = [asdict(each) for each in load_bounds(cell)]
    return canonical({"cell": content_hash(cell), "grid_s": cell.grid_s, "bounds": bounds, "refused": str(refused)})[
        :-1
    ]


def refused_lines(cell: Cell, what_if: Search | None) -> Iterator[str]:
    """The bounds of a cell whose cycle is refused, for a reader."""
    yield from bound_lines(cell, load_bounds(cell))
    if what_if is not None:
        yield ""
        yield from change_lines(cell, what_if)


def lines(cell: Cell, found: Schedule, whole: Cell, what_if: Search | None) -> Iterator[str]:
    """The whole answer for a reader; `whole`: the cell with the trays that the cycle leaves empty."""
    yield cell.name
    yield ""
    yield from schedule_words(cell, found)
    yield ""
    yield from bound_lines(whole, found.bounds)
    yield ""
    yield from chart_lines(found, cell=cell)
    apart = list(machine_lines(cell, found))
    if apart:
        yield ""
        yield from apart
    if what_if is not None:
        yield ""
        yield from change_lines(whole, what_if, found)
    if found.left_out:
        yield ""
        yield "Left out of the cycle:"
        yield from (f"  {words}" for words in found.left_out)


def bound_lines(cell: Cell, bounds: tuple[Bound, ...]) -> Iterator[str]:
    """The pace setters, the most that can come out, and the load of every resource a part."""
    if not any(bound.steps for bound in bounds):
        yield "Nothing in this cell takes any time."
        return
    per_part = cell.grid_s / set_size(cell)
    first, second = pace_setters(bounds)
    if second is not None and first.steps and second.steps >= 0.95 * first.steps:
        said = f"By load the pace is set by {first.resource}, and nearly as much by {second.resource}."
    else:
        beside = f"; next is {second.resource} at {100 * second.steps / first.steps:.0f} % of it" if second else ""
        said = f"By load the pace is set by {first.resource}{beside}."
    yield from wrapped(said)
    most, good = number(rate_bound_per_h(cell)), number(good_bound_per_h(cell))
    yield f"No more than {most} parts per hour while open, {good} of them good."
    width = max(len(bound.resource) for bound in bounds)
    yield f"  {'load bound, s a part':<{max(width, 20)}}  {'long run':>10}  {'cycle alone':>11}"
    for bound in bounds:
        long_run, alone = number(bound.steps * per_part), number(bound.cycle_steps * per_part)
        yield f"  {bound.resource:<{max(width, 20)}}  {long_run:>10}  {alone:>11}"


def set_size(cell: Cell) -> int:
    """Parts in one minimal set."""
    return sum(part_set(cell.parts).values())

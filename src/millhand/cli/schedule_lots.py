"""What `millhand schedule` says of a cell that has lots to finish: when, how near to the best, and what holds it up."""

import time
from collections.abc import Iterator

import click

from millhand.cli.progress import PATIENCE_S
from millhand.cli.schedule_chart import chart_lines
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.makespan_pace import holders

DETERMINISTIC = 60.0  # of the search's own time: about a minute, and the same answer every time
WORKERS = 8
SEED = 1


def finished_early(cell: Cell, seconds: float | None) -> Schedule:
    """The shortest makespan that was found; better ones are told on standard error while the search goes on."""
    return shortest_makespan(
        cell,
        seconds=seconds,
        deterministic=DETERMINISTIC if seconds is None else None,
        workers=WORKERS,
        seed=SEED,
        tell=Teller(cell.grid_s).better,
    )


class Teller:
    """Tells how far a search has come: at most once a second, and nothing in the first."""

    def __init__(self, grid_s: float) -> None:
        self.grid_s = grid_s
        self.told_s = time.monotonic()

    def better(self, made: int, least: int) -> None:
        """A better plan of so many grid steps, none shorter than `least`."""
        if time.monotonic() - self.told_s >= PATIENCE_S:
            self.told_s = time.monotonic()
            words = f"{number(made * self.grid_s)} s found, none is shorter than {number(least * self.grid_s)} s"
            click.echo(f"searching: {words}", err=True)


def lots_lines(cell: Cell, found: Schedule) -> Iterator[str]:
    """The whole answer for a reader."""
    made, least = found.period_steps * found.grid_s, found.least_steps * found.grid_s
    parts = found.parts_per_period
    yield cell.name
    yield ""
    yield f"makespan         {f'all {parts} parts are' if parts > 1 else 'the part is'} out after {number(made)} s"
    yield f"time per part    {number(made / parts)} s"
    yield f"found            {found.how}{' (proven)' if found.proven else ' (not proven to be the best)'}"
    gap = made / least - 1 if least > 0 else 0.0
    yield f"gap to the bound {100 * gap:.3g} %: no plan takes less than {number(least)} s"
    yield f"held up by       {holders(found)}"
    yield ""
    width = max((len(bound.resource) for bound in found.bounds), default=0)
    yield f"  {'not shorter than, s':<{max(width, 20)}}"
    for bound in found.bounds:
        yield f"  {bound.resource:<{max(width, 20)}}  {number(bound.steps * found.grid_s):>10}"
    yield ""
    yield from chart_lines(found, cell=cell)
    if found.left_out:
        yield ""
        yield "Left out of the plan:"
        yield from (f"  {words}" for words in found.left_out)


def number(value: float) -> str:
    """Up to three decimals, none that say nothing."""
    return f"{value:.3f}".rstrip("0").rstrip(".")

"""What `millhand schedule` says of a cell that has lots to finish: when, how near to the best, and what holds it up."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from textwrap import wrap
from threading import Event, Thread

from millhand.cli.progress import PATIENCE_S
from millhand.cli.schedule_chart import chart_lines
from millhand.cli.schedule_words import labelled, number, without_words
from millhand.cli.searching import say, wipe
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.deadline import Deadline
from millhand.solvers.cycle.makespan import shortest_makespan
from millhand.solvers.cycle.makespan_pace import holders

WORKERS = 8
SEED = 1
LINE = 80  # characters of a line
EVERY_S = 3.0  # so often a search says how far it is


def finished_early(cell: Cell, seconds: float) -> Schedule:
    """The shortest makespan that was found; how far the search is comes every few seconds on standard error."""
    teller = Teller(grid_s=cell.grid_s, terminal=sys.stderr.isatty(), started_s=time.monotonic())
    with telling(teller):
        return shortest_makespan(
            cell,
            deadline=Deadline(clock=time.monotonic, at_s=teller.started_s + seconds),
            deterministic=None,
            workers=WORKERS,
            seed=SEED,
            tell=teller.better,
        )


@dataclass(slots=True, kw_only=True)
class Teller:
    """Says how far a search is, one line at a time, on a terminal over the line before."""

    grid_s: float
    terminal: bool
    clock: Callable[[], float] = time.monotonic
    started_s: float = 0.0
    known: tuple[int | None, int] = (None, 0)
    said: bool = False

    def better(self, made: int | None, least: int) -> None:
        """The best plan so far takes so many grid steps, and none is shorter than `least`."""
        self.known = (made, least)

    def say(self) -> None:
        """One line; nothing while the search is young."""
        lasts_s = self.clock() - self.started_s
        if lasts_s < PATIENCE_S:
            return
        made, least = self.known
        found = "no plan yet" if made is None else f"{number(made * self.grid_s)} s found"
        line = f"searching for {lasts_s:.0f} s: {found}, none is shorter than {number(least * self.grid_s)} s"
        say(line, terminal=self.terminal)
        self.said = True

    def close(self) -> None:
        """Leave nothing behind on a terminal."""
        if self.said:
            wipe(terminal=self.terminal)


@contextmanager
def telling(teller: Teller, *, every_s: float = EVERY_S) -> Iterator[None]:
    """While this lasts the teller says its line now and then; a search that finds nothing for long says so too."""
    over = Event()

    def speak() -> None:
        while not over.wait(every_s):
            teller.say()

    voice = Thread(target=speak, daemon=True)
    voice.start()
    try:
        yield
    finally:
        over.set()
        voice.join()
        teller.close()


def order_lines(cell: Cell) -> Iterator[str]:
    """Where a supply gives several part types, in which order they are released; rule 19 of the cell file."""
    given: dict[str, list[str]] = {}
    for name, part in cell.parts.items():
        for supply in part.route[0].at:
            given.setdefault(supply, []).append(name)
    for supply, names in given.items():
        if len(names) > 1 and not all_at_once(cell, supply):
            words = f"{supply} gives {', '.join(names)} lot after lot, in this order; with a supply for each"
            yield from wrap(
                f"{words} they may begin in any order",
                LINE,
                initial_indent=f"{'order':<17}",
                subsequent_indent=" " * 17,
            )


def all_at_once(cell: Cell, supply: str) -> bool:
    """Whether parts leave a supply by themselves, all at time 0: then their order there binds nothing."""
    first = [part.route[1].at for part in cell.parts.values() if supply in part.route[0].at]
    waits = [
        cell.stations[name].in_queue is None or cell.stations[name].capacity is None for at in first for name in at
    ]
    return cell.stations[supply].self_out and all(waits)


def lots_lines(cell: Cell, found: Schedule) -> Iterator[str]:
    """The whole answer for a reader."""
    made, least = found.period_steps * found.grid_s, found.least_steps * found.grid_s
    parts = found.parts_per_period
    yield cell.name
    yield ""
    yield f"makespan         {f'all {parts} parts are' if parts > 1 else 'the part is'} out after {number(made)} s"
    yield f"time per part    {number(made / parts)} s"
    proof = "proven" if found.proven else "not proven to be the best"
    yield from labelled("found", f"{found.how} ({proof}{without_words(found.left_out)})")
    gap = made / least - 1 if least > 0 else 0.0
    yield f"gap to the bound {100 * gap:.3g} %: no plan takes less than {number(least)} s"
    yield f"held up by       {holders(found)}"
    yield from order_lines(cell)
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

"""What a search for the best cycle says on standard error, once it lasts: the best so far and the bound."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import click

from millhand.cli.progress import PATIENCE_S
from millhand.solvers.cycle.effort import Heard


def say(line: str, *, terminal: bool) -> None:
    """One line on standard error, on a terminal over the line before."""
    click.echo(f"\r\x1b[K{line}" if terminal else line, err=True, nl=not terminal)


def wipe(*, terminal: bool) -> None:
    """Leave nothing of the last line behind on a terminal."""
    if terminal:
        click.echo("\r\x1b[K", err=True, nl=False)


@dataclass(slots=True, kw_only=True)
class Teller:
    """Says each better cycle in one line, on a terminal over the line before."""

    grid_s: float
    terminal: bool
    clock: Callable[[], float] = time.monotonic
    started_s: float = 0.0
    said: str = ""

    def __call__(self, found: float | None, least: float) -> None:
        """The best period and the least possible one so far, in grid steps a part."""
        if self.clock() - self.started_s < PATIENCE_S:
            return
        best = "none yet" if found is None else f"{found * self.grid_s:.6g} s a part"
        line = f"searching: best {best}, none under {least * self.grid_s:.6g} s"
        if line != self.said:
            say(line, terminal=self.terminal)
            self.said = line

    def close(self) -> None:
        """Leave nothing behind on a terminal."""
        if self.said:
            wipe(terminal=self.terminal)


@contextmanager
def searching(*, grid_s: float) -> Iterator[Heard]:
    """A teller for one search."""
    teller = Teller(grid_s=grid_s, terminal=sys.stderr.isatty(), started_s=time.monotonic())
    try:
        yield teller
    finally:
        teller.close()

"""The Watch of the command line: a bar on standard error, and only for work that lasts."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from rich.progress import Progress

PATIENCE_S = 1.0  # work shorter than this shows nothing: a bar that flashes by tells nobody anything


@dataclass(slots=True, kw_only=True)
class ScreenWatch:
    """Shows one step of the work at a time. Without a terminal it writes one line when a long step is over."""

    terminal: bool
    patience_s: float = PATIENCE_S
    clock: Callable[[], float] = time.monotonic
    name: str = ""
    started_s: float = 0.0
    bar: "Progress | None" = field(default=None, repr=False)

    def step(self, name: str, done: int, total: int) -> None:
        """`done` of `total` pieces of the work called `name` are finished."""
        if name != self.name or done == 0:
            self.close()
            self.name, self.started_s = name, self.clock()
        if self.clock() - self.started_s < self.patience_s:
            return
        if self.terminal:
            self._draw(done, total)
        elif done == total:
            click.echo(f"{name}: {total} done in {self.clock() - self.started_s:.0f} s", err=True)

    def cancelled(self) -> bool:
        """Never: on the command line an interrupt stops the work at once."""
        return False

    def close(self) -> None:
        """Take the bar away."""
        if self.bar is not None:
            self.bar.stop()
            self.bar = None

    def _draw(self, done: int, total: int) -> None:
        """Draw the bar, or move it on; loads the drawing library at the first need."""
        if self.bar is None:
            self.bar = drawn_bar()
            self.bar.add_task(self.name, total=total)
            self.bar.start()
        self.bar.update(self.bar.task_ids[0], completed=done, total=total)
        if done == total:
            self.close()


def drawn_bar() -> "Progress":
    """An empty bar on standard error that leaves nothing behind."""
    from rich.console import Console
    from rich.progress import Progress

    return Progress(console=Console(stderr=True), transient=True)


@contextmanager
def watching() -> Iterator[ScreenWatch]:
    """A watch for one command; its bar is gone when the command ends, however it ends."""
    watch = ScreenWatch(terminal=sys.stderr.isatty())
    try:
        yield watch
    finally:
        watch.close()

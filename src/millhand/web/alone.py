"""A process of its own that answers one question after another and can be ended at any moment.

What reads files of others runs there, with limits: a file made to hurt ends that process, and nothing else.
"""

from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from typing import Any


class Lost(Exception):
    """The process did not answer in time, or ended over the question."""


def answering(line: Connection, first: Callable[[], None]) -> None:
    """In the process: answer until nobody asks any more; what an answer raises is the answer."""
    first()
    while True:
        try:
            function, given = line.recv()
        except EOFError:
            return
        try:
            told = (True, function(*given))
        except Exception as trouble:  # whoever asked is to know
            told = (False, trouble)
        line.send(told)


@dataclass(slots=True)
class Alone:
    """The process, begun with the first question and again after it was ended. One question at a time."""

    first: Callable[[], None]  # what the process does before anything else, such as setting its limits
    process: SpawnProcess | None = None
    line: Connection | None = None

    def ask(self, function: Callable[..., Any], given: tuple[Any, ...], patience_s: float) -> Any:
        """What the function says there; Lost where it takes longer, or where its process ends over it."""
        try:
            line = self._begun()
            line.send((function, given))
            if not line.poll(patience_s):
                raise Lost
            well, told = line.recv()
        except (Lost, EOFError, OSError) as trouble:
            self.end()
            raise Lost from trouble
        if not well:
            raise told
        return told

    def _begun(self) -> Connection:
        """The line to the process."""
        if self.line is None:
            context = get_context("spawn")
            line, theirs = context.Pipe()
            process = context.Process(target=answering, args=(theirs, self.first), daemon=True)
            process.start()
            theirs.close()  # so that its end is seen here
            self.line, self.process = line, process
        return self.line

    def end(self) -> None:
        """End the process, whatever it does."""
        if self.line is not None:
            self.line.close()
        if self.process is not None:
            self.process.kill()
            self.process.join(5)
        self.process = self.line = None

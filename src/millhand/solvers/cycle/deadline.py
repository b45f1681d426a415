"""The moment at which a search has to be over, for whoever waits for it: also while a model is being built."""

from collections.abc import Callable
from dataclasses import dataclass


class TimeUp(Exception):
    """The time given is over: what was being built is left, and what was found before counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deadline:
    """When all work has to be over, by a clock in seconds that is handed down. A study hands none down: what it finds
    is the same everywhere."""

    clock: Callable[[], float]
    at_s: float

    @property
    def left_s(self) -> float:
        """How long there is to go; less than nothing when it is over."""
        return self.at_s - self.clock()

    def part(self, share: float) -> "Deadline":
        """A deadline after so much of what there is to go."""
        now = self.clock()
        return Deadline(clock=self.clock, at_s=now + share * (self.at_s - now))

    def ask(self) -> None:
        """Nothing while there is time."""
        if self.left_s <= 0:
            raise TimeUp


def ask(deadline: Deadline | None) -> None:
    """The same, where there may be no deadline."""
    if deadline is not None:
        deadline.ask()


def part(deadline: Deadline | None, share: float) -> Deadline | None:
    """A share of what there is to go; None where there is no deadline."""
    return None if deadline is None else deadline.part(share)


def is_over(deadline: Deadline | None) -> bool:
    """Whether there is a deadline and it has passed."""
    return deadline is not None and deadline.left_s <= 0


def within(seconds: float | None, deadline: Deadline | None) -> float | None:
    """So many seconds, but no more than there are to go; None where neither is limited."""
    if deadline is None:
        return seconds
    left_s = max(0.0, deadline.left_s)
    return left_s if seconds is None else min(seconds, left_s)

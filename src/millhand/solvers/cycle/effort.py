"""How much work a search for the best cycle may take, and who hears how it goes."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from millhand.solvers.cycle.deadline import Deadline

Heard = Callable[[float | None, float], None]  # best period so far (None: none yet) and least one possible, per part


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """The limits of one search. With `seconds` and `deadline` None no clock is looked at and the answer is the same
    everywhere; `seconds` is what the solver may take, by the `deadline` all is over, models built or not."""

    deterministic: float | None = 0.5  # the solver's own unit of work, about a second each
    seconds: float | None = None
    deadline: Deadline | None = None
    workers: int = 1
    seed: int = 1
    most_sets: int = 3
    most_moves: int = 48  # a period with more is not tried without a clock; with several hands lift and set-down count
    heard: Heard | None = None


STUDY = Effort()


def more(effort: Effort, times: int) -> Effort:
    """So many times an effort that no clock limits."""
    return replace(effort, deterministic=None if effort.deterministic is None else effort.deterministic * times)


def share(effort: Effort, shares: int) -> Effort:
    """One of so many equal shares of an effort."""
    return replace(
        effort,
        deterministic=None if effort.deterministic is None else effort.deterministic / shares,
        seconds=None if effort.seconds is None else effort.seconds / shares,
    )

"""Duties: work that somebody is called to, besides moving parts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from annotated_types import Ge

from millhand.model.span import NO_TIME, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Trigger:
    """What calls a duty. `below` belongs to level, `every_n` to parts (written `every`), `at_s` or `every` to clock."""

    kind: Literal["fault", "wear", "level", "parts", "clock", "changeover"]
    at: tuple[str, ...] = ()
    below: Annotated[int, Ge(1)] | None = None
    every_n: Annotated[int, Ge(1)] | None = None
    at_s: tuple[Annotated[float, Ge(0)], ...] = ()
    every: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One kind of call: who answers, how soon, how long it takes, what it holds and what it restores."""

    trigger: Trigger
    also: Trigger | None = None
    who: tuple[str, ...]
    priority: Annotated[int, Ge(1)] = 1
    response_s: Span = NO_TIME
    place: str | None = None
    takes: Span
    holds: Literal["station", "arm", "nothing"] = "nothing"
    restores: Mapping[str, Literal["full", "empty"]] = field(default_factory=dict)
    needs_hands: Annotated[int, Ge(0)] = 0
    interruptible: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Changeover:
    """From one family to another at these stations, by a duty."""

    at: tuple[str, ...]
    from_family: str
    to_family: str
    duty: str

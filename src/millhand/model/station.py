"""A station of a cell: machine, presenter, gauge, buffer, outfeed or gate."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le

from millhand.model.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A stop of a station: counted on busy time, clock time or loads; ended by a duty or by itself."""

    id: str
    on: Literal["busy", "clock", "load"]
    every: Span | None = None
    p: Annotated[float, Ge(0), Le(1)] | None = None
    duty: str | None = None
    self_s: Span | None = None
    keeps_part: bool = True
    stops: tuple[str, ...] = ()  # ids that stop with it, or ("all",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """What a station uses up: tool life, chip space, coolant. Spares are used up without a person."""

    id: str
    unit: Literal["loads", "busy_s"]
    limit: Annotated[float, Gt(0)]
    spares: Annotated[int, Ge(0)] = 0
    duty: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmUp:
    """After standing for `after_s` the station needs `takes_s` before it works again."""

    after_s: Annotated[float, Ge(0)]
    takes_s: Annotated[float, Ge(0)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One place that parts pass through. `capacity` None is unlimited; `like` has been resolved on loading.

    `in_queue` and `out_queue` are a machine's own buffers (None = unlimited).
    """

    kind: Literal["supply", "process", "store", "sink", "gate"]
    place: str | None = None
    capacity: Annotated[int, Ge(0)] | None = 1
    start: Annotated[int, Ge(0)] = 0
    batch: Annotated[int, Ge(1)] = 1
    in_queue: Annotated[int, Ge(0)] | None = 0
    out_queue: Annotated[int, Ge(0)] | None = 0
    self_in: bool = False
    self_out: bool = False
    attended: bool = False
    turnaround_s: Annotated[float, Ge(0)] = 0.0
    faults: tuple[Fault, ...] = ()
    wear: tuple[Wear, ...] = ()
    calendar: str | None = None
    warm_up: WarmUp | None = None
    refill: str | None = None

"""What an attendant does at a station, and how long each phase binds whom."""

from dataclasses import dataclass
from typing import Annotated, Literal

from annotated_types import Ge, Le

from millhand.model.span import NO_TIME, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A pick, a place or a swap: lead (station alone, before), hold (both), tail (station alone, after) [s]."""

    lead_s: Span = NO_TIME
    hold_s: Span
    tail_s: Span = NO_TIME
    lead_on: Literal["arrival", "finish"] = "arrival"


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """A pick that fails with chance `p` a try; `retries` None = without end; then `duty` is called."""

    p: Annotated[float, Ge(0), Le(1)]
    retries: Annotated[int, Ge(0)] | None = None
    retry_s: Span = NO_TIME
    duty: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Element:
    """One element of manual work, for the reader and the activity chart; written [name, time, side] in a file."""

    name: str
    time_s: Annotated[float, Ge(0)]
    side: Literal["inside", "outside"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Handling:
    """One row: these attendants at these stations (and for this part, if named). The first row that fits counts."""

    who: tuple[str, ...]
    at: tuple[str, ...]
    part: str | None = None
    pick: Visit | None = None
    place: Visit | None = None
    swap: Visit | None = None
    miss: Miss | None = None
    elements: tuple[Element, ...] = ()

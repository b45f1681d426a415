"""Which of all the limits ends a run alone first, and which would be next."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from millhand.formulas.feasibility import parts_in_time, time_of_parts_s

Kind = Literal["infeed", "outfeed", "lot", "tools", "chips", "coolant", "gauge", "hopper"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit of a run alone: so many parts, or so much time; exactly one of the two is given."""

    kind: Kind
    parts: float | None = None
    time_s: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """What ends a run alone: when, after how many parts, and what would end it next if this were mended."""

    kind: Kind
    time_s: float
    parts: float
    next_kind: Kind | None
    next_s: float  # infinite where nothing else ends it


def first_limit(limits: Sequence[Limit], *, rate_parts_per_h: float) -> Ending:
    """The least of the limits at a pace; of equal ones the first in the list counts, and the other is the next."""
    if not limits:
        raise ValueError("a run alone needs at least one limit, such as its lot")
    times = sorted(
        ((time_of(limit, rate_parts_per_h), place) for place, limit in enumerate(limits)),
    )
    time_s, place = times[0]
    next_s, next_place = times[1] if len(times) > 1 else (math.inf, -1)
    return Ending(
        kind=limits[place].kind,
        time_s=time_s,
        parts=parts_in_time(rate_parts_per_h, time_s=time_s),
        next_kind=limits[next_place].kind if next_place >= 0 else None,
        next_s=next_s,
    )


def time_of(limit: Limit, rate_parts_per_h: float) -> float:
    """When one limit comes."""
    if (limit.parts is None) == (limit.time_s is None):
        raise ValueError(f"{limit.kind}: give the limit either in parts or in time")
    if limit.time_s is not None:
        return limit.time_s
    assert limit.parts is not None
    return time_of_parts_s(limit.parts, rate_parts_per_h=rate_parts_per_h)

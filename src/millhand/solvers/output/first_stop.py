"""Which cause ends a run alone, with what chance, and how many parts are made until then: discrete competing risks.

Part by part: each cause has its chance to strike during the part, causes are independent, and the first to strike ends
the run unless a spare takes its place (a sister tool, a pocket that may be passed over). Beside chance stand limits in
parts or hours, whose least ends the run anyway. Where there are no spares the closed forms of formulas/unattended.py
give the same. Source: own computation.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.formulas.unattended import stop_share_of_part


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What may end a run alone: a limit, chance, or both."""

    name: str
    parts: float = math.inf  # limit: presenter, outfeed, lot, life of a tool, chip box, the next gauging
    hours: float = math.inf  # limit in running time, such as coolant
    per_h: float = 0.0  # chance: stops in an hour of running
    per_part: float = 0.0  # chance: share of parts, such as picks that miss for good
    spares: int = 0  # so many times another tool or pocket takes over; a limit in parts then begins anew


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """How a run alone ends: shares that add up to one with `nothing`, and what it makes."""

    causes: Mapping[str, float]  # chance that the cause ends the run
    nothing: float  # chance that the time alone is over before anything ends the run
    parts: float  # parts finished on average
    hours: float  # running time on average


def first_ends(causes: Sequence[Cause], *, part_s: float, alone_h: float) -> Ends:
    """How a run of at most alone_h hours ends, one part every part_s.

    A part that is struck is not finished, nor is one at which a spare takes over. Each cause strikes a part once at
    most, and wear and chance of one cause do not know of each other's spares. Where several strike the same part, the
    run's end is shared out by their rates, as if the first within the part counted. Of equal limits the one listed
    first has it; a limit that falls together with the end of the time alone has it too.
    """
    last, limit = _least_limit(causes, part_s=part_s, alone_h=alone_h)
    strikes = [_strikes(cause, part_s) for cause in causes]
    alive = [[1.0] + [0.0] * cause.spares for cause in causes]  # by this cause alone: so many spares used, and running
    ends = dict.fromkeys((cause.name for cause in causes), 0.0)
    running, parts, times = 1.0, [], []
    for _ in range(last):
        parts.append(math.prod(sum(own) * (1.0 - p) for own, p in zip(alive, strikes, strict=True)))
        hazards = [_hazard(own, p) for own, p in zip(alive, strikes, strict=True)]
        alive = [_after(own, p) for own, p in zip(alive, strikes, strict=True)]
        goes_on = running * math.prod(1.0 - hazard for hazard in hazards)
        for cause, share in zip(causes, _shares(hazards), strict=True):
            ends[cause.name] += (running - goes_on) * share
        times.append(_time_in_part(running, goes_on))
        running = goes_on
    if limit is not None:
        ends[limit] += running
    return Ends(
        causes=ends,
        nothing=0.0 if limit is not None else running,
        parts=math.fsum(parts),
        hours=math.fsum(times) * part_s / 3600.0,
    )


def parts_against_presenter(
    causes: Sequence[Cause], *, sizes: Sequence[float], part_s: float, alone_h: float
) -> tuple[float, ...]:
    """Parts made alone on average for each size of the presenter, which may not be among the causes."""
    presenter = Cause(name="presenter")
    return tuple(
        first_ends([replace(presenter, parts=size), *causes], part_s=part_s, alone_h=alone_h).parts for size in sizes
    )


def _least_limit(causes: Sequence[Cause], *, part_s: float, alone_h: float) -> tuple[int, str | None]:
    """Whole parts until the least limit, and whose it is; None where the time alone is over sooner."""
    limits = {cause.name: min(cause.parts * (1 + cause.spares), cause.hours * 3600.0 / part_s) for cause in causes}
    over = alone_h * 3600.0 / part_s
    first = min(limits, key=limits.__getitem__, default=None)
    least = min(over, limits[first]) if first is not None else over
    # Times are measured, not counted: 8 h of parts of 100 s are 288 parts, not 287.99999.
    return math.floor(least * (1.0 + 1e-12)), first if first is not None and limits[first] <= over else None


def _strikes(cause: Cause, part_s: float) -> float:
    """Chance that a cause strikes one part."""
    return stop_share_of_part([cause.per_h], part_s=part_s, fault_share=cause.per_part)


def _hazard(alive: Sequence[float], strikes: float) -> float:
    """Chance that a cause ends the run in the next part, given that it went on so far."""
    before = sum(alive)
    return alive[-1] * strikes / before if before > 0.0 else 1.0


def _after(alive: Sequence[float], strikes: float) -> list[float]:
    """One part on: struck ones move to the next spare, and out behind the last."""
    moved = [0.0, *(own * strikes for own in alive[:-1])]
    return [own * (1.0 - strikes) + from_before for own, from_before in zip(alive, moved, strict=True)]


def _time_in_part(before: float, after: float) -> float:
    """Share of a part's time run on average, with ends that come at an even rate within the part."""
    if after <= 0.0:
        return 0.0
    return before if after == before else (before - after) / math.log(before / after)


def _shares(hazards: Sequence[float]) -> list[float]:
    """Whose the end is, in proportion to the rates behind the chances; certain ones share it alone."""
    certain = [float(hazard >= 1.0) for hazard in hazards]
    rates = certain if any(certain) else [-math.log1p(-hazard) for hazard in hazards]
    total = math.fsum(rates)
    return [rate / total if total > 0.0 else 0.0 for rate in rates]

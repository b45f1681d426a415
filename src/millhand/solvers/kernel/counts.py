"""What one replication counted, taken from its books."""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from millhand.solvers.kernel.codes import COUNTS, CYCLE_BINS
from millhand.solvers.kernel.running import Finished, Same

Counted = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """What one replication counted: whole numbers and grid steps, so that nothing depends on who added them up."""

    counted: Counted  # in the order of COUNTS
    stations: Counted  # [station * states + state] steps
    attendants: Counted
    duty_ended: Counted
    duty_steps: Counted
    attended_steps: int
    alone: Counted  # per absence of all people: steps until something needed one, -1 where nothing did
    events: int
    absences: tuple[Counted, ...] = ()  # per absence that ended: see hours.py for what its six numbers are
    cycles: bytes = b""  # [station * bins + bin] loads finished so long after the one before, eight bytes each
    made: Counted = ()  # per station: loads finished
    late: Counted = ()  # per station: parts that stayed there longer than they may
    levels: tuple[float, ...] = ()  # per station: parts in it times steps
    by_part: Counted = ()  # per part type: parts that left, and of these good ones
    finished: int = -1  # when the last part of all lots left, -1 where there is more to come


def counted_after(start: Counts, whole: Counts) -> Counts:
    """What was counted since the start."""
    return Counts(
        counted=_less(whole.counted, start.counted),
        stations=_less(whole.stations, start.stations),
        attendants=_less(whole.attendants, start.attendants),
        duty_ended=_less(whole.duty_ended, start.duty_ended),
        duty_steps=_less(whole.duty_steps, start.duty_steps),
        attended_steps=whole.attended_steps - start.attended_steps,
        alone=whole.alone[len(start.alone) :],
        events=whole.events,
        absences=whole.absences[len(start.absences) :],
        cycles=(_many(whole.cycles) - _many(start.cycles)).tobytes(),
        made=_less(whole.made, start.made),
        late=_less(whole.late, start.late),
        levels=tuple(b - a for a, b in zip(start.levels, whole.levels, strict=True)),
        by_part=_less(whole.by_part, start.by_part),
        finished=whole.finished,
    )


def _finished(done: Finished) -> int:
    """When the last part of all lots left, -1 where they have not yet."""
    sizes = [size for of_station in done.c.lots.of_station for _, size in of_station]
    whole = sum(size for at, size in enumerate(sizes) if done.c.lots.first[at] == at)
    return int(done.k["last_out"]) if int(done.k["p_out"].sum()) == whole else -1


def counts_of(done: Finished) -> Counts:
    """The books of a run that has ended."""
    c, k = done.c, done.k  # by brackets: dots take a record four times as long
    memory, places = k.base.view(np.int64, np.ndarray), _places(Same(k.dtype))

    def block(name: str, entries: int) -> Any:
        first, each = places[name]
        return memory[first : first + each * entries]

    def whole(name: str, entries: int = 1) -> Counted:
        return tuple(block(name, entries).tolist())

    stations, parts, duties = c.size.stations, c.size.parts, len(c.duty_names)
    cycles = block("s_cycles", stations)
    finished = cycles.reshape(stations, -1).sum(axis=1) + (block("s_finished", stations) >= 0)
    open_absence = () if not k["was_away"] or k["away_open"] else (int(k["away_until"]),)
    return Counts(
        counted=whole("counts", len(COUNTS)),
        stations=whole("s_time", stations),
        attendants=whole("a_time", c.size.attendants),
        duty_ended=whole("d_ended", duties),
        duty_steps=whole("d_time", duties),
        attended_steps=int(k["here_time"]),
        alone=(*(line[0] for line in done.away), *open_absence),
        events=int(k["events"]),
        absences=tuple(done.away),
        cycles=cycles.tobytes(),
        made=tuple(finished.tolist()),
        late=whole("s_late", stations),
        levels=tuple(block("s_area", stations).view(np.float64).tolist()),
        by_part=(*whole("p_out", parts), *whole("p_good", parts)),
        finished=_finished(done) if c.lots.end else -1,
    )


@lru_cache(maxsize=16)
def _places(same: Same) -> dict[str, tuple[int, int]]:
    """Where each column of a run's record begins in its memory, which is all numbers of eight bytes, and how many
    numbers an entry has: pieces of the memory take a third of the time of the record's own fields."""
    fields, size = same.it.fields, np.dtype(np.int64).itemsize
    return {
        name: (at // size, math.prod(kind.shape[1:]) if kind.shape else 1) for name, (kind, at, *_) in fields.items()
    }


def _many(numbers: bytes) -> "np.ndarray[Any, np.dtype[np.int64]]":
    """Numbers that are kept as bytes, since they are many and few are looked at."""
    return np.frombuffer(numbers, dtype=np.int64)


def cycles_at(counts: Counts, s: int) -> Counted:
    """How many loads of a station were finished so long after the one before, bin by bin."""
    return tuple(_many(counts.cycles)[s * CYCLE_BINS : (s + 1) * CYCLE_BINS].tolist())


def _less(whole: Counted, start: Counted) -> Counted:
    """Entry by entry."""
    return tuple(a - b for a, b in zip(whole, start, strict=True))

"""What one replication counted, taken from its books."""

from dataclasses import dataclass
from typing import Any

from millhand.solvers.kernel.running import Finished

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
    cycles: Counted = ()  # [station * bins + bin] loads finished so long after the one before
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
        cycles=_less(whole.cycles, start.cycles),
        made=_less(whole.made, start.made),
        late=_less(whole.late, start.late),
        levels=tuple(b - a for a, b in zip(start.levels, whole.levels, strict=True)),
        by_part=_less(whole.by_part, start.by_part),
        finished=whole.finished,
    )


def _finished(done: Finished) -> int:
    """When the last part of all lots left, -1 where lots do not end or have not yet."""
    lots = done.c.lots
    whole = sum(size for of_station in lots.of_station for _, size in of_station)
    return int(done.k["last_out"]) if lots.end and int(done.k["p_out"].sum()) == whole else -1


def counts_of(done: Finished) -> Counts:
    """The books of a run that has ended."""
    c, k = done.c, done.k  # by brackets: dots take a record four times as long
    stations, attendants, duties = c.size.stations, c.size.attendants, len(c.duty_names)
    open_absence = () if not k["was_away"] or k["away_open"] else (int(k["away_until"]),)
    parts, cycles = c.size.parts, k["s_cycles"][:stations]
    return Counts(
        counted=_whole(k["counts"]),
        stations=_whole(k["s_time"][:stations].ravel()),
        attendants=_whole(k["a_time"][:attendants].ravel()),
        duty_ended=_whole(k["d_ended"][:duties]),
        duty_steps=_whole(k["d_time"][:duties]),
        attended_steps=int(k["here_time"]),
        alone=(*(line[0] for line in done.away), *open_absence),
        events=int(k["events"]),
        absences=tuple(done.away),
        cycles=_whole(cycles.ravel()),
        made=_whole(cycles.sum(axis=1) + (k["s_finished"][:stations] >= 0)),
        late=_whole(k["s_late"][:stations]),
        levels=tuple(k["s_area"][:stations].tolist()),
        by_part=(*_whole(k["p_out"][:parts]), *_whole(k["p_good"][:parts])),
        finished=_finished(done),
    )


def _whole(column: Any) -> Counted:
    """A column as plain numbers."""
    return tuple(column.tolist())


def _less(whole: Counted, start: Counted) -> Counted:
    """Entry by entry."""
    return tuple(a - b for a, b in zip(whole, start, strict=True))

"""One shift of a cell to be watched: which of the simulated week, how much of it, and why that."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from millhand.formulas.hours import DAY_S, WEEK_H
from millhand.model.cell import Cell
from millhand.model.inquiry import Inquiry
from millhand.solvers.played import Overview, Played, overview, played

HOUR_S = 3_600.0
MOST_LINES = 6_000  # of the log: more would make a page of a megabyte
LEAST_S = 600.0
BEFORE = 0.25  # of a span that is cut: how much of it lies before the stop that it is to show
STOPPED, FIRST_DAY, ONLY_DAY = "stopped", "first_day", "only_day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What is played, and how it was chosen."""

    played: Played
    shift: str
    day: int  # of the simulated week, from 1
    why: str  # stopped: the first after the first day in which something stops; first_day: nothing does, so that it is
    # the first of the second day; only_day: no shift is on any other day
    cut: bool  # less than the shift, since too much happens in it


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A shift of the week."""

    shift: str
    day: int
    start_s: float
    end_s: float


def watched_shift(inquiry: Inquiry, cell: Cell, seed: int) -> Watched:
    """The shift that is chosen, played from the beginning of the week."""
    shifts = tuple(candidates(inquiry))
    later = [(each.start_s, each.end_s) for each in shifts if each.day > 1]
    seen = overview(cell, later, hours=int(WEEK_H), seed=seed)
    chosen, why = choice(shifts, seen)
    start_s, end_s = cut(chosen, seen)
    return Watched(
        played=played(cell, start_s=start_s, end_s=end_s, seed=seed), shift=chosen.shift, day=chosen.day,
        why=why, cut=end_s - start_s < chosen.end_s - chosen.start_s,
    )  # fmt: skip


def choice(shifts: Sequence[Candidate], seen: Overview) -> tuple[Candidate, str]:
    """The first shift in which something stops, of the days behind the first, which begins with an empty cell; the
    first of them where nothing does; one of the first day where there is no other."""
    later = [each for each in shifts if each.day > 1]
    stopping = [each for each in later or shifts if stops_in(seen, each)]
    if not later:
        return (*stopping, *shifts)[0], ONLY_DAY
    return (stopping[0], STOPPED) if stopping else (later[0], FIRST_DAY)


def candidates(inquiry: Inquiry) -> Iterator[Candidate]:
    """The manned shifts of the week in their order, those of the first day last."""
    manned = [each for each in inquiry.shifts if each.manned.value == "yes"]
    found = [
        Candidate(
            shift=each.name, day=day + 1, start_s=day * DAY_S + each.start_s.value,
            end_s=min(day * DAY_S + each.start_s.value + each.length_s.value, WEEK_H * HOUR_S),
        )
        for day in range(7)
        for each in manned
        if day < each.days_per_week.value
    ]  # fmt: skip
    yield from sorted(found, key=lambda each: (each.day == 1, each.start_s))


def stops_in(seen: Overview, shift: Candidate) -> tuple[float, ...]:
    """When something stops in it."""
    return tuple(at for at in seen.stops_s if shift.start_s <= at < shift.end_s)


def cut(shift: Candidate, seen: Overview) -> tuple[float, float]:
    """The whole shift, or as much of it as the page can hold, round the first stop."""
    first, last = int(shift.start_s // HOUR_S), int(-(-shift.end_s // HOUR_S))
    lines, whole = sum(seen.lines[first:last]), shift.end_s - shift.start_s
    if lines <= MOST_LINES:
        return shift.start_s, shift.end_s
    room = max(LEAST_S, whole * MOST_LINES / lines // 60.0 * 60.0)
    at = next(iter(stops_in(seen, shift)), shift.start_s)
    start = min(max(shift.start_s, (at - BEFORE * room) // 60.0 * 60.0), shift.end_s - room)
    return start, start + room

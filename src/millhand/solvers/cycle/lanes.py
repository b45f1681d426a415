"""What every station and attendant does over one period of a schedule, read from its events and arcs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from millhand.model.schedule import Schedule
from millhand.solvers.cycle.pictures.motions import motions_of, visits_of
from millhand.solvers.cycle.pictures.stayed import Stayed, rows_of
from millhand.solvers.cycle.unrolled import handled

Owner = Literal["station", "attendant"]
State = Literal["working", "handled", "done", "empty", "handling", "carrying", "travelling", "waiting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A state from one grid step of the period to another; `at` says at which station or with which part.

    `came` and `goes_on` mark a stretch that the end of the period cuts in two.
    """

    state: State
    start: int
    end: int
    at: str = ""
    came: bool = False
    goes_on: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One attendant, or one slot of a station, over one period; the stretches fill it without a gap."""

    name: str
    owner: Owner
    stretches: tuple[Stretch, ...]


def lanes(schedule: Schedule, *, order: Sequence[str] = ()) -> tuple[Lane, ...]:
    """Attendants first, then the stations that work on parts; each in the given order, then in that of their first
    events."""
    rank = {name: number for number, name in enumerate(order)}
    attendants = dict.fromkeys(event.attendant for event in schedule.events if event.attendant)
    attendants = dict.fromkeys(sorted(attendants, key=lambda each: rank.get(each, len(rank))))
    stations = dict.fromkeys(event.station for event in schedule.events if event.what == "start")
    stations = dict.fromkeys(sorted(stations, key=lambda each: rank.get(each, len(rank))))
    made = [Lane(name=who, owner="attendant", stretches=attendant_lane(schedule, who)) for who in attendants]
    for name in stations:
        rows = rows_of(schedule, name)
        for number, row in enumerate(rows, start=1):
            called = name if len(rows) == 1 else f"{name} {number}"
            made.append(Lane(name=called, owner="station", stretches=station_lane(schedule, name, row)))
    return tuple(made)


def attendant_lane(schedule: Schedule, who: str) -> tuple[Stretch, ...]:
    """Hands on a part, on the way with or without one, or waiting."""
    found = [
        Stretch(state="handling", start=visit.first.at_steps, end=visit.first.at_steps + visit.hold_steps,
                at=visit.station)
        for visit in visits_of(schedule, who)
    ]  # fmt: skip
    found += [
        Stretch(state="handling", start=each.first.at_steps, end=each.first.at_steps + each.hold_steps,
                at=each.station or "duty")
        for each in handled(schedule)[0]
        if each.kind in ("duty", "set_up") and each.who == who
    ]  # fmt: skip
    for motion in motions_of(schedule, who):
        state: State = "carrying" if motion.parts else "travelling"
        found.append(Stretch(state=state, start=motion.departs, end=motion.arrives, at=f"to {motion.end}"))
    return filled(folded(found, schedule.period_steps), "waiting", schedule.period_steps)


def station_lane(schedule: Schedule, name: str, row: Sequence[tuple[Stayed, int]]) -> tuple[Stretch, ...]:
    """Hands on it, for a part or a changeover, working, done and waiting for an attendant, or empty."""
    period = schedule.period_steps
    found = [
        Stretch(state=each.state, start=max(0, each.start - shift * period), end=min(period, each.end - shift * period),
                at=each.at, came=each.start < shift * period, goes_on=each.end > (shift + 1) * period)
        for stay, shift in row
        for each in stay_stretches(stay)
        if each.start < (shift + 1) * period and each.end > shift * period
    ]  # fmt: skip
    found += [
        Stretch(state="handled", start=each.first.at_steps, end=each.last.at_steps, at=each.station)
        for each in handled(schedule)[0]
        if each.kind == "set_up" and each.station == name
    ]
    ordered = tuple(sorted(found, key=lambda each: (each.start, each.end)))
    return filled(ordered, "empty", period)


def stay_stretches(stay: Stayed) -> Iterator[Stretch]:
    """One stay at a station: set down, closed, waiting in its own buffer, worked on, done, lifted."""
    if stay.set_down is not None:
        yield Stretch(state="handled", start=stay.set_down[0], end=stay.set_down[1], at=stay.part)
    if stay.placed is not None and stay.closed is not None:
        yield Stretch(state="handled", start=stay.placed, end=stay.closed, at=stay.part)
        yield Stretch(state="waiting", start=stay.closed, end=stay.start, at=stay.part)
    yield Stretch(state="working", start=stay.start, end=stay.finish, at=stay.part)
    if stay.lift is not None:
        yield Stretch(state="done", start=stay.finish, end=stay.lift[0], at=stay.part)
        yield Stretch(state="handled", start=stay.lift[0], end=stay.lift[1], at=stay.part)


def folded(stretches: Sequence[Stretch], period: int) -> tuple[Stretch, ...]:
    """The stretches inside one period, in order, those over its end cut in two."""
    return tuple(sorted(pieces(stretches, period), key=lambda each: (each.start, each.end)))


def pieces(stretches: Sequence[Stretch], period: int) -> Iterator[Stretch]:
    """Each stretch cut at the end of the period; empty ones left away."""
    for each in stretches:
        if period <= 0 or each.end <= each.start:
            continue
        start, length = each.start % period, min(each.end - each.start, period)
        over = start + length > period
        yield Stretch(state=each.state, start=start, end=min(start + length, period), at=each.at, goes_on=over)
        if over:
            yield Stretch(state=each.state, start=0, end=start + length - period, at=each.at, came=True)


def filled(stretches: Sequence[Stretch], rest: State, period: int) -> tuple[Stretch, ...]:
    """The stretches without gaps and overlaps: of two the earlier counts first, and between two is rest."""
    found: list[Stretch] = []
    at = 0
    for each in stretches:
        if each.end <= at:
            continue
        if each.start > at:
            found.append(Stretch(state=rest, start=at, end=each.start))
        start = max(at, each.start)
        if each.end > start:
            found.append(
                Stretch(state=each.state, start=start, end=each.end, at=each.at, came=each.came, goes_on=each.goes_on)
            )
        at = each.end
    if at < period:
        found.append(Stretch(state=rest, start=at, end=period))
    return tuple(found)

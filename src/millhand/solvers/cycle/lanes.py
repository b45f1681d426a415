"""What every station and attendant does over one period of a schedule, read from its events and arcs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from millhand.model.schedule import Event, Schedule

State = Literal["working", "handled", "done", "empty", "handling", "carrying", "travelling", "waiting"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A state from one grid step of the period to another."""

    state: State
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One station or attendant over one period; the stretches fill it where it holds one part at a time."""

    name: str
    owner: Literal["station", "attendant"]
    stretches: tuple[Stretch, ...]


def lanes(schedule: Schedule) -> tuple[Lane, ...]:
    """Attendants first, then the stations that work on parts; each in the order of their first events."""
    attendants = dict.fromkeys(event.attendant for event in schedule.events if event.attendant)
    stations = dict.fromkeys(event.station for event in schedule.events if event.what == "start")
    made = [Lane(name=who, owner="attendant", stretches=attendant_lane(schedule, who)) for who in attendants]
    made += [Lane(name=name, owner="station", stretches=station_lane(schedule, name)) for name in stations]
    return tuple(made)


def attendant_lane(schedule: Schedule, who: str) -> tuple[Stretch, ...]:
    """Hands on a part, on the way with or without one, or waiting."""
    visits = visits_of(schedule, who)
    period, load = schedule.period_steps, 0
    found: list[Stretch] = []
    for (first, last), (following, _) in pairwise([*visits, visits[0]]):
        load += {"lift": 1, "set": -1}[first.what] if last.what != "exchanged" else 0
        free = first.at_steps + hold_of(first, last, period)
        arrives = following.at_steps + (period if following.at_steps <= first.at_steps else 0)
        way = min(travel_steps(schedule, (first, last), following), max(0, arrives - free))
        found.append(Stretch(state="handling", start=first.at_steps, end=free))
        found.append(Stretch(state="carrying" if load > 0 else "travelling", start=free, end=free + way))
        found.append(Stretch(state="waiting", start=free + way, end=arrives))
    return folded(found, period)


def visits_of(schedule: Schedule, who: str) -> list[tuple[Event, Event]]:
    """The visits of an attendant in the order of time, each as its first and last event; an exchange as one."""
    own = [event for event in schedule.events if event.attendant == who]
    closes = {"lift": "lifted", "set": "placed"}
    made = []
    for first, second in pairwise(own):
        if closes.get(first.what) == second.what and first.station == second.station:
            made.append((first, second))
    exchanged = {visit_number(first) for first, _ in made if first.what == "lift"} & {
        visit_number(first) for first, _ in made if first.what == "set"
    }
    kept = [
        (first, renamed(last) if visit_number(first) in exchanged else last)
        for first, last in made
        if visit_number(first) not in exchanged or first.what == "lift"
    ]
    return sorted(kept, key=lambda visit: (visit[0].at_steps, -visit[0].lap))


def visit_number(event: Event) -> str:
    """The number of the visit that an event belongs to, as its id begins."""
    return event.id.split()[0]


def renamed(last: Event) -> Event:
    """The end of an exchange."""
    return Event(
        id=last.id,
        attendant=last.attendant,
        station=last.station,
        what="exchanged",
        part=last.part,
        lap=last.lap,
        at_steps=last.at_steps,
    )


def hold_of(first: Event, last: Event, period: int) -> int:
    """How long a visit takes."""
    return (last.at_steps - first.at_steps) % period if period else 0


def travel_steps(schedule: Schedule, visit: tuple[Event, Event], following: Event) -> int:
    """The way to the next visit, as the arc between the two says."""
    ends = {event.id for event in schedule.events if visit_number(event) == visit_number(visit[0])}
    lags = [
        arc.lag_steps
        for arc in schedule.arcs
        if arc.before in ends and arc.after == following.id and arc.why == visit[0].attendant and arc.lag_steps >= 0
    ]
    return max(lags, default=0)


def station_lane(schedule: Schedule, name: str) -> tuple[Stretch, ...]:
    """Working, hands on it, done and waiting for an attendant, or empty."""
    period = schedule.period_steps
    events = sorted(
        (event for event in schedule.events if event.station == name),
        key=lambda each: each.at_steps + each.lap * period,
    )
    found: list[Stretch] = []
    pairs: tuple[tuple[str, str, State], ...] = (
        ("start", "finish", "working"),
        ("lift", "lifted", "handled"),
        ("set", "placed", "handled"),
        ("placed", "start", "handled"),
        ("finish", "lift", "done"),
        ("lifted", "set", "empty"),
    )
    for opening, closing, state in pairs:
        for event in (each for each in events if each.what == opening):
            later = [(each.at_steps - event.at_steps) % period for each in events if each.what == closing]
            twice = opening in ("lifted", "set") and is_exchange(events, event)
            if later and not twice:
                found.append(Stretch(state=state, start=event.at_steps, end=event.at_steps + min(later)))
    return folded(found, period)


def is_exchange(events: Sequence[Event], event: Event) -> bool:
    """Whether an event belongs to an exchange: its visit both lifts and sets down."""
    whats = {each.what for each in events if visit_number(each) == visit_number(event)}
    return {"lift", "set"} <= whats


def folded(stretches: Sequence[Stretch], period: int) -> tuple[Stretch, ...]:
    """The stretches inside one period, in order, those over its end cut in two."""
    return tuple(sorted(pieces(stretches, period), key=lambda each: (each.start, each.end)))


def pieces(stretches: Sequence[Stretch], period: int) -> Iterator[Stretch]:
    """Each stretch cut at the end of the period; empty ones left away."""
    for each in stretches:
        if period <= 0 or each.end <= each.start:
            continue
        start, length = each.start % period, min(each.end - each.start, period)
        yield Stretch(state=each.state, start=start, end=min(start + length, period))
        if start + length > period:
            yield Stretch(state=each.state, start=0, end=start + length - period)

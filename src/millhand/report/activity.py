"""The activity chart: who does what when in one round, read off the schedule's events."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from millhand.model.schedule import Event, Schedule

Doing = Literal["hands", "runs", "free"]
OPENS = {"lift": "lifted", "set": "placed", "start": "finish"}
WORDS: dict[tuple[str, Doing], str] = {
    ("attendant", "hands"): "loading, unloading",
    ("attendant", "free"): "on the way, other work or waiting",
    ("station", "runs"): "machine runs",
    ("station", "hands"): "machine stands, hands on it",
    ("station", "free"): "machine stands, waits",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One stretch of a lane, in seconds from the start of the round."""

    doing: Doing
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """What one attendant or one machine does over a whole round; the bars fill it without a gap."""

    name: str
    owner: Literal["attendant", "station"]
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """All lanes of one round."""

    period_s: float
    lanes: tuple[Lane, ...]

    @property
    def doings(self) -> tuple[tuple[str, Doing], ...]:
        """What stands in the chart, for its legend, in the legend's order."""
        there = {(lane.owner, bar.doing) for lane in self.lanes for bar in lane.bars}
        return tuple(key for key in WORDS if key in there)


def chart(schedule: Schedule) -> Chart:
    """The chart of one schedule: attendants first, then the machines that run."""
    period = schedule.period_steps * schedule.grid_s
    attendants = dict.fromkeys(event.attendant for event in schedule.events if event.attendant)
    machines = dict.fromkeys(event.station for event in schedule.events if event.what == "start")
    lanes = [lane(name, "attendant", [(["lift", "set"], "hands")], of_attendant(schedule, name)) for name in attendants]
    shapes: list[tuple[list[str], Doing]] = [(["start"], "runs"), (["lift", "set"], "hands")]
    lanes += [lane(name, "station", shapes, of_station(schedule, name)) for name in machines]
    return Chart(
        period_s=period,
        lanes=tuple(filled(each, period) for each in (scaled(one, schedule.grid_s, period) for one in lanes)),
    )


def of_attendant(schedule: Schedule, name: str) -> list[Event]:
    """The events of one attendant, in time order."""
    return sorted((event for event in schedule.events if event.attendant == name), key=lambda event: event.at_steps)


def of_station(schedule: Schedule, name: str) -> list[Event]:
    """The events at one station, in time order."""
    return sorted((event for event in schedule.events if event.station == name), key=lambda event: event.at_steps)


def lane(
    name: str,
    owner: Literal["attendant", "station"],
    shapes: Sequence[tuple[list[str], Doing]],
    events: Sequence[Event],
) -> Lane:
    """The bars between opening and closing events, still in grid steps; an end before its start lies a round later."""
    bars = []
    for opening, doing in shapes:
        for event in events:
            if event.what in opening:
                end = closing(event, events)
                if end is not None:
                    bars.append(Bar(doing=doing, start_s=float(event.at_steps), end_s=float(end)))
    return Lane(name=name, owner=owner, bars=tuple(bars))


def closing(opening: Event, events: Sequence[Event]) -> int | None:
    """When the next event comes that closes this one, at the same station, in this round or the next."""
    ends = [event.at_steps for event in events
            if event.what == OPENS[opening.what] and event.station == opening.station]  # fmt: skip
    later = [at for at in ends if at >= opening.at_steps]
    return min(later) if later else min(ends, default=None)


def scaled(one: Lane, grid_s: float, period_s: float) -> Lane:
    """The same bars in seconds, those past the end of the round cut in two."""
    bars = [
        Bar(doing=bar.doing, start_s=start, end_s=end)
        for bar in one.bars
        for start, end in within(bar.start_s * grid_s, bar.end_s * grid_s, period_s)
    ]
    return Lane(name=one.name, owner=one.owner, bars=tuple(sorted(bars, key=lambda bar: (bar.start_s, bar.end_s))))


def within(start_s: float, end_s: float, period_s: float) -> Iterable[tuple[float, float]]:
    """The stretch inside one round; what runs over its end comes in again at its start."""
    start_s, end_s = start_s % period_s, end_s if end_s == period_s else end_s % period_s
    if start_s <= end_s:
        return [(start_s, end_s)]
    return [(start_s, period_s), (0.0, end_s)]


def filled(one: Lane, period_s: float) -> Lane:
    """The gaps between the bars as bars of their own; where two bars overlap the earlier one counts first."""
    bars, at = [], 0.0
    for bar in one.bars:
        if bar.end_s <= at:
            continue
        if bar.start_s > at:
            bars.append(Bar(doing="free", start_s=at, end_s=bar.start_s))
        bars.append(Bar(doing=bar.doing, start_s=max(at, bar.start_s), end_s=bar.end_s))
        at = bar.end_s
    if at < period_s:
        bars.append(Bar(doing="free", start_s=at, end_s=period_s))
    return Lane(name=one.name, owner=one.owner, bars=merged(bars))


def merged(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """Neighbours of one kind as one bar."""
    found: list[Bar] = []
    for bar in bars:
        if found and found[-1].doing == bar.doing and found[-1].end_s == bar.start_s:
            found[-1] = Bar(doing=bar.doing, start_s=found[-1].start_s, end_s=bar.end_s)
        elif bar.end_s > bar.start_s:
            found.append(bar)
    return tuple(found)

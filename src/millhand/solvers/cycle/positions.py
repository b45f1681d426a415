"""Where every attendant on a track is over one period: the lines of a picture of position over time."""

from dataclasses import dataclass

from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.pictures.motions import Motion, motions_of
from millhand.solvers.cycle.steady import steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A piece of an attendant's line: at rest or at even speed from one spot to another, with or without parts."""

    start: int
    end: int
    from_m: float
    to_m: float
    carries: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One attendant's line over a period, without a gap."""

    who: str
    legs: tuple[Leg, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One track with its places, the least distance, and the lines of those that work on it; `in_order`: only places
    count, and the distance is kept while both stand."""

    name: str
    keep_m: float
    in_order: bool
    places: tuple[tuple[str, float], ...]  # by metres
    lines: tuple[Line, ...]

    @property
    def span_m(self) -> tuple[float, float]:
        """From the lowest place to the highest."""
        return self.places[0][1], self.places[-1][1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Nearest:
    """The least distance of two neighbours in a period, and when."""

    pair: tuple[str, str]
    distance_m: float
    at: int


def rails(cell: Cell, schedule: Schedule) -> tuple[Rail, ...]:
    """The tracks on which somebody moves in the schedule."""
    made = (rail_of(cell, schedule, name) for name in cell.tracks)
    return tuple(rail for rail in made if rail is not None)


def rail_of(cell: Cell, schedule: Schedule, name: str) -> Rail | None:
    """One track; only those of its places where somebody of it can be."""
    track = cell.tracks[name]
    lines = tuple(line for who in track.attendants if (line := line_of(cell, schedule, who)) is not None)
    if not lines:
        return None
    tables = [cell.moves[cell.attendants[who].moves_full or ""].places for who in track.attendants]
    reached = {place for table in tables for place in table}
    places = [
        (place, each.track_m) for place, each in cell.places.items() if each.track_m is not None and place in reached
    ]
    places.sort(key=lambda each: each[1])
    in_order = track.rule == "order"
    return Rail(name=name, keep_m=track.keep_m, in_order=in_order, lines=lines, places=tuple(places))


def line_of(cell: Cell, schedule: Schedule, who: str) -> Line | None:
    """The line of one attendant; None where it does nothing or leaves the track."""
    motions = motions_of(schedule, who, places={name: each.place for name, each in cell.stations.items()})
    metres = {name: place.track_m for name, place in cell.places.items()}
    if not motions or any(metres.get(place) is None for each in motions for place in (each.start, each.end)):
        return None
    legs: list[Leg] = []
    for motion, following in zip(motions, [*motions[1:], motions[0]], strict=True):
        here, there = metres[motion.start] or 0.0, metres[motion.end] or 0.0
        arrives = min(motion.arrives, motion.departs + table_steps(cell, who, motion))
        legs.append(Leg(start=motion.departs, end=arrives, from_m=here, to_m=there, carries=motion.parts > 0))
        leaves = following.departs + (schedule.period_steps if following.departs <= motion.departs else 0)
        if leaves > arrives:
            legs.append(Leg(start=arrives, end=leaves, from_m=there, to_m=there, carries=False))
    return Line(who=who, legs=cut(legs, schedule.period_steps, around=schedule.goal == "rate"))


def table_steps(cell: Cell, who: str, motion: Motion) -> int:
    """The time of a motion in the attendant's table; the schedule's own arcs may add a turn or a lead to it."""
    table = cell.moves[cell.attendants[who].moves_full or ""]
    if motion.start not in table.places or motion.end not in table.places:
        return motion.arrives - motion.departs
    row, column = table.places.index(motion.start), table.places.index(motion.end)
    times = table.loaded_s if motion.parts and table.loaded_s is not None else table.empty_s
    time = times[row][column]
    return motion.arrives - motion.departs if time is None else steps(time, cell.grid_s)


def cut(legs: list[Leg], period: int, *, around: bool) -> tuple[Leg, ...]:
    """The legs inside one period; what lies past its end belongs to the start of the next."""
    found: list[Leg] = []
    for leg in legs:
        if leg.end <= period:
            found.append(leg)
            continue
        share = (period - leg.start) / (leg.end - leg.start)
        middle = leg.from_m + share * (leg.to_m - leg.from_m)
        if leg.start < period:
            found.append(Leg(start=leg.start, end=period, from_m=leg.from_m, to_m=middle, carries=leg.carries))
        if around:
            since, begins = (0, middle) if leg.start < period else (leg.start - period, leg.from_m)
            found.append(Leg(start=since, end=leg.end - period, from_m=begins, to_m=leg.to_m, carries=leg.carries))
    if not around and found and found[0].start > 0:
        first = found[0]
        found.insert(0, Leg(start=0, end=first.start, from_m=first.from_m, to_m=first.from_m, carries=False))
    return tuple(sorted(found, key=lambda each: (each.start, each.end)))


def at_m(line: Line, time: float) -> float:
    """Where a line is at a time of the period."""
    leg = next((each for each in line.legs if each.start <= time <= each.end), line.legs[-1])
    share = (time - leg.start) / (leg.end - leg.start) if leg.end > leg.start else 1.0
    return leg.from_m + min(1.0, max(0.0, share)) * (leg.to_m - leg.from_m)


def nearest(rail: Rail) -> tuple[Nearest, ...]:
    """For each two neighbours the least distance from the lower to the higher one; below 0 where they have crossed.

    Between two corners both lines are straight, so the least lies at a corner.
    """
    found = []
    for lower, upper in zip(rail.lines, rail.lines[1:], strict=False):
        corners = {time for line in (lower, upper) for leg in line.legs for time in (leg.start, leg.end)}
        apart, at = min((at_m(upper, time) - at_m(lower, time), time) for time in corners)
        found.append(Nearest(pair=(lower.who, upper.who), distance_m=apart, at=at))
    return tuple(found)

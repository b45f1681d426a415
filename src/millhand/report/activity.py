"""The activity chart: who does what when in one round, read off the schedule of a cell."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from millhand.model.schedule import Schedule
from millhand.model.study import Result
from millhand.solvers.cycle.lanes import Lane as SolverLane
from millhand.solvers.cycle.lanes import lanes
from millhand.solvers.cycle.simple import simple

Owner = Literal["attendant", "station"]
Doing = Literal["hands", "way", "waits", "runs", "stands"]
DOINGS: Mapping[tuple[str, str], Doing] = {
    ("attendant", "handling"): "hands",
    ("attendant", "carrying"): "way",
    ("attendant", "travelling"): "way",
    ("attendant", "waiting"): "waits",
    ("station", "working"): "runs",
    ("station", "handled"): "hands",
    ("station", "done"): "stands",
    ("station", "empty"): "stands",
}
REST: Mapping[Owner, Doing] = {"attendant": "waits", "station": "stands"}
WORDS: Mapping[Doing, str] = {
    "hands": "hands on parts",
    "way": "on the way",
    "waits": "waits",
    "runs": "machine runs",
    "stands": "machine stands",
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
    owner: Owner
    bars: tuple[Bar, ...]

    @property
    def words(self) -> str:
        """The name as people say it: operator1 is operator 1, machine_2 is machine 2."""
        return re.sub(r"(?<=[a-z]{3})(?=[0-9])", " ", self.name.replace("_", " "))


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """All lanes of one round, attendants first."""

    period_s: float
    lanes: tuple[Lane, ...]

    @property
    def doings(self) -> tuple[Doing, ...]:
        """What stands in the chart, in the legend's order."""
        there = {bar.doing for lane in self.lanes for bar in lane.bars}
        return tuple(doing for doing in WORDS if doing in there)


def chart_of(result: Result | None) -> Chart | None:
    """The chart of one concept; None where it has no cell, or one whose cycle cannot be found yet."""
    if result is None or result.cell is None:
        return None
    found = result.schedule or simple(result.cell)
    if found is None or not found.period_steps or not found.events:
        return None
    return chart(found, order=(*result.cell.attendants, *result.cell.stations))


def chart(found: Schedule, *, order: Sequence[str] = ()) -> Chart:
    """The chart of one schedule; lanes in the given order, else in that of their first events."""
    drawn = tuple(filled(lane, found) for lane in lanes(found, order=order))
    return Chart(period_s=found.period_steps * found.grid_s, lanes=drawn)


def filled(lane: SolverLane, found: Schedule) -> Lane:
    """A lane without gaps or overlaps: of two stretches the earlier counts first, and between two is rest."""
    rest = REST[lane.owner]
    bars: list[Bar] = []
    at = 0
    for each in lane.stretches:
        if each.end <= at:
            continue
        if each.start > at:
            bars.append(Bar(doing=rest, start_s=at * found.grid_s, end_s=each.start * found.grid_s))
        start = max(at, each.start) * found.grid_s
        bars.append(Bar(doing=DOINGS[lane.owner, each.state], start_s=start, end_s=each.end * found.grid_s))
        at = each.end
    if at < found.period_steps:
        bars.append(Bar(doing=rest, start_s=at * found.grid_s, end_s=found.period_steps * found.grid_s))
    return Lane(name=lane.name, owner=lane.owner, bars=merged(bars))


def merged(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """Neighbours of one kind as one bar."""
    kept: list[Bar] = []
    for bar in bars:
        if kept and kept[-1].doing == bar.doing:
            kept[-1] = Bar(doing=bar.doing, start_s=kept[-1].start_s, end_s=bar.end_s)
        else:
            kept.append(bar)
    return tuple(kept)

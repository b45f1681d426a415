"""The arcs of a schedule, found by their ends and along a station's start and finish."""

from dataclasses import dataclass, field

from millhand.model.schedule import Arc, Schedule


@dataclass(slots=True, kw_only=True)
class ArcIndex:
    """Arcs by both ends and by where they begin."""

    what: dict[str, str]
    by_ends: dict[tuple[str, str], list[Arc]] = field(default_factory=dict)
    after: dict[str, list[Arc]] = field(default_factory=dict)

    def waits(self, before: str, after: str, *, lag: int, laps: int) -> bool:
        """Whether some arc makes one event wait so long for another, so many laps earlier."""
        arcs = self.by_ends.get((before, after), [])
        return any(arc.lag_steps >= lag and arc.laps == laps for arc in arcs)

    def chain(self, start: str, end: str, *, laps: int) -> int | None:
        """The lag along placed -> start -> finish -> what waits for it, the longest that spans so many laps."""
        chains = [
            one.lag_steps + two.lag_steps + three.lag_steps
            for one in self.after.get(start, [])
            if self.what[one.after] == "start"
            for two in self.after.get(one.after, [])
            if self.what[two.after] == "finish"
            for three in self.after.get(two.after, [])
            if three.after == end and one.laps + two.laps + three.laps == laps
        ]
        return max(chains, default=None)


def arc_index(schedule: Schedule) -> ArcIndex:
    """The index of one schedule."""
    index = ArcIndex(what={event.id: event.what for event in schedule.events})
    for arc in schedule.arcs:
        index.by_ends.setdefault((arc.before, arc.after), []).append(arc)
        index.after.setdefault(arc.before, []).append(arc)
    return index

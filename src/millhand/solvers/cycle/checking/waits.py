"""Which waits the arcs of a schedule imply: along one arc or a path of arcs, over any laps."""

from dataclasses import dataclass, field
from heapq import heappop, heappush

from millhand.model.schedule import Schedule

LAPS_BESIDE = 2  # how far a path may stray from the laps that it has to cover


@dataclass(frozen=True, slots=True, kw_only=True)
class Waits:
    """The times of the events, and from each event the arcs onward: to which event, what slack, over how many laps.

    The slack of a path is the sum of the slacks of its arcs, so the wait that a path demands is the time between its
    ends less its slack: the longest wait is on the path of least slack.
    """

    period: int
    at: dict[str, int]
    onward: dict[str, list[tuple[str, int, int]]] = field(default_factory=dict)

    def time(self, event: str, lap: int) -> int:
        """When an event happens in a period."""
        return self.at[event] + lap * self.period

    def implied(self, before: str, after: str, *, lag: int, laps: int) -> bool:
        """Whether the arcs make one event wait so long for another, so many laps earlier."""
        room = self.time(after, laps) - self.at[before] - lag
        if room < 0:
            return False
        low, high = min(0, laps) - LAPS_BESIDE, max(0, laps) + LAPS_BESIDE
        least = {(before, 0): 0}
        queue = [(0, before, 0)]
        while queue:
            slack, event, lap = heappop(queue)
            if (event, lap) == (after, laps):
                return True
            if slack > least[event, lap]:
                continue
            for to, more, further in self.onward.get(event, ()):
                there, total = (to, lap + further), slack + more
                if total <= room and low <= there[1] <= high and total < least.get(there, room + 1):
                    least[there] = total
                    heappush(queue, (total, *there))
        return False


def waits_of(schedule: Schedule) -> Waits:
    """The waits of one schedule whose times keep its arcs."""
    waits = Waits(period=schedule.period_steps, at={event.id: event.at_steps for event in schedule.events})
    for arc in schedule.arcs:
        slack = waits.time(arc.after, arc.laps) - waits.at[arc.before] - arc.lag_steps
        waits.onward.setdefault(arc.before, []).append((arc.after, slack, arc.laps))
    return waits

"""The plainest cycle with loads of several parts: so many parts as fill the loads on their way are taken all the way
before the next ones are lifted, of these always the one that is furthest and can go on.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import lcm

from millhand.solvers.cycle.searching.jobs import Jobs, Move, Option
from millhand.solvers.cycle.tours.serial import ways_through
from millhand.solvers.cycle.tours.tour import Cycle, Stay, cycle_of
from millhand.solvers.cycle.view import Steady


def load_by_load(view: Steady, jobs: Jobs) -> Cycle | None:
    """One load after the other, then the duties; None where the cell does not allow it."""
    tour: list[Stay] = []
    for part in view.routes:
        one = [goes(move) for move in jobs.moves if (move.part, move.job) == (part, 0)]
        count = sum(move.part == part and move.step == 0 for move in jobs.moves)
        ways = ways_through(view, one, None)
        if ways is None:
            return None
        size = lcm(*(view.loads.get(way.goal, 1) for way in ways))
        for _ in range(count // size):
            visits = list(Group(view=view, part=part, ways=ways, size=size).visits())
            if len(visits) < 2 * len(ways) * size:  # some parts wait for others that cannot come
                return None
            tour += visits
        if count % size:
            return None
    tour += duties_done(view, jobs)
    try:
        return cycle_of(view, tour, {name: {} for name in view.slots})
    except ValueError:  # somebody cannot go from one of these visits to the next
        return None


def goes(move: Move) -> Move:
    """A move over machines with a place for each of its steps: in none of them a part stands where it is."""
    return replace(move, options=tuple(option for option in move.options if option.start != option.goal))


def duties_done(view: Steady, jobs: Jobs) -> Iterator[Stay]:
    """Each duty, by the first who can."""
    for name in jobs.duties:
        who = next(who for who, station, _, kind in view.phases if (station, kind) == (name, "duty"))
        yield Stay(who=who, kind="duty", station=name, part=name, step=0)


@dataclass(slots=True, kw_only=True)
class Group:
    """The parts that are under way together, all on one way through the cell."""

    view: Steady
    part: str
    ways: Sequence[Option]  # from each step of the route to the next
    size: int
    at: list[int] = field(default_factory=list)  # of each part: its step
    lying: dict[str, list[int]] = field(default_factory=dict)  # at each station: the steps of its parts as they came
    load: dict[str, int] = field(default_factory=dict)  # how many parts of its load have come to each station

    def visits(self) -> Iterator[Stay]:
        """Lift and set-down of one part after the other, until all are out or none can go on."""
        self.at = [0] * self.size
        while (number := self.next_part()) is not None:
            step, way = self.at[number], self.ways[self.at[number]]
            if step:
                self.lying[way.start].remove(step)
            self.at[number] += 1
            place = self.comes(way.goal, step + 1)
            visit = Stay(who=way.who, kind="place", station=way.goal, part=self.part, step=step + 1)
            yield Stay(who=way.who, kind="pick", station=way.start, part=self.part, step=step)
            yield replace(visit, slot=place) if way.goal in self.view.loads else visit

    def comes(self, station: str, step: int) -> int:
        """A part is set down; its place in its load."""
        here = self.lying.setdefault(station, [])
        place = self.load.get(station, 0) if here else 0
        here.append(step)
        self.load[station] = place + 1
        return place

    def next_part(self) -> int | None:
        """The part that is furthest of those that can go on."""
        able = [number for number, step in enumerate(self.at) if step < len(self.ways) and self.goes_on(step)]
        return max(able, key=lambda number: (self.at[number], -number), default=None)

    def goes_on(self, step: int) -> bool:
        """Whether a part at a step is done, and finds room at the next one."""
        way = self.ways[step]
        done = not step or way.start not in self.view.loads or self.load[way.start] == self.view.loads[way.start]
        return done and (step + 1 == len(self.ways) or self.has_room(way.goal, step + 1))

    def has_room(self, station: str, step: int) -> bool:
        """Whether one part more may be set down at a station: of one load at a time, all at one step."""
        here, room = self.lying.get(station, []), self.view.slots[station]
        if station in self.view.loads:
            return not here or (here[0] == step and self.load[station] < self.view.loads[station])
        return room is None or len(here) < room

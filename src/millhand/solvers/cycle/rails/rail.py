"""The tracks as the search for a cycle sees them: who runs on which, where the places are, and who is in whose way.

Several tracks are several lists of attendants: whoever runs on one is in the way of others there, and of nobody else.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from millhand.model.cell import Cell
from millhand.solvers.cycle.rails.passing import (
    Motion,
    Rule,
    enter_by_order_steps,
    enter_steps,
    exact_m,
    leave_by_order_steps,
    leave_steps,
)
from millhand.solvers.cycle.view import Mover


@dataclass(frozen=True, slots=True, kw_only=True)
class Along:
    """One track: its name, its attendants in their order along it, and the distance that they keep."""

    name: str
    arms: tuple[str, ...]
    keep_m: Fraction
    rule: Rule


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """One track or several: the attendants in order, track after track, the positions of all places on them, the travel
    of each attendant."""

    tracks: tuple[Along, ...]
    arms: tuple[str, ...]
    at_m: Mapping[str, Fraction]
    movers: Mapping[str, Mover]
    homes: Mapping[str, str]
    known: dict[tuple[tuple[str, str], tuple[str, str]], bool] = field(default_factory=dict, compare=False, repr=False)

    def track(self, arm: str) -> Along:
        """The track on which an attendant runs."""
        return next(track for track in self.tracks if arm in track.arms)

    def places(self, arm: str) -> tuple[str, ...]:
        """Where an attendant can be; one that never moves stays at home."""
        found = tuple(place for place in self.movers[arm].rows if place in self.at_m)
        return found or (self.homes[arm],)

    def others(self, arm: str) -> tuple[str, ...]:
        """All who share the track with an attendant."""
        return tuple(other for other in self.track(arm).arms if other != arm)

    def side(self, arm: str, other: str) -> int:
        """1 where the other is farther along the track, otherwise -1."""
        return 1 if self.arms.index(arm) < self.arms.index(other) else -1

    def side_m(self, arm: str, other: tuple[str, str]) -> Fraction:
        """Where another attendant is, seen along an attendant's own side."""
        return self.side(arm, other[0]) * self.at_m[other[1]]

    def level_m(self, arm: str, other: tuple[str, str]) -> Fraction:
        """How far an attendant may go, on its own side, while the other is at a place."""
        between = abs(self.arms.index(arm) - self.arms.index(other[0]))
        return self.side_m(arm, other) - between * self.track(arm).keep_m

    def near(self, one: tuple[str, str], other: tuple[str, str]) -> bool:
        """Whether two attendants, each at a place, would be too near each other; asked so often that it is kept."""
        if (one, other) not in self.known:
            self.known[one, other] = self.is_near(one, other)
        return self.known[one, other]

    def is_near(self, one: tuple[str, str], other: tuple[str, str]) -> bool:
        """The same, worked out."""
        (arm, place), (neighbour, _) = one, other
        track = self.track(arm)
        if neighbour not in track.arms:
            return False
        if track.rule == "order" and self.side(arm, neighbour) * self.at_m[place] == self.side_m(arm, other):
            return True
        return self.side(arm, neighbour) * self.at_m[place] > self.level_m(arm, other)

    def steps(self, arm: str, way: tuple[str, str], loaded: bool | None) -> int | None:
        """Travel between two places; with `loaded` None whichever is shorter; None where there is no way."""
        mover = self.movers[arm]
        ways = [mover.travel_steps(*way, loaded=each) for each in ((loaded,) if loaded is not None else (False, True))]
        return min((each for each in ways if each is not None), default=None)

    def motion(self, arm: str, other: str, way: tuple[str, str], steps: int) -> Motion:
        """A motion as it counts against another attendant."""
        side = self.side(arm, other)
        return Motion(from_m=side * self.at_m[way[0]], to_m=side * self.at_m[way[1]], steps=steps)

    def enters(self, arm: str, way: tuple[str, str], steps: int, other: tuple[str, str]) -> int:
        """The last step of a motion at which the other may still be at its place."""
        motion = self.motion(arm, other[0], way, steps)
        if self.track(arm).rule == "order":
            return enter_by_order_steps(motion, self.side_m(arm, other))
        return enter_steps(motion, self.level_m(arm, other))

    def leaves(self, arm: str, way: tuple[str, str], steps: int, other: tuple[str, str]) -> int:
        """The first step of a motion at which the other may be at its place."""
        motion = self.motion(arm, other[0], way, steps)
        if self.track(arm).rule == "order":
            return leave_by_order_steps(motion, self.side_m(arm, other))
        return leave_steps(motion, self.level_m(arm, other))


def rail_of(cell: Cell, movers: Mapping[str, Mover], working: Collection[str]) -> Rail | None:
    """The tracks of a cell on which one of those at work runs beside somebody else; None where there are none."""
    tracks = tuple(
        Along(name=name, arms=track.attendants, keep_m=exact_m(track.keep_m), rule=track.rule)
        for name, track in cell.tracks.items()
        if len(track.attendants) > 1 and not set(track.attendants).isdisjoint(working)
    )
    arms = tuple(arm for track in tracks for arm in track.arms)
    if not arms:
        return None
    return Rail(
        tracks=tracks,
        arms=arms,
        at_m={name: exact_m(place.track_m) for name, place in cell.places.items() if place.track_m is not None},
        movers={arm: movers[arm] for arm in arms},
        homes={arm: cell.attendants[arm].home or "" for arm in arms},
    )


def shortest_way_steps(rail: Rail, arm: str, way: tuple[str, str], *, loaded: bool | None) -> int | None:
    """The least travel between two places with stops on the way allowed; a detour may be quicker in an odd table."""
    best: dict[str, int] = {way[0]: 0}
    queue = [way[0]]
    for place in queue:
        for goal in rail.places(arm):
            steps = rail.steps(arm, (place, goal), loaded)
            if steps is not None and best[place] + steps < best.get(goal, best[place] + steps + 1):
                best[goal] = best[place] + steps
                queue.append(goal)
    return best.get(way[1])


def way_of_one_stop_steps(rail: Rail, arm: str, way: tuple[str, str], *, loaded: bool | None) -> int | None:
    """The least travel between two places, at once or with one stop; where there is none, over any stops."""
    over = (
        first + then
        for stop in rail.places(arm)
        if (first := rail.steps(arm, (way[0], stop), loaded)) is not None
        and (then := rail.steps(arm, (stop, way[1]), loaded)) is not None
    )
    straight = rail.steps(arm, way, loaded)
    least = min(over, default=straight)
    if least is None or straight is None:
        return shortest_way_steps(rail, arm, way, loaded=loaded) if least is None else least
    return min(straight, least)

"""The motions of a cycle on a shared track: what is asked, and what is found."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.tours.graph import Lag

if TYPE_CHECKING:
    from millhand.solvers.cycle.rails.rail_lines import Line


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One visit of a tour: its first and last event by number, where it is, and how the attendant goes on from it.

    `lead_steps`: the attendant has to be there so long before the first event. `turn_steps`: to turn to its other hand
    after the visit before, if it stayed. `at_once`: it does not come sooner than
    that, as with a part in its only hand, with which it waits nowhere but where it lifted it.
    """

    place: str
    first: int
    last: int
    lead_steps: int = 0
    turn_steps: int = 0
    goes_loaded: bool = False
    at_once: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Tours whose order is known, and the motions that they need: events with times at some period, and the arcs
    that bind them. The arcs hold all but the travel of the attendants on the rail.

    `floor_steps`: no period is shorter; the search ends when it is reached.
    """

    rail: Rail
    tours: Mapping[str, tuple[Call, ...]]  # in order of time; empty where an attendant has nothing to do
    times: tuple[int, ...]
    period_steps: int
    arcs: tuple[Lag, ...]
    floor_steps: int

    def lap(self, event: int, since: int = 0) -> int:
        """How many periods have to be taken off an event's time to bring it into the period from `since` on."""
        return (self.times[event] - since) // self.period_steps

    def laps(self, call: Call) -> tuple[int, int]:
        """The same for the events of a visit: the first within the first period, the last at or after the first."""
        lap = self.lap(call.first)
        return lap, self.lap(call.last, self.times[call.first] - lap * self.period_steps)

    def lap_between(self, one: "Spell", other: "Spell") -> int:
        """How many laps on the other comes after the one; of two in no time at one moment as their tour has it."""
        lap = -((other.begins - one.ends) // self.period_steps)
        moment = {each % self.period_steps for each in (one.begins, one.ends, other.begins, other.ends)}
        lasts = one.ends > one.begins or other.ends > other.begins
        if len(moment) > 1 or lasts or one.call is None or other.call is None:
            return lap
        return lap + (other.call.first < one.call.first)

    def spell(self, call: Call) -> tuple[int, int]:
        """When a visit begins, within the first period, and when it ends."""
        first, last = self.laps(call)
        return self.times[call.first] - first * self.period_steps, self.times[call.last] - last * self.period_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """When an attendant is at a place, and for which visit."""

    begins: int
    ends: int
    call: Call | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """An attendant at a place, from its arrival to its departure; none of `calls` where it only stands aside.

    Each call is the number of a visit, and how many laps later it is here than in the tour.
    """

    place: str
    arrive: int
    depart: int
    goes_steps: int  # how long the motion takes that follows
    calls: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """One attendant's rests in order, no two in a row at one place; a single one where it never moves."""

    arm: str
    rests: tuple[Rest, ...]

    @property
    def moves(self) -> bool:
        """Whether there is any motion."""
        return len(self.rests) > 1

    def way(self, number: int) -> tuple[str, str]:
        """The motion that leaves a rest."""
        return self.rests[number].place, self.rests[(number + 1) % len(self.rests)].place

    def before(self, number: int) -> tuple[int, int]:
        """The rest before one, and in which lap it is: -1 before the first."""
        return (number - 1, 0) if number else (len(self.rests) - 1, -1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """What was found: the period, the time of each event, each attendant's rests, and the arcs that gave these times.

    Of rests in no time at one moment the times do not tell which comes first; the arcs do.
    """

    period_steps: int
    times: tuple[int, ...]
    loops: Mapping[str, Loop]
    lines: "tuple[Line, ...]"

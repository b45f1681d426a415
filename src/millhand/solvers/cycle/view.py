"""The steady view of a cell: whole grid steps, no chance, what one minimal part set asks of whom."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

VisitKind = Literal["pick", "place", "swap", "duty"]
PhaseKey = tuple[str, str, str, str]  # attendant, station, part, kind of visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """One kind of visit of one attendant at one station: lead and tail bind the station, hold binds both."""

    lead_steps: int = 0
    hold_steps: int = 0
    tail_steps: int = 0
    lead_on_finish: bool = False

    @property
    def arrival_lead_steps(self) -> int:
        """The lead that the attendant has to stand through because it starts when it arrives."""
        return 0 if self.lead_on_finish else self.lead_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One step of a route: where it may be done, and how long it takes there."""

    stations: tuple[str, ...]
    times_steps: tuple[int, ...]  # one per station
    stay_max_steps: int | None = None
    stay_since: int = 0  # so many steps of the route before this one the limited stay begins
    every: int = 1

    def time_steps(self, station: str) -> int:
        """The time of this step at one of its stations."""
        return self.times_steps[self.stations.index(station)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """A part moved from one step of its route to a later one, and who can move it; nobody is needed where it moves
    by itself."""

    part: str
    step: int
    to_step: int
    who: tuple[str, ...]
    by_itself: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mover:
    """An attendant as the cycle sees it: hands, and travel between places, None where it cannot go."""

    id: str
    kind: Literal["arm", "operator"]
    hands: int
    turn_steps: int
    rows: Mapping[str, int]  # place: row of the tables; empty where nobody moves
    empty_steps: tuple[tuple[int | None, ...], ...]
    loaded_steps: tuple[tuple[int | None, ...], ...]

    def travel_steps(self, start: str | None, end: str | None, *, loaded: bool) -> int | None:
        """Travel between two places; 0 where the attendant does not move at all."""
        if not self.rows or start is None or end is None:
            return 0
        if start not in self.rows or end not in self.rows:
            return None
        table = self.loaded_steps if loaded else self.empty_steps
        return table[self.rows[start]][self.rows[end]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Special:
    """What only some cells have, and only the search for the best cycle holds."""

    loads: Mapping[str, int] = field(default_factory=dict)  # station: parts of one load
    only_to: Mapping[str, str] = field(default_factory=dict)  # from an own buffer to its machine, from it to the other
    duties: Mapping[str, Fraction] = field(default_factory=dict)  # how often in one part set
    alone: frozenset[str] = frozenset()  # stations where one attendant at a time can be
    machines: Mapping[str, str] = field(default_factory=dict)  # own buffer: its machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """What the cycle solvers get. `phases` holds what each attendant can do where; `part_set` the parts of one
    minimal set; `left_out` what the cycle does not contain, in words."""

    grid_s: float
    part_set: Mapping[str, int]
    routes: Mapping[str, tuple[Stop, ...]]
    transfers: tuple[Transfer, ...]
    movers: Mapping[str, Mover]
    places: Mapping[str, str | None]  # station: place
    slots: Mapping[str, int | None]  # station: capacity
    turnaround_steps: Mapping[str, int]  # gates only
    phases: Mapping[PhaseKey, Phase]
    track_pairs: tuple[tuple[str, str], ...]
    working: frozenset[str]  # stations that do something to a part
    singles: frozenset[str]  # working stations and gates that one part fills
    attended: frozenset[str]  # stations where the attendant stays through the process
    left_out: tuple[str, ...]
    self_in: frozenset[str] = frozenset()  # stations into which parts come by themselves
    self_out: frozenset[str] = frozenset()
    orders: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # attendant: stations it lifts from, in turn
    special: Special = Special()
    railed: frozenset[str] = frozenset()  # attendants on a track with others: they may wait loaded on their way

    @property
    def loads(self) -> Mapping[str, int]:
        """How many parts one load of a station has, where several; its slots then count parts."""
        return self.special.loads

    @property
    def only_to(self) -> Mapping[str, str]:
        """Where a part goes from a machine's own buffer, and from the machine to it."""
        return self.special.only_to

    @property
    def duties(self) -> Mapping[str, Fraction]:
        """The duties that a cycle holds: how often in one part set."""
        return self.special.duties

    @property
    def alone(self) -> frozenset[str]:
        """The stations where one attendant at a time can be."""
        return self.special.alone

    def goes_at_once(self, part: str, step: int) -> bool:
        """Whether a part is never waited with on its way from this step of its route to the next: a limited stay before
        or behind it would be none."""
        return any(stop.stay_max_steps is not None for stop in self.routes[part][step : step + 2])

    def machine(self, station: str) -> str:
        """The machine that an own buffer belongs to; any other station itself."""
        return self.special.machines.get(station, station)

    @property
    def set_size(self) -> int:
        """Parts in one minimal set."""
        return sum(self.part_set.values())

"""What is decided when lots are planned: who carries which part from where to where, in which order, and when."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, SetUp, Way
from millhand.solvers.cycle.view import Phase


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """One transfer of one part: its way, and when lift and set-down begin and end."""

    way: Way
    lift: int
    lifted: int
    set: int
    placed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One changeover: before which part enters which step, by whom, and when."""

    set_up: SetUp
    station: str
    part: int
    step: int  # that the part enters
    who: str
    start: int
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """What an attendant does in one go: a whole transfer, one end of it, or the changeover of this number."""

    kind: Literal["carry", "pick", "place", "change"]
    hop: Hop  # of a changeover: its number, 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A stretch of a shared track that an attendant takes up: from setting out for a visit until it stands again, or
    standing after it (before the first one, where there is no visit)."""

    who: str
    visit: Visit | None
    what: Literal["ride", "rest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """A departure or an arrival on a shared track: of the motion 'to' a visit, 'on' with the part, or 'home' after it,
    which is the one aside (before the first one, where there is no visit); 'again' to a second place aside; 'off':
    whichever comes first after a rest before a visit."""

    who: str
    visit: Visit | None
    name: Literal["to", "on", "home", "again", "off"]
    what: Literal["depart", "arrive"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All decisions. `orders` is what each attendant does one after the other; `swaps` says by which transfer the part
    comes in that is exchanged for the one that a transfer takes out."""

    carried: Mapping[Hop, Carried]
    orders: Mapping[str, tuple[Visit, ...]]
    swaps: Mapping[Hop, Hop]
    changes: tuple[Changed, ...] = ()
    # on a shared track: where an attendant goes aside to after a visit, home or elsewhere; None: before its first one
    parks: Mapping[tuple[str, Visit | None], str] = field(default_factory=dict)
    again: Mapping[tuple[str, Visit | None], str] = field(default_factory=dict)  # and where to after that
    apart: tuple[tuple[Mark, Mark], ...] = ()  # on a shared track: the first stretch is over before the second begins
    clear: tuple[tuple[Moment, Moment, int], ...] = ()  # there too: the second moment comes so long after the first
    ranks: Mapping[tuple[Hop, str], int] = field(default_factory=dict)  # at one moment the lower comes first

    @property
    def end(self) -> int:
        """When the last part is set down."""
        return max((each.placed for each in self.carried.values()), default=0)

    def rank(self, hop: Hop, end: Literal["out", "in"]) -> int:
        """What comes first of several lifts and set-downs at one moment."""
        return self.ranks.get((hop, end), 0)

    def swapped_in(self) -> dict[Hop, Hop]:
        """By which transfer the old part goes out, for each one that an exchange brings in."""
        return {comes: goes for goes, comes in self.swaps.items()}


def lift_phase(lots: Lots, plan: Plan, hop: Hop) -> Phase:
    """The visit that takes a part out; an exchange has the row of the part that comes in."""
    way = plan.carried[hop].way
    other = plan.swaps.get(hop)
    if other is not None:
        return lots.phase(way.who, way.start, other[0], "swap")
    return lots.phase(way.who, way.start, hop[0], "pick")


def set_phase(lots: Lots, plan: Plan, hop: Hop) -> Phase:
    """The visit that puts a part in."""
    way = plan.carried[hop].way
    kind = "swap" if hop in plan.swapped_in() else "place"
    return lots.phase(way.who, way.goal, hop[0], kind)


def turn_steps(lots: Lots, way: Way) -> int:
    """From one hand to the other."""
    mover = lots.mover(way)
    return 0 if mover is None else mover.turn_steps

"""The Cell: stations served by attendants, whoever they are. Format `millhand-cell/1`; rules in docs/cell.md."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from annotated_types import Ge, Gt, Le

from millhand.model.duty import Changeover, Duty
from millhand.model.handling import Handling
from millhand.model.span import Span
from millhand.model.station import Station

CELL_FORMAT = "millhand-cell/1"
Share = Annotated[float, Ge(0), Le(1)]
Seconds = Annotated[float, Ge(0)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A spot where a hand, an arm or a person can be; `track_m` only where it lies on a track."""

    track_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """Attendants that share a rail, in their order along it, and the least distance of neighbours."""

    attendants: tuple[str, ...]
    keep_m: Annotated[float, Ge(0)] = 0.0
    rule: Literal["apart", "order"] = "apart"


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Where a person may stand: the duties done there, and what each attendant does meanwhile."""

    duties: tuple[str, ...] = ()  # written `from` in a file
    slows: Mapping[str, Literal["slow", "stop"]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """Repeating hours of work; breaks are gaps; `to` of an interval is exclusive."""

    period_s: Annotated[float, Gt(0)]
    on: tuple[tuple[Seconds, Seconds], ...]
    at_end: Literal["finish_element", "finish_duty", "finish_load", "drop"] = "finish_element"


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """Travel by distance between places on a track: trapezoidal profile and a settling time, expanded on loading."""

    places: tuple[str, ...]
    speed_m_s: Annotated[float, Gt(0)]
    accel_m_s2: Annotated[float, Gt(0)]
    settle_s: Seconds = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveTable:
    """Travel times between places [s], row = from, column = to; None = cannot.

    After loading, `axis` has been expanded and is None, `loaded_s` written as pairs has become a full matrix (pairs not
    named are None, a place to itself 0), and `loaded_s` None still means 'as empty'.
    """

    places: tuple[str, ...] = ()
    empty_s: tuple[tuple[Seconds | None, ...], ...] = ()
    loaded_s: tuple[tuple[Seconds | None, ...], ...] | None = None
    axis: Axis | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Attendant:
    """An operator or an arm: hands, moves, hours, and what can go wrong with it. `moves_full` is the table in use when
    nothing slows it; in a file both stand under `moves` as one name or as {full, slow}."""

    kind: Literal["arm", "operator"]
    hands: Annotated[int, Ge(1)] = 1
    turn_s: Seconds = 0.0
    home: str | None = None
    moves_full: str | None = None
    moves_slow: str | None = None
    take_from: tuple[str, ...] | None = None
    put_to: tuple[str, ...] | None = None
    calendar: str | None = None
    pace: Annotated[float, Gt(0)] = 1.0
    faults: tuple["AttendantFault", ...] = ()
    wear: tuple["AttendantWear", ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AttendantFault:
    """A stop of an attendant (arm, air, network): when it comes, who ends it, what stops with it."""

    id: str
    on: Literal["busy", "clock", "load"]
    every: Span | None = None
    p: Share | None = None
    duty: str | None = None
    self_s: Span | None = None
    stops: tuple[str, ...] = ()  # ids, or ("all",)


@dataclass(frozen=True, slots=True, kw_only=True)
class AttendantWear:
    """What an attendant uses up: gripper pads, fingers."""

    id: str
    unit: Literal["loads", "busy_s"]
    limit: Annotated[float, Gt(0)]
    spares: Annotated[int, Ge(0)] = 0
    duty: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a route: where, how long, how many are good. `times_s`: a time per station where they differ."""

    at: tuple[str, ...]
    time_s: Span | None = None
    times_s: Mapping[str, Span] | None = None
    stay_max_s: Annotated[float, Ge(0)] | None = None
    good: Share = 1.0
    every: Annotated[int, Ge(1)] = 1
    on_bad: Literal["scrap_this", "scrap_since_last"] | None = None
    uses: Mapping[str, Annotated[int, Ge(1)]] = field(default_factory=dict)
    family: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """So many lots of so many parts, for makespan and changeovers."""

    size: Annotated[int, Ge(1)]
    count: Annotated[int, Ge(1)] = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class CellPart:
    """One part type: its share of the mix or its lots, and its route from supply to sink."""

    route: tuple[Step, ...]
    share: Annotated[float, Gt(0)] | None = None
    lot: Lot | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Dispatch:
    """How an attendant chooses what to do next."""

    rule: Literal["longest_waiting", "nearest", "first_to_finish", "order", "cycle"] = "longest_waiting"
    order: tuple[str, ...] = ()
    fallback: Literal["longest_waiting", "nearest", "first_to_finish", "order"] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """Where a number of the cell came from: a fact of the study, times a factor."""

    fact: str
    factor: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """Everything that scheduler and simulator take. Maps keep file order; file order is the tie order."""

    format: str = CELL_FORMAT
    name: str
    grid_s: Annotated[float, Gt(0)] = 0.001
    goal: Literal["rate", "makespan"] = "rate"
    places: Mapping[str, Place] = field(default_factory=dict)
    tracks: Mapping[str, Track] = field(default_factory=dict)
    zones: Mapping[str, Zone] = field(default_factory=dict)
    calendars: Mapping[str, Calendar] = field(default_factory=dict)
    stations: Mapping[str, Station] = field(default_factory=dict)
    attendants: Mapping[str, Attendant] = field(default_factory=dict)
    moves: Mapping[str, MoveTable] = field(default_factory=dict)
    handling: tuple[Handling, ...] = ()
    parts: Mapping[str, CellPart] = field(default_factory=dict)
    changeovers: tuple[Changeover, ...] = ()
    duties: Mapping[str, Duty] = field(default_factory=dict)
    dispatch: Mapping[str, Dispatch] = field(default_factory=dict)
    origins: Mapping[str, Origin] = field(default_factory=dict)

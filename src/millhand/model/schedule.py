"""The schedule of a cell: its load bounds, its cycle as an event graph, and which circuit sets the pace."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One happening of the repeating cycle: an attendant lifts from or sets down at a station, or a process starts."""

    id: str
    attendant: str | None
    station: str
    what: str  # 'lift', 'lifted', 'set', 'placed', 'start', 'finish'
    part: str
    lap: int  # in which lap, counted from the part's lift out of the supply, this event happens
    at_steps: int  # time within the period, in grid steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """`after` comes at least `lag_steps` after `before`: t(after) >= t(before) + lag - laps x period."""

    before: str
    after: str
    lag_steps: int
    laps: int
    why: str  # which resource or rule: 'm1', 'arm1', 'window m1', ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """The least period that one resource alone would need for one minimal part set, in grid steps.

    `steps` is the long-run load with the means of stops, wear, refills, duties, missed picks and scrap in it;
    `cycle_steps` the part of it that a cycle without all these needs.
    """

    resource: str
    steps: float
    cycle_steps: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """A repeating cycle with its proof: period, parts per period, bounds, arcs, the critical circuit."""

    cell: str  # hash of the canonical cell
    grid_s: float
    period_steps: int
    parts_per_period: int
    bounds: tuple[Bound, ...]  # largest first
    events: tuple[Event, ...]
    arcs: tuple[Arc, ...]
    critical: tuple[str, ...]  # event ids of a circuit whose ratio is the period
    proven: bool  # no shorter cycle of this kind exists
    how: str  # 'load bound', 'best of the simple cycles', 'exhaustive over one-unit cycles', ...
    left_out: tuple[str, ...]

"""The schedule of a cell: its load bounds, its cycle as an event graph, and which circuit sets the pace."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One happening of the schedule: an attendant lifts from or sets down at a station, or a process starts; where
    attendants share a track, also each motion of theirs: it departs from a place and arrives at another.

    The events of one visit, load, motion or duty have the number at the front of their ids in common. A load of several
    parts starts and finishes once, or once for each of its parts at the same time; a machine with buffers of its own
    always has these events. A part that moves by itself has the four events of a lift and a set-down at one time, tied
    to each other by arcs, without an attendant. A duty in the cycle begins and ends by 'duty' and 'duty_done', at its
    place, with its id where others have the part. Where lots begin, a 'depart' at time 0 alone says that an attendant
    stands at home. A changeover starts and finishes by an attendant and has no part.
    """

    id: str
    attendant: str | None
    station: str  # empty for a motion and a duty
    what: str  # 'lift', 'lifted', 'set', 'placed', 'start', 'finish', 'depart', 'arrive', 'duty', 'duty_done'
    part: str  # empty for a motion; the duty's id for a duty
    # in which lap, counted from the part's lift out of the supply, this happens; 0 for motions and duties. A part that
    # is lifted a lap later than another of its load counts from the lap before.
    lap: int
    at_steps: int  # time within the period, in grid steps
    place: str | None = None  # of a motion: where it departs or arrives; of a duty: where it is done


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
    """A repeating cycle with its proof: period, parts per period, bounds, arcs, the critical circuit.

    With the goal 'makespan' nothing repeats: time runs from when all attendants stand at home, the period is the time
    of the last event, all lots are its parts, every lap is 0, every event comes as early as its arcs
    allow, and `critical` is a chain of arcs as long as that.
    """

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
    goal: Literal["rate", "makespan"] = "rate"
    duties_left_out: tuple[str, ...] = ()  # ids of duties that come with the parts and that no event of the cycle does
    least_steps: int = 0  # no period for so many parts is shorter: the best bound known, from theory or from the search

"""The same cell guarded in different ways, and the hazards to start a risk assessment from; figures are fact ids."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from millhand.model.cell import Cell
from millhand.model.safety import HazardAt, SafetyAnswers

AT_MACHINES = ("clear", "tools", "chips")  # how the duties of a cell begin that are done in front of the machines


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """One distance that a guard must keep, with the edition or rule that it comes from."""

    words: str
    rule: str  # which standard, which edition
    fact: str
    end: Literal["value", "high"] = "value"  # which is asked for: the far end where it rests on the time of a stop


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """One body region: how fast this arm may meet it, and how hard it may be clamped."""

    name: str
    speed: str | None  # fact id; None: contact is not allowed at any speed
    clamped: str  # fact id: greatest force where the region may be caught


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """What speaks against contact with this cell, whatever the arm; `kills` where it rules contact out."""

    id: str
    words: str  # with [[fact id|format]] marks where figures stand
    kills: bool
    question: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Guarded:
    """One cell with one way to guard it. A way that does not fit has its words and no figures."""

    choice: str
    title: str
    function: str  # words: what the safety function does
    misfit: str = ""  # why it does not fit here
    ruled_out: tuple[
        str, ...
    ] = ()  # ids of the obstacles that rule it out; the figures then only show what it would give
    judged: Mapping[str, str] | None = None  # severity, frequency, avoidance: fact ids
    level: str | None = None  # performance level that the risk graph asks for: 1 is a, 5 is e
    distances: tuple[Distance, ...] = ()
    near: str = ""  # what the arm does near people: stop, slow, touch
    speed: str | None = None  # of the arm near people
    parts_per_h: str | None = None
    against: str | None = None  # share by which that lies above (+) or below (-) the cell's first way that fits
    near_h: str | None = None  # hours of a mean shift in which the arm is slowed or stopped by people
    floor: str | None = None
    price: str | None = None
    payback_months: str | None = None
    reason: str = ""  # why there is no payback


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardedCell:
    """One concept with every way to guard it."""

    concept: str
    title: str
    arm_class: str
    regions: tuple[Region, ...]  # none of an arm that does not limit its force
    binding: str  # the region that allows least; empty without regions
    rows: tuple[Guarded, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A flag about the machine's own guarding: what changes, and who answers for it."""

    words: str
    question: str
    until: str = ""  # what the concept takes for granted until that is answered


@dataclass(frozen=True, slots=True, kw_only=True)
class SimulatedCell:
    """A cell that a row was simulated with."""

    name: str
    cell: Cell


@dataclass(frozen=True, slots=True, kw_only=True)
class Safeguarding:
    """The recommended cell and the best of each class of arms, guarded in each way, and what to look at."""

    cells: tuple[GuardedCell, ...]
    recommended: str | None  # id of the concept that the study recommends; None where it recommends no cell
    obstacles: tuple[Obstacle, ...]
    machine: tuple[Question, ...]
    hazards: tuple[HazardAt, ...]  # of all cells and ways that are compared
    simulated: tuple[SimulatedCell, ...] = ()
    passing_every: str | None = None  # from one who passes to the next; None where nobody passes a field
    passing_takes: str | None = None  # how long he is near
    answers: SafetyAnswers | None = None  # what is asked besides of the first of the cells

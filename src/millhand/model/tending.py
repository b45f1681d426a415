"""What people who are not at the machines cost, and other ways to share the machines out: as fact ids."""

from dataclasses import dataclass
from typing import Literal

from millhand.model.cell import Cell

Cause = Literal[
    "breaks", "handover", "absence", "away", "stops", "wear", "long_stops", "scrap", "set_ups", "unexplained"
]  # fmt: skip
Whose = Literal["people", "machines", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """One cause of lost parts: hours of a mean shift, and parts of a mean shift that are not made for it."""

    cause: Cause
    whose: Whose  # whose hours
    hours: str | None
    parts: str
    simulated: bool  # the cause taken out of the simulated week alone; else a share of what was left before it


@dataclass(frozen=True, slots=True, kw_only=True)
class TendingWay:
    """One way to share the machines out and to cover the breaks, simulated."""

    tend: Literal["own", "together"]
    break_cover: Literal["none", "each_other", "relief"]
    today: bool
    parts: str  # off the machines in a mean shift
    waiting_share: str  # of machine time with somebody there, in which a machine waits for him
    busy_share: str  # of the operators' time there


@dataclass(frozen=True, slots=True, kw_only=True)
class TendingCell:
    """A cell of today with one thing otherwise, which a row was simulated with."""

    name: str
    cell: Cell


@dataclass(frozen=True, slots=True, kw_only=True)
class Tending:
    """Where parts are lost today, from the machines to the shop's door, and other ways to tend the same machines."""

    made: str  # parts off the machines in a mean shift, as simulated
    losses: tuple[Lost, ...]
    ways: tuple[TendingWay, ...]
    cells: tuple[TendingCell, ...] = ()  # of the rows that are not as today

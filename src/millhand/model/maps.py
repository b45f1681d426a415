"""Two things moved at once: what payback and present worth of one concept come to at every pair of their values."""

from dataclasses import dataclass
from typing import Literal

Moved = Literal["shifts", "money", "presenter"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MapCell:
    """What one pair of values comes to; both figures None where no such pair can be."""

    payback_months: str | None  # None: never within the horizon
    npv: str | None
    back: Literal["by_hurdle", "later", "never", "no_such"]  # when the money is back


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoWay:
    """One pair of things moved; every figure a fact id."""

    moved: Moved  # shifts by their length, wage by price, presenter by share of faults
    rows: tuple[str, ...]  # the values of the first, from small to large
    columns: tuple[str, ...]  # the values of the second
    cells: tuple[tuple[MapCell, ...], ...]  # by rows
    here: tuple[int, int]  # row and column that are as in the study
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Maps:
    """All that was moved on one concept."""

    concept: str
    maps: tuple[TwoWay, ...]

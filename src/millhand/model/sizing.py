"""What a larger presenter, fewer faults or longer tool life would bring: one thing moved at a time."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class SizePoint:
    """One value of what is moved, and what comes of it; every figure a fact id."""

    value: str
    refills_a_shift: str
    alone_expected: str | None  # parts of one run alone, by closed form; None where nobody wishes for one
    alone_simulated: str | None  # the same, as far as the simulation bears it out
    parts_per_y: str
    payback_months: str | None  # None: never within the horizon
    npv: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """One thing moved, the price held: its points in rising order, and the knee beyond which little is gained."""

    moved: Literal["pockets", "faults", "tool_life"]
    points: tuple[SizePoint, ...]
    here: int  # the point as it is in the study
    knee: int | None  # the first point that has nearly all of the gain; None where nothing is gained at all
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """All that was moved on one concept."""

    concept: str
    rows: tuple[Sizes, ...]

"""What somebody else's calculation says of a cell, and what the study says to that."""

from dataclasses import dataclass
from typing import Literal

from millhand.model.fact import Fact

Finding = Literal["fits", "twice", "unordered", "too_many", "day_rate", "too_soon", "too_cheap"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """Figures of a sheet, an offer or a talk that the shop wants looked at; None: nothing is said of it."""

    by: str  # who says so
    heads: Fact | None  # posts saved in all
    extra_parts_per_y: Fact | None  # parts a year on top of today's
    parts_alone: Fact | None  # made in one run with nobody there
    payback_months: Fact | None
    price: Fact | None  # money


@dataclass(frozen=True, slots=True, kw_only=True)
class Claimed:
    """One figure that was claimed beside what was found."""

    claim: str  # field of the claims
    told: str  # fact id
    found: str | None  # fact id; None: never
    finding: Finding
    words: str

"""A starter: a generic cell as a starting point, with an inquiry of its own."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Starter:
    """What a generic cell is, when it fits and when not; its typical figures stand in its inquiry."""

    id: str
    title: str
    what: str
    fits: tuple[str, ...]
    fits_not: tuple[str, ...]
    concept: str  # id of the concept that it stands for
    lacks: str = ""  # what of it cannot be worked out, and what its inquiry is run with

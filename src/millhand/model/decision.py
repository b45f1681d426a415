"""The answer: a ranking with today in it, a recommendation with its reasons, and what to ask next."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """One concept's place; `fell` names the check that killed it, None for a concept that can work."""

    concept: str
    place: int | None
    fell: str | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Driver:
    """How far one uncertain fact moves the winner's payback: its value at the fact's low and at its high end."""

    fact: str
    at_low: str | None  # fact id [months]; None: never within the horizon
    at_high: str | None
    swing: str  # fact id: movement of the money that is back by the hurdle, from low to high [money]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question for the shop, the fact that its answer replaces, and why it stands where it stands."""

    fact: str
    words: str
    why: str
    kills: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """`answer`: a cell, a better way by hand, or no. Sentences hold [[fact id|format]] marks where figures stand."""

    answer: Literal["cell", "by_hand", "no"]
    winner: str
    second: str | None
    sentences: tuple[str, ...]
    would_change: tuple[str, ...]
    ranking: tuple[Ranked, ...]
    drivers: tuple[Driver, ...]
    asks: tuple[Ask, ...]

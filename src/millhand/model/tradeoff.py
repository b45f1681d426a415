"""How many ways were looked at and where each was left, and which of them nothing beats in everything."""

from collections.abc import Mapping
from dataclasses import dataclass

AIMS = {  # what is weighed: whether more of it is better
    "payback_p50": False,
    "payback_p90": False,
    "alone": True,  # parts of one run with nobody there
    "price": False,
    "floor": False,
    "tied": False,  # part of the price that serves no other job
    "missing": False,  # chance that the money is not back by the hurdle
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Traded:
    """One simulated way with what it brings, as fact ids by aim; None where nothing is paid, taken or made, or where
    the money never comes back. `beaten_by` names those that are nowhere worse and somewhere better."""

    concept: str
    aims: Mapping[str, str | None]
    beaten_by: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FallenAt:
    """Cells that one check ended: how many (fact id), and the one that missed by least with its margin (fact id)."""

    check: str
    number: str
    nearest: str
    margin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Funnel:
    """What became of every combination, as fact ids: they add up to `combinations`."""

    combinations: str
    by_rule: str  # a rule says in words why they make no sense here
    by_size: str  # a smaller arm of the class does the same
    fell: tuple[FallenAt, ...]  # the check that missed most, the most frequent first
    by_bound: str  # worked out at what the busiest resource allows at most, and worth less than the best even so
    simulated: str
    left_out: str | None = None  # by somebody's wish; None where nobody has one
    added: str | None = None  # there by hand alone, and counted among the combinations


@dataclass(frozen=True, slots=True, kw_only=True)
class Tradeoff:
    """The funnel, and the simulated ways with today among them, those that nothing beats first."""

    funnel: Funnel
    front: str  # fact id: how many nothing beats
    traded: tuple[Traded, ...]

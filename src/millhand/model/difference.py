"""Two studies beside each other: what went in otherwise, and which change moved the answer by how much."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from millhand.model.cell import Cell
from millhand.model.fact import Choice, Fact

# moved: another figure or word; known: the same one on another basis or with another range; new, gone: only in one
ChangeKind = Literal["moved", "known", "new", "gone"]
# together: what changes do that none of them does alone; simulated: what solvers and simulation gave anew; otherwise:
# what was built or counted by other steps; whole: all of it
EffectKind = Literal["input", "together", "simulated", "otherwise", "whole"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """One concept of a study that has a case, as fact ids."""

    concept: str
    npv: str
    payback_months: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of two studies, as far as they are compared. Cells by the fact of their load bound; none without folder."""

    name: str
    file: str
    version: str
    seed: int
    currency: str
    answer: str
    winner: str  # concept
    subject: str | None  # concept whose money is looked at: the winner, else the best with a case
    titles: Mapping[str, str]  # of every concept
    facts: Mapping[str, Fact]
    choices: Mapping[str, Choice]
    priced: tuple[Priced, ...]
    cells: Mapping[str, Cell] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A study as a comparison tells it; figures of the concept whose money is looked at."""

    name: str
    file: str
    version: str
    seed: int
    answer: str
    winner: str  # the concept that is advised
    title: str
    subject: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One fact or word that went in otherwise; None on the side that does not have it."""

    id: str
    kind: ChangeKind
    first: Fact | Choice | None
    second: Fact | Choice | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one change (`of`: its fact), or one remainder, moved."""

    kind: EffectKind
    of: str | None
    npv: Fact
    payback_months: Fact | None  # None: the payback is not shared out


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One concept in both studies: its figures, their whole difference, and the effects that add up to it."""

    concept: str
    title: str
    npv: tuple[Fact | None, Fact | None]
    payback_months: tuple[Fact | None, Fact | None]
    whole: Effect | None  # None: the concept has no case in one of the studies
    effects: tuple[Effect, ...] = ()
    all_orders: bool = True  # shared out over all orders of the changes; else each first and each last
    reason: str = ""  # why something is not shared out, in words


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """All that differs between two studies, the first taken as the one before."""

    currency: str
    first: Told
    second: Told
    changes: tuple[Change, ...]
    moved: tuple[Moved, ...]
    with_cells: bool  # load bounds were solved anew for each change; else they stand among what was simulated

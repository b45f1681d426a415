"""A fact: one number or one word with its range, where it comes from, and the question that would replace it."""

from dataclasses import dataclass
from typing import Literal

Basis = Literal["given", "measured", "judged", "assumed", "computed"]
Shape = Literal["point", "triangular", "lognormal", "uniform"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number, in SI (money: the inquiry's currency), with its range from P10 to P90.

    `id` is a path (`parts.bracket.first_side.time`) or made from choices, never a counter. `source` says where the
    value stands (file:line, a data file's row, a formula's source). A judged fact names the fact it replaced in
    `instead_of`; that one stays in the map. A computed fact names its formula and the ids of its inputs, or the solver
    and the cell.
    """

    id: str
    value: float
    unit: str
    basis: Basis
    source: str
    low: float | None = None  # P10; None: the value is taken as exact
    high: float | None = None  # P90
    shape: Shape = "point"
    question: str | None = None
    note: str | None = None
    attachment: str | None = None
    formula: str | None = None
    inputs: tuple[tuple[str, str], ...] = ()  # (parameter, fact id); a parameter named twice takes several facts
    outside: tuple[str, ...] = ()  # inputs outside the formula's valid range, in words
    instead_of: str | None = None
    title: str | None = None  # what it is, in a few words for a reader; None: its path says it


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One word out of a stated set, with the same provenance as a number: the kind of a machine, how a door opens."""

    id: str
    value: str
    options: tuple[str, ...]
    basis: Basis
    source: str
    question: str | None = None
    note: str | None = None
    attachment: str | None = None
    instead_of: str | None = None
    title: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A default out of a data file: used, and shown as assumed, where the inquiry says nothing.

    `key` is the fact id with names left out (`parts.*.operations.*.yield`), or a plain name used by one stage.
    For a word `word` holds it and the numbers are None.
    """

    key: str
    unit: str
    source: str
    question: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    shape: Shape = "triangular"
    word: str | None = None
    kills: int = 0  # 1 to 3: how far up the list of questions that could kill the job; 0: not one of them

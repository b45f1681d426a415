"""The answer: a ranking with today in it, a recommendation with its reasons, and what to ask next."""

from dataclasses import dataclass
from typing import Literal

from millhand.model.introduction import Introduction
from millhand.model.tradeoff import Tradeoff


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
    worth: str | None = None  # fact id: what it is worth to know it before choosing [money]; None: nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question for the shop, the fact that its answer replaces, and why it stands where it stands."""

    fact: str
    words: str
    why: str
    kills: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What one concept comes to in all the draws: fact ids; None for a payback that does not come in such a draw."""

    concept: str
    payback_p10: str | None
    payback_p50: str | None
    payback_p90: str | None
    npv_p10: str
    npv_p50: str
    npv_p90: str
    best_chance: str  # share of the draws in which no other concept is worth more
    regret: str  # what it brings less, on the mean, than whatever is best in the draw [money]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What it is worth to know one fact before choosing a concept, as fact ids [money]."""

    fact: str
    worth: str
    error: str  # standard error from the number of draws


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadShare:
    """How much of the spread of the advised concept one fact brings, as fact ids of shares of the variance.

    First: what would go, on the mean, were it known. Total: what would stay were all others known. Payback None: the
    money does not come back.
    """

    fact: str
    npv_first: str
    npv_total: str
    npv_error: str  # the larger standard error of the two
    payback_first: str | None
    payback_total: str | None
    payback_error: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the choice among the simulated concepts is, by present worth, and what it is worth to know more."""

    draws: str  # fact id: how many
    outlooks: tuple[Outlook, ...]
    everything: str  # fact id: what it is worth to know every fact before choosing [money]
    error: str
    short_runs: str | None  # fact id: in how many draws every cell was simulated again; None: in none
    response_error: str | None  # fact id: largest error of the output fitted to these runs, as a share
    shares: tuple[SpreadShare, ...]  # of the strongest drivers
    known: tuple[Known, ...]  # each fact that is worth more to know than the figure's error, the most first


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders:
    """What becomes of one concept when more or less is ordered, of all families alike; figures are fact ids."""

    concept: str
    present: str  # ordered in a year
    turns_at: str | None  # where the hurdle is just met; None: at no number of orders that was looked at
    change: str | None  # by which share that lies away
    fall: str  # by which share orders fall in what follows
    fewer: str  # ordered in a year then
    freed_h_per_y: str
    payback_months: str | None  # None: not within the years that are counted
    npv: str
    hurdle_balance: str  # from 0 up the hurdle is met
    words: tuple[str, ...]  # sentences with marks


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLimit:
    """Up to which part, or from which part on, one check of a cell still passes, all else as it is; fact ids.

    Of a mass or a measure one figure; of a size the three sides of a part of the same proportions, the longest first.
    """

    check: str  # payload, moment, inertia, grip_force, door_opening, pockets, finger_room, bore_room, grip_travel ...
    what: Literal["mass", "size", "bore", "span"]  # span: sizes that one set of fingers takes
    end: Literal["most", "least"]
    present: tuple[str, ...]  # of this job
    at: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A work that people do today and that the arm of the best cell could do besides; figures are fact ids."""

    work: str  # the component's id
    short: str  # the work in a word
    station: str
    time: str  # of the arm, for each part [s]
    price: str  # installed, on top of the cell's [money]
    freed: str  # hours a year that people would not work on it
    rate_now: str  # parts an hour of the cell as it is, neither arm nor machines ever waiting in vain
    rate: str  # the same with this work


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
    sureness: Sureness | None = None
    tradeoff: Tradeoff | None = None  # what became of every combination, and what nothing beats in everything
    part_limits: tuple[PartLimit, ...] = ()  # of the same concept, where it is a cell
    orders: Orders | None = None  # of the winner, or of what comes nearest; None where nothing can work
    introduction: Introduction | None = None  # bringing the advised way into the shop; None where none is advised
    offers: tuple[Offer, ...] = ()  # what the best cell could do besides, where that was looked at

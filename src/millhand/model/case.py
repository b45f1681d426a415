"""What a concept earns against today, line by line, and how soon the money is back."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

BEFORE = ("order", "delivery", "hand_over")  # the periods before the cell makes parts
LineGroup = Literal["paid", "labour", "output", "alone", "running", "left"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CashLine:
    """One line of the case: what it is in a steady year at the first year's prices, or once; costs below zero.

    `by_period` follows from the amount, its growth and the case's ramp-up by the formulas of the case: one amount for
    each of the case's periods.
    """

    id: str  # labour, extra_output, upkeep, price ...
    words: str
    group: LineGroup
    amount: str  # fact id [money/y]; of what is paid or left once [money]
    growth: str | None  # fact id, share a year; None: once
    by_period: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CashRow:
    """One year after hand-over (year 0: what is paid before). Both are fact ids."""

    year: int
    net: str
    cumulative: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One step from the naive count towards the honest figure."""

    words: str
    payback: str | None  # fact id [months]; None: never within the horizon


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyYear:
    """What is paid once and what a steady year brings, at the first year's prices; every figure a fact id."""

    outlay: str  # what is paid before hand-over, the shop's own work in it
    output: str  # [money/y]: what more or fewer parts are worth
    running: str  # [money/y]: all running cost, from 0 up
    freed_h_per_y: str
    ramp_up: tuple[str, ...]  # share of the gain that each of the first months brings


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """The business case of one concept; every figure a fact id; None with a reason where there is no figure."""

    concept: str
    against: str
    periods: tuple[str, ...]  # order, delivery, hand_over, month_1 to month_24, year_3 ...
    lines: tuple[CashLine, ...]
    rows: tuple[CashRow, ...]
    saving_per_y: str  # steady year, price-linked costs left out
    payback_months: str | None  # simple, from hand-over
    payback_from_order_months: str | None
    discounted_payback_months: str | None
    npv: str
    irr: str | None
    plain_ratio_y: str | None  # price over the steady yearly saving
    naive_payback_months: str | None
    year: SteadyYear
    hurdle_balance: str  # fact id: money back less money out at the hurdle; from 0 up the hurdle is met
    further: Mapping[str, str] = field(default_factory=dict)  # further measures by name: fact ids
    rungs: tuple[Rung, ...] = ()
    hurdle_chance: str | None = None
    reasons: Mapping[str, str] = field(default_factory=dict)  # figure name: why it is None


def steady_lines(case: Case) -> Iterator[tuple[CashLine, str]]:
    """The lines that come every year, each with the id of its growth."""
    return ((line, line.growth) for line in case.lines if line.growth is not None)

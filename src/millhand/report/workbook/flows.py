"""What the sheets over months and years come to, for the numbers of the study or for changed ones."""

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass

from millhand.formulas.cashflow import discounted_payback_months, months_money, npv_money, payback_months
from millhand.model.case import CashLine
from millhand.report.workbook.graph import Graph

LONGEST_Y = 50  # years in which a payback is looked for, as the formula does it
NEVER = "not within the years counted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flows:
    """One case in numbers: lines of a steady year with their growth, what is paid, and the terms."""

    amounts: tuple[float, ...]
    growths: tuple[float, ...]
    ramp_up: tuple[float, ...]
    outlay: float
    rate: float
    horizon: float
    residual: float
    ahead: float

    def months(self, count: int) -> list[float]:
        """What each month brings, by the formula of the case."""
        return months_money(self.amounts, growths=self.growths, ramp_up=self.ramp_up, months=count)

    def balances(self, count: int) -> list[float]:
        """The balance at hand-over and at the end of each month."""
        return list(itertools.accumulate([-self.outlay, *self.months(count)]))

    def side(self, year: int, *, gains: bool) -> float:
        """All gains, or all costs, of one year at its own prices, without ramp-up."""
        return math.fsum(
            amount * (1.0 + growth) ** (year - 1)
            for amount, growth in zip(self.amounts, self.growths, strict=True)
            if (amount > 0.0) == gains
        )

    def share(self, month: int) -> float:
        """The share of the gains that a month brings."""
        return self.ramp_up[month - 1] if month <= len(self.ramp_up) else 1.0

    def counted(self, year: int) -> float:
        """How much of a year lies within the years that are counted."""
        return max(0.0, min(1.0, self.horizon - (year - 1)))

    def net(self, year: int) -> float:
        """What the lines of one year bring as far as it is counted."""
        return math.fsum(self.months(12 * year)[-12:]) * self.counted(year)

    def line(self, number: int, month: int, *, year: bool = False) -> float:
        """One line in a month, or in the year that ends with it, as far as it is counted."""
        amount, growth = self.amounts[number], self.growths[number]
        of = (month - 1) // 12 + 1
        months = range(month - 11, month + 1) if year else (month,)
        shares = math.fsum(self.share(each) if amount > 0.0 else 1.0 for each in months)
        return amount / 12.0 * (1.0 + growth) ** (of - 1) * shares * self.counted(of)

    def payback(self) -> float | str:
        """Simple payback in months, or that it does not come."""
        found = payback_months(self.outlay, yearly_money=self.amounts, growths=self.growths, ramp_up=self.ramp_up)
        return found if found <= 12.0 * self.horizon else NEVER

    def discounted(self) -> float | str:
        """Discounted payback in months, or that it does not come."""
        found = discounted_payback_months(
            self.outlay, yearly_money=self.amounts, growths=self.growths, ramp_up=self.ramp_up, rate=self.rate
        )
        return found if found <= 12.0 * self.horizon else NEVER

    def worth(self) -> float:
        """Net present worth."""
        years = npv_money(
            self.outlay,
            yearly_money=self.amounts,
            growths=self.growths,
            ramp_up=self.ramp_up,
            rate=self.rate,
            horizon_y=self.horizon,
        )
        return float(years + self.residual / (1.0 + self.rate) ** math.ceil(self.horizon) - self.ahead)


def flows(graph: Graph, numbers: Mapping[str, float] | None = None) -> Flows:
    """The case in the numbers of the study, or in changed ones by fact id."""

    def of(fact_id: str) -> float:
        return graph.value(fact_id) if numbers is None else numbers[fact_id]

    terms, paid = graph.study.inquiry.money, math.fsum(of(line.amount) for line in graph.lines("paid"))
    ahead = ahead_id(graph)
    return Flows(
        amounts=tuple(of(line.amount) for line in graph.yearly),
        growths=tuple(of(growth_of(line)) for line in graph.yearly),
        ramp_up=tuple(of(each) for each in graph.case.year.ramp_up),
        outlay=max(0.0, -paid),
        rate=of(terms.rate.id),
        horizon=of(terms.horizon_y.id),
        residual=math.fsum(of(line.amount) for line in graph.lines("left")),
        ahead=of(ahead) if ahead else 0.0,
    )


def growth_of(line: CashLine) -> str:
    """The growth of a line that comes every year."""
    assert line.growth is not None
    return line.growth


def ahead_id(graph: Graph) -> str | None:
    """The fact of what paying ahead of hand-over costs, where there is one."""
    fact_id = f"concepts.{graph.result.concept.id}.case.paid_ahead"
    return fact_id if fact_id in graph.facts else None

"""One concept's account: where its facts go, and a figure that may never come."""

from dataclasses import dataclass

from millhand.model.case import LineGroup
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.estimate import Estimate
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.trace import Inputs, Sheet, apply, apply_within, found


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """The concept whose case is made, and the sheet that its facts are written into."""

    sheet: Sheet
    inquiry: Inquiry
    concept: Concept
    catalogue: Catalogue
    estimate: Estimate

    def id(self, name: str) -> str:
        """The fact id of one figure of this concept's case."""
        return f"concepts.{self.concept.id}.case.{name}"

    def figure(self, name: str) -> Fact:
        """A figure of the catalogue, written into the sheet because the case will rest on it."""
        return found(self.sheet, self.catalogue.figures[name])

    def plain(self, name: str, value: float, unit: str) -> Fact:
        """A figure that follows from the kind of the concept: no upkeep for a change by hand, and the like."""
        why = f"follows from the concept's kind, {self.concept.kind}"
        return found(self.sheet, Fact(id=self.id(name), value=value, unit=unit, basis="computed", source=why))

    def rate(self, own: Fact | None, name: str) -> Fact:
        """What the shop says a kilowatt hour, a square metre costs, else the catalogue's figure in its money."""
        if own is not None:
            return own
        factor = self.sheet[self.estimate.price_factor]
        return apply(self.sheet, "priced_rate", f"money.{name}_assumed", amount=self.figure(name), price_factor=factor)

    def no_growth(self) -> Fact:
        """Of what is not taken to grow with wages or prices: what a part is worth."""
        why = "follows from what a part leaves, which is not taken to rise with wages or prices"
        return found(self.sheet, Fact(id="money.no_growth", value=0.0, unit="1", basis="computed", source=why))

    def orders(self) -> Fact:
        """Parts of all families that are ordered in a year."""
        orders = tuple(part.orders_per_y for part in self.inquiry.parts)
        return apply(self.sheet, "total_parts_per_y", self.id("orders"), orders_parts_per_y=orders)

    def sold(self, performance: Performance) -> Fact:
        """Parts of a year that this way makes and somebody buys."""
        return apply(
            self.sheet, "sold_parts_per_y", self.id("sold_parts"),
            orders_parts_per_y=self.orders(), capacity_parts_per_y=self.sheet[performance.parts_per_y],
        )  # fmt: skip

    @property
    def wage(self) -> Fact:
        """What one hour worked at the machines costs."""
        return self.sheet[self.estimate.worked_hour]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a steady year: what it brings, costs below zero, and by which share it grows a year."""

    id: str
    words: str
    group: LineGroup
    yearly: Fact
    growth: Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """What a concept costs once and brings in a steady year, at the first year's prices."""

    outlay: Fact  # installed price and the shop's own work
    freed: Fact  # hours
    lines: tuple[Line, ...]
    labour: Fact
    output: Fact  # what more parts bring less what is lost
    running: Fact  # all that it costs to run, from 0 up
    by_family: Fact  # of that, programming and fingers of new families
    ramp_up: tuple[Fact, ...]
    left: Fact | None = None  # what the equipment still brings at the end

    @property
    def flows(self) -> Inputs:
        """What every measure takes, apart from rate, horizon and hurdle."""
        return {"outlay_money": self.outlay, **self.years}

    @property
    def years(self) -> Inputs:
        """The same without what is paid before."""
        return {
            "yearly_money": tuple(line.yearly for line in self.lines),
            "growths": tuple(line.growth for line in self.lines),
            "ramp_up": self.ramp_up,
        }


def reached(ledger: Ledger, formula: str, name: str, within: float, inputs: Inputs) -> str | None:
    """The id of a time that comes within so many months, written as a fact; None where it does not."""
    fact = apply_within(ledger.sheet, formula, ledger.id(name), within, inputs)
    return fact.id if fact else None

"""One concept's account: where its facts go, and a figure that may never come."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from millhand.formulas import REGISTER
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.estimate import Estimate
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.trace import Sheet, apply, found

Inputs = Mapping[str, Fact | tuple[Fact, ...]]  # what a formula takes, by parameter


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

    @property
    def wage(self) -> Fact:
        """What one hour worked at the machines costs."""
        return self.sheet[self.estimate.worked_hour]


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """What a concept costs once and brings in a steady year, at the first year's prices."""

    outlay: Fact  # installed price and the shop's own work
    freed: Fact  # hours
    labour: Fact
    extra: Fact  # money of parts on top, from 0 up
    lost: Fact  # money of parts that can no longer be made, from 0 up
    output: Fact  # extra less lost
    upkeep: Fact
    programming: Fact
    fingers: Fact
    running: Fact  # upkeep, programming and fingers
    ramp_up: tuple[Fact, ...]
    growth: Fact

    @property
    def flows(self) -> Inputs:
        """What every measure takes, apart from rate, horizon and hurdle."""
        return {
            "outlay_money": self.outlay, "yearly_money": self.yearly, "ramp_up": self.ramp_up, "growth": self.growth,
        }  # fmt: skip

    @property
    def yearly(self) -> tuple[Fact, Fact, Fact]:
        """Labour, output, running cost."""
        return (self.labour, self.output, self.running)


def reached(ledger: Ledger, formula: str, name: str, within: float, inputs: Inputs) -> str | None:
    """The id of a time that comes within so many months, written as a fact; None where it does not."""
    numbers = {
        key: tuple(fact.value for fact in given) if isinstance(given, tuple) else given.value
        for key, given in inputs.items()
    }
    value = float(REGISTER[formula].function(**numbers))
    if not math.isfinite(value) or value > within:
        return None
    return apply(ledger.sheet, formula, ledger.id(name), **inputs).id

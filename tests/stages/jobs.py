"""Small inquiries of tests/data, any fact or word of them changed, and the plan of one concept of each."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from millhand.catalogue.assumptions import assumptions
from millhand.intake.inquiry import read_inquiry
from millhand.model.fact import Choice, Fact
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in, with_facts
from millhand.road import Desk, Plan, planned
from millhand.run import LocalRunner, Nobody
from millhand.stages.concepts import concepts
from millhand.stages.performance.hours import hours
from millhand.trace import Sheet
from tests.stages.short_road import catalogue, concept_of


@cache
def job(name: str) -> Inquiry:
    """One inquiry of tests/data."""
    return read_inquiry(Path("tests/data") / f"{name}.yaml", assumptions())


def told(inquiry: Inquiry, values: Mapping[str, float | str]) -> Inquiry:
    """The inquiry with some numbers (taken as exact) and words as told."""
    known = {each.id: each for each in facts_in(inquiry)}
    return with_facts(inquiry, {fact_id: other(known[fact_id], value) for fact_id, value in values.items()})


def other(old: Fact | Choice, value: float | str) -> Fact | Choice:
    """A fact or a word with another value, as given."""
    if isinstance(old, Choice):
        return replace(old, value=str(value), basis="given")
    return replace(old, value=float(value), low=None, high=None, shape="point", basis="given")


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """The plan of one concept and the sheet that its figures stand in."""

    desk: Desk
    plan: Plan
    sheet: Sheet

    def value(self, fact_id: str) -> float:
        """A figure by its id."""
        return self.sheet.value(fact_id)

    def timing(self, name: str) -> float:
        """A figure of the timing by its short name."""
        return self.sheet.value(f"concepts.{self.plan.concept.id}.timing.{name}")


def ids(inquiry: Inquiry, part: str) -> list[str]:
    """The concepts whose id holds a part, in their order."""
    return [each.id for each in concepts(inquiry, catalogue()) if part in each.id]


def plan_of(inquiry: Inquiry, concept: str, sheet: Sheet | None = None) -> Planned:
    """One concept up to its cell and its price."""
    sheet = sheet or Sheet((*facts_in(inquiry), *facts_in(catalogue())))
    desk = Desk(
        inquiry=inquiry,
        catalogue=catalogue(),
        pattern=hours(inquiry, sheet),
        seed=1,
        runner=LocalRunner(),
        watch=Nobody(),
    )
    chosen = concept_of(inquiry, concept, catalogue())
    return Planned(desk=desk, plan=planned(desk, chosen, sheet), sheet=sheet)

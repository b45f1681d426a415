"""One concept on its whole road without a simulation: its cell at the load bound, a few hundredths of a second."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.model.case import Case
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.model.walk import facts_in, with_facts
from millhand.road import Desk, Plan, earned, planned
from millhand.run import LocalRunner, Nobody
from millhand.stages.concepts import concepts
from millhand.stages.performance.hours import hours
from millhand.trace import Sheet

EXAMPLES = Path("examples")
PIECES = ("presenter", "outfeed", "mount", "safeguarding")  # of a concept's id, beside its arm and its hand


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """Today and one concept, worked out; the sheet holds every figure."""

    sheet: Sheet
    today: Performance
    plan: Plan
    performance: Performance
    case: Case

    def value(self, fact_id: str | None) -> float:
        """A figure; infinite where there is none."""
        return self.sheet.value(fact_id) if fact_id else float("inf")


@cache
def example(name: str) -> Inquiry:
    """The inquiry of an example."""
    return read_inquiry(EXAMPLES / name / "inquiry.yaml", assumptions())


@cache
def catalogue() -> Catalogue:
    """The built-in catalogue."""
    return read_catalogue()


def changed(inquiry: Inquiry, values: Mapping[str, float]) -> Inquiry:
    """The inquiry with some facts given another value, taken as exact."""
    facts = {fact.id: fact for fact in facts_in(inquiry) if isinstance(fact, Fact)}
    return with_facts(
        inquiry,
        {fact_id: replace(facts[fact_id], value=value, low=None, high=None) for fact_id, value in values.items()},
    )


def with_figures(book: Catalogue, values: Mapping[str, float]) -> Catalogue:
    """The catalogue with some figures given another value, taken as exact."""
    figures = {
        name: replace(fact, value=values[name], low=None, high=None) if name in values else fact
        for name, fact in book.figures.items()
    }
    return replace(book, figures=figures)


def concept_of(inquiry: Inquiry, concept_id: str, book: Catalogue) -> Concept:
    """The concept of that id, which must be among those looked at: looked for among those with its own pieces and every
    arm and hand, for a rule asks about others of these two kinds alone."""
    pieces = {*concept_id.split("-"), "back_to_tray"}
    few = {name: each for name, each in book.components.items() if each.kind not in PIECES or each.id in pieces}
    return next(each for each in concepts(inquiry, replace(book, components=few)) if each.id == concept_id)


def walked(inquiry: Inquiry, concept: str, book: Catalogue | None = None) -> Walked:
    """Today and one concept on their road, both at their load bound."""
    book = book or catalogue()
    sheet = Sheet((*facts_in(inquiry), *facts_in(book)))
    desk = Desk(
        inquiry=inquiry,
        catalogue=book,
        pattern=hours(inquiry, sheet),
        seed=1,
        runner=LocalRunner(),
        watch=Nobody(),
    )
    today, _ = earned(desk, planned(desk, concept_of(inquiry, "today", book), sheet), None, None, sheet)
    plan = planned(desk, concept_of(inquiry, concept, book), sheet)
    own, case = earned(desk, plan, None, today, sheet)
    return Walked(sheet=sheet, today=today, plan=plan, performance=own, case=case)

"""A small study by hand and another one in which some of its inputs are other numbers, worked out by its own graph."""

from collections.abc import Mapping
from dataclasses import replace

from millhand.model.difference import Priced, Side
from millhand.model.fact import Fact
from millhand.trace import recomputed
from tests.report.fixture_study import ARM, VISE, study

FLOW = f"concepts.{ARM}.case.flow_2"  # what the second year brings: an input in the study by hand
RATE = "money.rate"


def side(**more: object) -> Side:
    """The study by hand, as a file would hold it."""
    done = study()
    found = Side(
        name=done.inquiry.name, file="first/study.json", version=done.version, seed=done.seed, currency="USD",
        answer=done.decision.answer, winner=done.decision.winner, subject=ARM,
        titles={result.concept.id: result.concept.title for result in done.results},
        facts=done.facts, choices=done.choices,
        priced=tuple(
            Priced(concept=result.concept.id, npv=result.case.npv, payback_months=result.case.payback_months)
            for result in done.results if result.case is not None
        ),
    )  # fmt: skip
    return replace(found, **more)  # type: ignore[arg-type]


def changed(first: Side, values: Mapping[str, float], **more: object) -> Side:
    """The same study with other inputs, and all that follows from them."""
    numbers = recomputed(first.facts, values, {})
    facts = {
        name: fact if numbers[name] == fact.value else replace(fact, value=numbers[name], low=None, high=None)
        for name, fact in first.facts.items()
    }
    return replace(first, facts=facts, file="second/study.json", **more)  # type: ignore[arg-type]


def fact(side_: Side, concept: str, name: str) -> Fact:
    """One figure of a concept: npv or payback_months."""
    own = next(each for each in side_.priced if each.concept == concept)
    return side_.facts[getattr(own, name)]


__all__ = ["ARM", "FLOW", "RATE", "VISE", "changed", "fact", "side"]

"""The fixture study's change by hand as another one of the catalogue, and what it takes to bring it in."""

from dataclasses import replace

from millhand.catalogue.components import read_catalogue
from millhand.model.fact import Fact
from millhand.model.introduction import Introduction
from millhand.model.study import Result
from millhand.stages.acceptance import introduction
from millhand.trace import Sheet
from tests.report.fixture_study import VISE, study

CATALOGUE = read_catalogue()


def result(concept: str) -> Result:
    """One concept of the fixture study."""
    return next(each for each in study().results if each.concept.id == concept)


def changed(change: str) -> Result:
    """The fixture's change by hand, which is another one."""
    made, other = result(VISE), next(each for each in CATALOGUE.hand_changes if each.id == change)
    assert made.estimate is not None
    bought = replace(made.estimate, own="" if other.takes == "arrangement" else "own")
    title = f"by hand: {other.title}"
    concept = replace(made.concept, change=change, title=title, question=other.question)
    return replace(made, concept=concept, estimate=bought)


def sheet_of() -> Sheet:
    """The fixture's sheet, with the hours that a study works out."""
    sheet = Sheet((*study().facts.values(), *study().choices.values()))
    for name, value, unit in (("own", 1200.0, "money"), ("shifts.per_week", 10.0, "1")):
        sheet.add(Fact(id=name, value=value, unit=unit, basis="given", source="invented for tests"))
    return sheet


def brought(advised: Result, sheet: Sheet) -> Introduction:
    """The introduction of one way."""
    made = introduction(advised, result("today"), (study().inquiry, CATALOGUE), sheet)
    assert made is not None
    return made

"""At which value of each figure alone the hurdle is just met: for every face alike."""

from collections.abc import Mapping
from dataclasses import dataclass

from markupsafe import Markup

from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.comparison import subject, title
from millhand.report.marks import Marks
from millhand.report.view import listed_at, middle


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningRow:
    """One figure: its name, what is counted with, and where the hurdle is just met."""

    name: Markup
    counted: Markup
    at: Markup


def turning_facts(facts: Mapping[str, Fact], concept: str) -> list[Fact]:
    """The values at which one concept's hurdle is just met, the nearest to what is counted with first."""
    top, end = f"decision.meets_hurdle.{concept}.", "turns_at"
    found = [fact for key, fact in facts.items() if key.startswith(top) and key.endswith(f".{end}")]

    def away(fact: Fact) -> float:
        change = f"{fact.id.removesuffix(end)}change"
        return abs(facts[change].value) if change in facts else 0.0

    return sorted(found, key=away)


def turning_rows(study: Study, marks: Marks) -> tuple[TurningRow, ...]:
    """The same as rows of a table, of the concept whose money is looked at closely."""
    result = subject(study)
    if result is None:
        return ()
    price = result.estimate.installed if result.estimate is not None else ""
    rows = []
    for at in turning_facts(marks.facts, result.concept.id):
        lever = marks.fact(at.inputs[0][1])
        if lever.id == price:
            counted, turns = (middle(each, "money_2", currency=marks.currency) for each in (lever, at))
        else:
            counted, turns = (listed_at(lever, each.value, currency=marks.currency) for each in (lever, at))
        name = "installed price" if lever.id == price else title(lever)
        rows.append(
            TurningRow(
                name=marks.of_fact(lever.id, name),
                counted=marks.marked(lever.id, counted),
                at=marks.marked(at.id, turns),
            )
        )
    return tuple(rows)

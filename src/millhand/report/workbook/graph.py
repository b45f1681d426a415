"""The facts behind one case as a spreadsheet takes them: which are inputs, which are worked out, and their names."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from millhand.model.case import Case, CashLine
from millhand.model.estimate import Estimate
from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in
from millhand.report.study_json import all_facts
from millhand.report.workbook.titles import called
from millhand.report.workbook.translated import TRANSLATED, said
from millhand.report.workbook.units import Shown, computed_as, shown_as
from millhand.trace import Steps, steps

Reference = Callable[[str], str]
OWN = (
    "naive.wages",
    "labour_a_part",
    "sold_parts",
    "paid_ahead",
    "outlay",
    "lent",
    "monthly_payment",
    "financing_cost",
    "freed_machine_hours",
    "cost_a_part",
    "freed_heads",
)
FORBIDDEN = re.compile(r"[^A-Za-z0-9_]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Graph:
    """One concept's case: its facts in the order in which they follow, each with a name; inputs have no formula."""

    study: Study
    result: Result
    case: Case
    estimate: Estimate
    facts: Mapping[str, Fact]
    names: Mapping[str, str]
    again: Steps  # how the facts are worked out again

    @property
    def currency(self) -> str:
        """The inquiry's currency, as it may stand inside a number format."""
        return re.sub(r'["\\\\;]', "", self.study.inquiry.shop.currency)

    def value(self, fact_id: str) -> float:
        """A fact's number in its own unit."""
        return self.facts[fact_id].value

    def shown(self, fact_id: str) -> Shown:
        """How its cell shows it."""
        fact = self.facts[fact_id]
        return (computed_as if fact.formula else shown_as)(fact, self.currency)

    def reference(self, fact_id: str) -> str:
        """What stands for the fact, in its own unit, inside a formula of any sheet."""
        return in_own_unit(self.names[fact_id], self.shown(fact_id))

    def formula(self, fact_id: str, reference: Reference | None = None) -> str:
        """The text of a computed fact's formula, from whatever stands for its inputs."""
        fact = self.facts[fact_id]
        assert fact.formula is not None
        return "=" + said(fact.formula, fact.inputs, reference or self.reference)

    def lines(self, *groups: str) -> tuple[CashLine, ...]:
        """The lines of some groups."""
        return tuple(line for line in self.case.lines if line.group in groups)

    @property
    def yearly(self) -> tuple[CashLine, ...]:
        """The lines that come every year."""
        return tuple(line for line in self.case.lines if line.growth is not None)

    def called(self, fact_id: str) -> str:
        """What a reader calls a fact."""
        return called(self.facts[fact_id], {line.id: line.words for line in self.case.lines})

    @property
    def inputs(self) -> tuple[Fact, ...]:
        """What the case rests on and the sheets do not work out."""
        return tuple(fact for fact in self.facts.values() if fact.formula is None)


def in_own_unit(cell: str, shown: Shown) -> str:
    """What stands for a fact, from the cell that shows it."""
    return cell if shown.factor == 1.0 else f"({cell}*{shown.factor:.12g})"


def graph(study: Study, result: Result) -> Graph:
    """Everything behind one concept's case; a fact whose formula no sheet can say comes as a value."""
    assert result.case is not None
    assert result.estimate is not None
    known = all_facts(study)
    reached = _reached(known, [each for each in _wanted(study, result) if each in known])
    facts = {
        fact_id: fact if fact.formula in TRANSLATED else replace(fact, formula=None)
        for fact_id, fact in known.items()
        if fact_id in reached
    }
    terms = study.inquiry.money
    known_as = {
        terms.rate.id: "discount_rate",
        terms.horizon_y.id: "years_counted",
        study.inquiry.wishes.hurdle_months.id: "hurdle_months",
    }
    names = _names(facts, result.concept.id, known_as)
    return Graph(
        study=study, result=result, case=result.case, estimate=result.estimate, facts=facts, names=names,
        again=steps(facts),
    )  # fmt: skip


def _reached(known: Mapping[str, Fact], wanted: list[str]) -> set[str]:
    """The wanted facts and all that they follow from, as far as the sheets can say how."""
    found: set[str] = set()
    while wanted:
        fact_id = wanted.pop()
        if fact_id not in found:
            found.add(fact_id)
            if known[fact_id].formula in TRANSLATED:
                wanted += [source for _, source in known[fact_id].inputs]
    return found


def _wanted(study: Study, result: Result) -> Iterator[str]:
    """Figures that the sheets show or need, by id; some of them exist only in some studies."""
    case, estimate, terms = result.case, result.estimate, study.inquiry.money
    assert case is not None
    assert estimate is not None
    yield from (study.inquiry.people.wage_per_h.id, terms.rate.id, terms.horizon_y.id)
    yield study.inquiry.wishes.hurdle_months.id
    for line in case.lines:
        yield from (line.amount, *((line.growth,) if line.growth else ()))
    yield from (case.saving_per_y, case.year.running, case.year.output, case.year.freed_h_per_y, *case.year.ramp_up)
    yield from (line.amount.id for line in estimate.lines)
    yield from (estimate.equipment, estimate.installed, estimate.own)
    yield from (each for each in (estimate.cost, estimate.margin) if each)  # none in a customer's copy
    yield from (estimate.order_to_hand_over_s, estimate.worked_hour, estimate.price_factor)
    if result.concept.kind == "cell":
        yield "money.milestone_rest"
    yield from (f"concepts.{result.concept.id}.estimate.{name}" for name in ("usual_low", "usual_high"))
    yield from (f"concepts.{result.concept.id}.case.{name}" for name in OWN)
    if result.performance:
        yield from (result.performance.operator_h_per_y, result.performance.parts_per_y)
    if terms.financing is not None:
        yield from (each.id for each in (terms.financing.end_money, terms.financing.years_y) if each)
    yield from (each.id for each in facts_in(terms.books) if isinstance(each, Fact))
    yield from (each.id for each in (terms.tax,) if each and terms.books)


def _names(facts: Mapping[str, Fact], concept: str, known_as: Mapping[str, str]) -> dict[str, str]:
    """A name of its own for every fact, as spreadsheets allow it."""
    names = dict(known_as)
    for fact_id in (each for each in facts if each not in known_as):
        short = fact_id.removeprefix(f"concepts.{concept}.").removeprefix("concepts.")
        base = name = FORBIDDEN.sub("_", short if "." in short else f"{short}_")[:200]
        number = 1
        while name.lower() in {each.lower() for each in names.values()}:
            number += 1
            name = f"{base}_{number}"
        names[fact_id] = name
    return names

"""Tables for a spreadsheet: all digits, one figure a line, each with the id of its fact."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence

from millhand.model.canonical import plain
from millhand.model.case import Case
from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.study_json import all_facts

Value = str | float | int | None

CASH_HEAD = ("concept", "period", "line", "amount", "currency", "fact")
FACT_HEAD = ("fact", "value", "unit", "P10", "P90", "basis", "source", "formula", "inputs", "outside", "question",
             "instead_of")  # fmt: skip
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def cash_flow_csv(study: Study) -> str:
    """Every line of every concept's case: before hand-over, by months for two years, then by years; net by years."""
    return table(CASH_HEAD, [row for result in study.results if result.case for row in case_rows(study, result.case)])


def case_rows(study: Study, case: Case) -> Iterator[Sequence[Value]]:
    """One case, what is nought left out; the fact of a line is its amount in a steady year, or once."""
    currency = study.inquiry.shop.currency
    for line in case.lines:
        for period, amount in zip(case.periods, line.by_period, strict=True):
            if amount != 0.0:
                yield case.concept, period, line.id, amount, currency, line.amount
    for row in case.rows:
        for name, fact in (("net", row.net), ("cumulative", row.cumulative)):
            yield case.concept, f"year_{row.year}", name, study.facts[fact].value, currency, fact


def facts_csv(study: Study) -> str:
    """Every fact with its range and its origin."""
    return table(FACT_HEAD, [fact_row(fact) for fact in all_facts(study).values()])


def fact_row(fact: Fact) -> Sequence[Value]:
    """One fact as a line."""
    inputs = " ".join(f"{parameter}={source}" for parameter, source in fact.inputs)
    return (fact.id, fact.value, fact.unit, fact.low, fact.high, fact.basis, fact.source, fact.formula, inputs,
            "; ".join(fact.outside), fact.question, fact.instead_of)  # fmt: skip


def table(head: Sequence[str], rows: Iterable[Sequence[Value]]) -> str:
    """The text of one file; numbers as in study.json, text never taken for a spreadsheet's formula."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(head)
    for row in rows:
        writer.writerow([cell(value) for value in row])
    return stream.getvalue()


def cell(value: Value) -> Value:
    """One cell.

    >>> cell("=1+1"), cell(0.1), cell(None)
    ("'=1+1", 0.1, '')
    """
    if isinstance(value, str):
        return f"'{value}" if value.startswith(STARTS_A_FORMULA) else value
    return "" if value is None else plain(value)

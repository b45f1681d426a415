"""The case after tax: what is written off each year, tax on the rest, and the worth of what is left."""

import math
from collections.abc import Iterator

from millhand.formulas.money import time_of_recovery
from millhand.formulas.rates import internal_rates
from millhand.model.case import CashRow
from millhand.model.fact import Fact
from millhand.stages.case.ledger import Ledger, Steady
from millhand.stages.case.rows import number
from millhand.trace import apply

OF_YEAR = {
    "straight_line": "straight_line_of_year_money",
    "declining_balance": "declining_of_year_money",
    "years_digits": "digits_of_year_money",
}


def taxed(ledger: Ledger, year: Steady, rows: tuple[CashRow, ...]) -> Iterator[tuple[str, str]]:
    """Measures after tax by name; none where the case is before tax or nothing is paid."""
    terms, sheet = ledger.inquiry.money, ledger.sheet
    if terms.tax is None or terms.books is None or year.outlay.value <= 0.0:
        return
    written = [_written(ledger, year.outlay, row.year) for row in rows[1:]]
    last = apply(
        sheet, "book_value_money", ledger.id("book_value"),
        cost_money=year.outlay, written_money=tuple(written),
    )  # fmt: skip
    written[-1] = apply(sheet, "sum_money", ledger.id("written_off_at_the_end"), amounts_money=(written[-1], last))
    flows = [sheet[rows[0].net]]
    for row, off in zip(rows[1:], written, strict=True):
        flows.append(
            apply(
                sheet, "after_tax_money", ledger.id(f"after_tax.year_{row.year}"),
                flow_money=sheet[row.net], depreciation_money=off, tax_share=terms.tax,
            )
        )  # fmt: skip
    yield from _measures(ledger, tuple(flows))


def _measures(ledger: Ledger, flows: tuple[Fact, ...]) -> Iterator[tuple[str, str]]:
    """Worth, internal rate where there is exactly one, and payback, each from the years after tax."""
    sheet, numbers = ledger.sheet, [fact.value for fact in flows]
    rate = ledger.inquiry.money.rate
    yield "npv_after_tax", apply(sheet, "present_worth", ledger.id("npv_after_tax"), flows_money=flows, rate=rate).id
    if len(internal_rates(numbers)) == 1:
        yield "irr_after_tax", apply(sheet, "sole_return", ledger.id("irr_after_tax"), flows_money=flows).id
    if math.isfinite(time_of_recovery(numbers)):
        payback = apply(sheet, "simple_payback_y", ledger.id("payback_after_tax"), flows_money=flows)
        yield "payback_after_tax", payback.id


def _written(ledger: Ledger, cost: Fact, of: int) -> Fact:
    """What is written off in one year."""
    books = ledger.inquiry.money.books
    assert books is not None
    sheet, name, year = ledger.sheet, ledger.id(f"written_off.year_{of}"), number(ledger, of)
    if books.way.value == "at_once":
        return apply(sheet, "at_once_of_year_money", name, cost_money=cost, year=year)
    if books.way.value == "table":
        return apply(sheet, "table_of_year_money", name, cost_money=cost, shares=books.shares, year=year)
    if books.way.value == "macrs":
        return apply(
            sheet, "macrs_of_year_money", name,
            cost_money=cost, years=books.years_y, first_year_share=_first_year(ledger, cost), year=year,
        )  # fmt: skip
    return apply(sheet, OF_YEAR[books.way.value], name, cost_money=cost, years=books.years_y, year=year)


def _first_year(ledger: Ledger, cost: Fact) -> Fact:
    """How much of a whole year the first one counts for."""
    books = ledger.inquiry.money.books
    assert books is not None
    nothing = ledger.plain("no_other_equipment", 0.0, "money")
    middle = ledger.plain("middle_quarter", 2.0, "1")
    return apply(
        ledger.sheet, "first_year_of_quarter", ledger.id("first_year_share"),
        quarter=books.quarter or middle, cost_money=cost,
        other_money=books.other_money or nothing, last_money=books.other_last_money or nothing,
    )  # fmt: skip

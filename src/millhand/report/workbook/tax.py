"""The sheet of the case after tax: what each way of writing off takes a year, tax on the rest, and what is left."""

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from millhand.formulas import REGISTER
from millhand.formulas.depreciation import FIRST_YEAR_SHARES, FORTY_PERCENT
from millhand.formulas.money import present_worth, time_of_recovery
from millhand.formulas.rates import internal_rates, sign_changes
from millhand.model.fact import Fact
from millhand.model.letters import letters
from millhand.model.money import Books
from millhand.report.cash import FURTHER
from millhand.report.workbook.flows import NEVER, Flows, flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.inputs import YEARS
from millhand.report.workbook.measure import MONTH, Measure, last_below, never
from millhand.report.workbook.pen import Desk, Page
from millhand.report.workbook.years import year_values

SHEET = "Tax"
WAYS: Mapping[str, tuple[str, str]] = {  # way: head of its column; registered formula of one year
    "straight_line": ("Straight line", "straight_line_of_year_money"),
    "declining_balance": ("Double declining, then straight", "declining_of_year_money"),
    "years_digits": ("Years' digits", "digits_of_year_money"),
    "macrs": ("MACRS by the rule", "macrs_of_year_money"),
    "at_once": ("All at once", "at_once_of_year_money"),
    "table": ("Table of the shop's own", "table_of_year_money"),
}  # fmt: skip
HEADS = (
    "Year", "Net before tax", *(words for words, _ in WAYS.values()), "Share written off", "Written off",
    "Tax", "Net after tax", "Balance", "Sign so far",
)  # fmt: skip
WIDTHS = (26, 14, 12, 13, 12, 12, 12, 13, 12, 13, 13, 14, 14, 8)
TERMS, SHARES, HEAD = 3, 11, 17  # rows: terms, shares of a first year, heads of the table
FIRST = HEAD + 1  # row of year 0
FORM, SHARE = '#,##0;-#,##0;"-"', '0.00%;-0.00%;"-"'
MIDDLE = 2.0  # of a tax year: the quarter that is taken where nobody said one
SHARE_AT, OFF_AT, TAX_AT, AFTER_AT, BALANCE_AT, SIGN_AT = range(8, 14)  # columns


def taxed(graph: Graph) -> bool:
    """Whether the study has figures after tax for this case."""
    terms = graph.study.inquiry.money
    return terms.tax is not None and terms.books is not None and "npv_after_tax" in graph.case.further


def books_of(graph: Graph) -> tuple[Books, Fact]:
    """How equipment is written off, and the share of profit that is tax."""
    terms = graph.study.inquiry.money
    assert terms.books is not None
    assert terms.tax is not None
    return terms.books, terms.tax


@dataclass(frozen=True, slots=True, kw_only=True)
class Taxed:
    """The sheet in numbers."""

    nets: tuple[float, ...]
    shares: Mapping[str, tuple[float, ...]]  # way: share of the cost in each year, the first one of no year
    used: tuple[float, ...]
    written: tuple[float, ...]
    tax: tuple[float, ...]

    @property
    def after(self) -> list[float]:
        """What is left of each year."""
        return [net - tax for net, tax in zip(self.nets, self.tax, strict=True)]


def numbers(graph: Graph, told: Flows) -> Taxed:
    """The sheet in the numbers of the study."""
    books, tax = books_of(graph)
    years, last = range(1, YEARS + 1), math.ceil(told.horizon)
    shares = {way: (0.0, *(_share(graph, way, year) for year in years)) for way in WAYS}
    used = shares[books.way.value]
    rest = told.outlay * (1.0 - math.fsum(used[: last + 1]))
    written = [
        told.outlay * used[year] + (rest if year == last else 0.0) if 0 < year <= last else 0.0
        for year in range(YEARS + 1)
    ]
    nets = [lines + left for lines, left in year_values(told)]
    paid = [tax.value * (net - off) if year else 0.0 for year, (net, off) in enumerate(zip(nets, written, strict=True))]
    return Taxed(nets=tuple(nets), shares=shares, used=used, written=tuple(written), tax=tuple(paid))


def _share(graph: Graph, way: str, year: int) -> float:
    """What one way takes of the cost in one year."""
    books, _ = books_of(graph)
    given: dict[str, object] = {"cost_money": 1.0, "year": float(year)}
    if way == "table":
        given["shares"] = [share.value for share in books.shares]
    elif way != "at_once":
        given["years"] = books.years_y.value
    if way == "macrs":
        given["first_year_share"] = first_share(graph)
    return float(REGISTER[WAYS[way][1]].function(**given))


def first_share(graph: Graph) -> float:
    """How much of a whole year the first one counts for."""
    quarter, other, last = (value for _, _, value in _first_year_terms(graph))
    share = REGISTER["first_year_of_quarter"].function
    return float(share(quarter, cost_money=flows(graph).outlay, other_money=other, last_money=last))


def _first_year_terms(graph: Graph) -> Iterator[tuple[str, Fact | None, float]]:
    """Name, fact and value of what decides upon the first year; what nobody said can be typed on the sheet itself."""
    books, _ = books_of(graph)
    for name, fact, usual in (
        ("tax_quarter", books.quarter, MIDDLE),
        ("tax_other", books.other_money, 0.0),
        ("tax_other_last", books.other_last_money, 0.0),
    ):
        yield name, fact, usual if fact is None else fact.value


def tax_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet; none where the case is before tax."""
    if not taxed(graph):
        return
    page, told = desk.page(SHEET, WIDTHS), flows(graph)
    page.wide(0, f"After tax, in {graph.currency}", "title", height=24)
    page.wide(
        1,
        "No tax advice: which way may be taken the local tax code and an adviser say. What is not written off within "
        "the years that are counted is written off at their end; a loss saves tax elsewhere.",
        "note",
        height=28,
    )
    _terms(page, graph)
    _first_years(page, graph)
    _table(page, graph, numbers(graph, told))
    page.sheet.freeze_panes(FIRST, 1)
    page.printed(FIRST + YEARS, repeat=(HEAD, HEAD))


def _terms(page: Page, graph: Graph) -> None:
    """Tax, way, life, and what decides upon the first year; each with a name."""
    books, tax = books_of(graph)
    for row, (words, name, fact, form) in enumerate(
        (("Tax, of profit", "tax_share", tax, "0.0##%"), ("Years in the books", "tax_life", books.years_y, "0.##")),
        start=TERMS,
    ):
        page.text(row, 0, words)
        page.formula(row, 1, f"={graph.reference(fact.id)}", fact.value, form=form)
        page.call(name, row, 1)
    row = TERMS + 2
    page.text(row, 0, "Way of writing off")
    page.text(row, 1, books.way.value, "input")
    page.sheet.data_validation(row, 1, row, 1, {"validate": "list", "source": list(WAYS)})
    page.call("tax_way", row, 1)
    page.text(row, 2, "one of the list", "unit")
    told = {"tax_quarter": "Quarter of the start", "tax_other": "Other equipment that year",
            "tax_other_last": "Of that, in its last quarter"}  # fmt: skip
    for row, (name, known, value) in enumerate(_first_year_terms(graph), start=TERMS + 3):
        page.text(row, 0, told[name])
        if known is None:
            page.number(row, 1, value, form="#,##0", style="input")
        else:
            page.formula(row, 1, f"={graph.reference(known.id)}", value, form="#,##0")
        page.call(name, row, 1)
    row = TERMS + 6
    page.text(row, 0, "Of a whole first year (MACRS)")
    table = f"$B${SHARES + 1}:$B${SHARES + len(FIRST_YEAR_SHARES)}"
    late = "(tax_other_last+IF(tax_quarter=4,paid_before,0))"
    says = (
        f"=IF(AND(paid_before+tax_other>0,{late}>{FORTY_PERCENT:g}*(paid_before+tax_other)),"
        f"INDEX({table},1+tax_quarter),INDEX({table},1))"
    )
    page.formula(row, 1, says, first_share(graph), form=SHARE)
    page.call("tax_first_year", row, 1)


def _first_years(page: Page, graph: Graph) -> None:
    """The shares of a first year as cells: half a year, and by quarters."""
    page.text(SHARES - 1, 0, "Share of a whole first year", "head_first")
    page.text(SHARES - 1, 1, "", "head")
    words = ("Half year", *(f"Mid-quarter, quarter {number}" for number in range(1, 5)))
    for row, (said, share) in enumerate(zip(words, FIRST_YEAR_SHARES.values(), strict=True), start=SHARES):
        page.text(row, 0, said)
        page.number(row, 1, share, form=SHARE, style="input")


def _says(graph: Graph, way: str, row: int) -> str:
    """The share that one way takes in the year of a row."""
    column = letters(2 + list(WAYS).index(way))
    left, year = f"(1-SUM({column}${FIRST + 1}:{column}{row}))", f"$A{row + 1}"
    if way == "straight_line":
        return f"IF({year}<=tax_life,1/tax_life,0)"
    if way == "declining_balance":
        rest = f"(tax_life-{year}+1)"
        return f"IF({rest}<=0,0,MIN({left},MAX({left}*2/tax_life,{left}/MAX({rest},1))))"
    if way == "years_digits":
        return f"IF({year}>tax_life,0,(tax_life+1-{year})*2/(tax_life*(tax_life+1)))"
    if way == "macrs":
        if row == FIRST + 1:
            return "MAX(2/tax_life*tax_first_year,tax_first_year/tax_life)"
        rest = f"(tax_life-tax_first_year-{year}+2)"
        held = f"MIN(1,{rest})"
        return f"IF({rest}<=0,0,MAX({left}*2/tax_life*{held},{left}*{held}/MAX({rest},0.000001)))"
    if way == "at_once":
        return f"IF({year}=1,1,0)"
    shares = books_of(graph)[0].shares
    number = row - FIRST
    return graph.reference(shares[number - 1].id) if number <= len(shares) else "0"


def _table(page: Page, graph: Graph, found: Taxed) -> None:
    """Year by year: what each way takes, what is used, tax and what is left; names say which column is which."""
    page.head(HEAD, HEADS, right=range(1, len(HEADS)), height=42)
    balances, signed = list(itertools.accumulate(found.after)), _signs(found.after)
    for year in range(YEARS + 1):
        row = FIRST + year
        page.number(row, 0, year, form="0")
        page.formula(row, 1, f"=Years!D{4 + year + 1}", found.nets[year], form=FORM)
        for column, way in enumerate(WAYS, start=2):
            says = _says(graph, way, row) if year else "0"
            page.formula(row, column, f"={says}", found.shares[way][year], form=SHARE)
        for column, says, value, form in _rest(row, found, year):
            page.formula(row, column, f"={says}", value, form=form)
        page.formula(row, BALANCE_AT, f"={_total(row)}", balances[year], form=FORM)
        page.formula(row, SIGN_AT, f"={_sign(row)}", signed[year], form="0")
    end = FIRST + YEARS
    for name, column, first, last in (
        ("after_tax", AFTER_AT, FIRST, end),
        ("after_tax_years", AFTER_AT, FIRST + 1, end),
        ("after_tax_balances", BALANCE_AT, FIRST, end),
        ("after_tax_signs", SIGN_AT, FIRST, end - 1),
        ("after_tax_signs_next", SIGN_AT, FIRST + 1, end),
        ("tax_years", 0, FIRST, end),
    ):
        place = f"{page.at(first, column, outside=True)}:{page.at(last, column)}"
        page.desk.book.define_name(name, f"={place}")


def _rest(row: int, found: Taxed, year: int) -> Iterator[tuple[int, str, float, str]]:
    """What is used of the ways, what it comes to, tax, and what is left: column, formula, value, format."""
    at, share, off = row + 1, letters(SHARE_AT), letters(OFF_AT)
    used = "0"
    for number, way in enumerate(WAYS):
        used = f'IF(tax_way="{way}",{letters(2 + number)}{at},{used})'
    yield SHARE_AT, used if year else "0", found.used[year], SHARE
    last, counted = f"$A{at}=ROUNDUP(years_counted,0)", f"$A{at}<=ROUNDUP(years_counted,0)"
    rest = f"IF({last},1-SUM({share}${FIRST + 1}:{share}{at}),0)"
    yield OFF_AT, f"IF({counted},paid_before*({share}{at}+{rest}),0)" if year else "0", found.written[year], FORM
    yield TAX_AT, f"tax_share*(B{at}-{off}{at})" if year else "0", found.tax[year], FORM
    yield AFTER_AT, f"B{at}-{letters(TAX_AT)}{at}", found.after[year], FORM


def _total(row: int) -> str:
    """The balance up to a year."""
    own = f"{letters(AFTER_AT)}{row + 1}"
    return own if row == FIRST else f"{letters(BALANCE_AT)}{row}+{own}"


def _sign(row: int) -> str:
    """The sign of a year, or of the last one that had any."""
    own, before = f"{letters(AFTER_AT)}{row + 1}", "0" if row == FIRST else f"{letters(SIGN_AT)}{row}"
    return f"IF({own}>0,1,IF({own}<0,-1,{before}))"


def _signs(nets: Sequence[float]) -> list[int]:
    """The same in numbers."""
    found = [0]
    for net in nets:
        found.append(1 if net > 0.0 else -1 if net < 0.0 else found[-1])
    return found[1:]


def after_tax(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Worth, internal rate and payback from the years after tax; nothing where the case is before tax."""
    if not taxed(graph):
        return
    found, further = numbers(graph, told).after, graph.case.further
    yield Measure(
        words=FURTHER["npv_after_tax"][0],
        name="present_worth_after_tax",
        says="INDEX(after_tax,1)+NPV(discount_rate,after_tax_years)",
        value=present_worth(found, rate=told.rate),
        form=f'#,##0" {graph.currency}"',
        fact=further.get("npv_after_tax"),
        key=True,
        how="years after tax at their ends; see the sheet Tax",
    )
    changes = "SUMPRODUCT((after_tax_signs*after_tax_signs_next<0)*1)"
    rate: float | str = "none, or several"
    if sign_changes(found) == 1 and internal_rates(found):
        rate = internal_rates(found)[0]
    yield Measure(
        words=FURTHER["irr_after_tax"][0],
        says=f"IF({changes}=1,IFERROR(IRR(after_tax,0.1),IFERROR(IRR(after_tax,-0.2),IRR(after_tax,-0.7))),"
        '"none, or several")',
        value=rate,
        form="0.0%",
        fact=further.get("irr_after_tax"),
        how="the rate at which the years after tax are worth what is paid",
    )
    last = "(SUMPRODUCT(MAX((after_tax_balances<0)*(tax_years+1)))-1)"
    inside = f"12*({last}-INDEX(after_tax_balances,{last}+1)/INDEX(after_tax,{last}+2))"
    months = 12.0 * time_of_recovery(found) if last_below(found) < math.ceil(told.horizon) else math.inf
    yield Measure(
        words=FURTHER["payback_after_tax"][0],
        says=never(f"IF({last}<0,0,IF({last}>=ROUNDUP(years_counted,0),1E+9,{inside}))"),
        value=months if months <= 12.0 * told.horizon else NEVER,
        form=MONTH,
        how="the year from which the balance after tax stays at or above zero, interpolated inside it",
    )

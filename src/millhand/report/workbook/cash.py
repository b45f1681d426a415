"""The sheet of the cash flow: periods downwards, one column a line, then net and balance."""

import math

from millhand.model.case import CashLine
from millhand.model.letters import letters
from millhand.report.comparison import opening
from millhand.report.workbook.flows import Flows, flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.inputs import YEARS
from millhand.report.workbook.pen import LINE, Desk, Page

SHEET = "Cash flow"
HEAD, AMOUNTS, GROWTHS, ORDER = 3, 4, 5, 6  # rows
BEFORE = ("At the order", "At delivery", "At hand-over")
LINES = 3  # column of the first line; before it period, year, share of the gains
FORM = '#,##0;-#,##0;"-"'
MILESTONES = ("catalogue.milestone_order_share", "catalogue.milestone_delivery_share", "money.milestone_rest")


def month_row(month: int) -> int:
    """The row of one of the 24 months; the year's own row stands below its twelve."""
    return ORDER + len(BEFORE) + (month - 1) + (month - 1) // 12


def year_row(year: int) -> int:
    """The row of a year: of the first two the sum of their months."""
    return month_row(12 * year) + 1 if year <= 2 else month_row(24) + year - 1


def cash_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet."""
    lines, told = graph.case.lines, flows(graph)
    net = LINES + len(lines)
    page = desk.page(SHEET, (21, 6, 9, *(12 for _ in lines), 13, 13))
    page.wide(0, f"Cash flow in {graph.currency}", "title", height=24)
    page.wide(
        1,
        "Gains above zero, costs below. The first months bring only a share of the gains, costs come in full. "
        "Years beyond those counted are nought.",
        "note",
        height=28,
    )
    heads = ("Period", "Year", "Share of the gains", *(opening(line.words) for line in lines), "Net", "Balance")
    page.head(HEAD, heads, right=range(1, len(heads)), height=66)
    _steady(page, graph)
    for number, words in enumerate(BEFORE):
        page.text(ORDER + number, 0, words)
    for month in range(1, 25):
        _period(page, graph, told, row=month_row(month), month=month)
    for year in range(1, YEARS + 1):
        _year(page, graph, told, year)
    for number, line in enumerate(lines):
        if line.group == "paid":
            _paid(page, graph, line, LINES + number)
        if line.group == "left":
            _left(page, graph, line, LINES + number)
    _sums(page, graph, net)
    pale = desk.book.add_format({"font_color": LINE})
    page.sheet.conditional_format(
        ORDER,
        0,
        year_row(YEARS),
        net + 1,
        {"type": "formula", "criteria": f"=$B{ORDER + 1}>ROUNDUP(years_counted,0)", "format": pale},
    )
    page.sheet.freeze_panes(GROWTHS + 1, 1)
    page.sheet.fit_to_pages(1, 1)
    page.printed(year_row(YEARS) + 1, repeat=(HEAD, GROWTHS))


def _steady(page: Page, graph: Graph) -> None:
    """Amount and growth of each line, and how much of each month's gain comes."""
    page.text(AMOUNTS, 0, "A steady year, or once", "text")
    page.text(GROWTHS, 0, "Growth a year", "text")
    for column, line in enumerate(graph.case.lines, start=LINES):
        page.formula(AMOUNTS, column, f"={graph.reference(line.amount)}", graph.value(line.amount), form=FORM)
        if line.growth is not None:
            says = f"={graph.reference(line.growth)}"
            page.formula(GROWTHS, column, says, graph.value(line.growth), form="0.0#%")


def counted(year: str) -> str:
    """How much of a year lies within the years counted."""
    return f"MAX(0,MIN(1,years_counted-({year}-1)))"


def _period(page: Page, graph: Graph, told: Flows, *, row: int, month: int) -> None:
    """One month of every line that comes each year."""
    year, ramp = (month - 1) // 12 + 1, graph.case.year.ramp_up
    page.text(row, 0, f"Month {month}")
    page.number(row, 1, year, form="0")
    if month <= len(ramp):
        page.formula(row, 2, f"={graph.reference(ramp[month - 1])}", told.share(month), form="0%")
    else:
        page.number(row, 2, 1.0, form="0%")
    for number, line in enumerate(graph.yearly):
        column = LINES + graph.case.lines.index(line)
        amount, growth = (f"{letters(column)}${each + 1}" for each in (AMOUNTS, GROWTHS))
        says = f"={amount}/12*(1+{growth})^($B{row + 1}-1)*IF({amount}>0,$C{row + 1},1)*{counted(f'$B{row + 1}')}"
        page.formula(row, column, says, told.line(number, month), form=FORM)


def _year(page: Page, graph: Graph, told: Flows, year: int) -> None:
    """One year: the sum of its months, or twelve equal ones; grey where it is not counted."""
    row = year_row(year)
    style = "total" if year <= 2 else "number"
    page.text(row, 0, f"Year {year}", "total_text" if year <= 2 else "text")
    page.number(row, 1, year, form="0", style=style)
    if year <= 2:
        page.text(row, 2, "", "total")
    for number, line in enumerate(graph.yearly):
        column = LINES + graph.case.lines.index(line)
        if year <= 2:
            says = f"=SUM({span(column, month_row(12 * year - 11), month_row(12 * year))})"
        else:
            amount, growth = (f"{letters(column)}${each + 1}" for each in (AMOUNTS, GROWTHS))
            says = f"={amount}*(1+{growth})^($B{row + 1}-1)*{counted(f'$B{row + 1}')}"
        page.formula(row, column, says, told.line(number, 12 * year, year=True), form=FORM, style=style)


def span(column: int, first: int, last: int) -> str:
    """Cells of a column."""
    return f"{letters(column)}{first + 1}:{letters(column)}{last + 1}"


def _paid(page: Page, graph: Graph, line: CashLine, column: int) -> None:
    """What is paid once, in its shares at order, delivery and hand-over."""
    amount = graph.value(line.amount)
    known = (
        line.id == "price" and graph.result.concept.kind == "cell" and all(each in graph.facts for each in MILESTONES)
    )
    for number, milestone in enumerate(MILESTONES):
        share = line.by_period[number] / amount if amount else 0.0
        says = graph.reference(milestone) if known else f"{share:.12g}"
        value = amount * (graph.value(milestone) if known else share)
        page.formula(ORDER + number, column, f"={letters(column)}${AMOUNTS + 1}*{says}", value, form=FORM)


def _left(page: Page, graph: Graph, line: CashLine, column: int) -> None:
    """What the equipment still brings, in the last year that is counted; in a short case in its last month's year."""
    told = flows(graph)
    for year in range(1, YEARS + 1):
        row = year_row(year)
        says = f"=IF($B{row + 1}=ROUNDUP(years_counted,0),{letters(column)}${AMOUNTS + 1},0)"
        value = graph.value(line.amount) if year == math.ceil(told.horizon) else 0.0
        page.formula(row, column, says, value, form=FORM, style="total" if year <= 2 else "number")


def _sums(page: Page, graph: Graph, net: int) -> None:
    """Net of every period, the balance up to there, and the sum of every column."""
    told = flows(graph)
    balance, above = 0.0, ""
    for row, value, left in _nets(graph, told):
        whole = row in (year_row(1), year_row(2))
        style = "total" if whole else "number"
        page.formula(
            row, net, f"=SUM({letters(LINES)}{row + 1}:{letters(net - 1)}{row + 1})", value, form=FORM, style=style
        )
        adds = (
            _residual(graph, row) if whole else f"{letters(net)}{row + 1}"
        )  # the months of the year are added already
        balance += left if whole else value
        page.formula(row, net + 1, f"={above}{'+' if above else ''}{adds}", balance, form=FORM, style=style)
        above = f"{letters(net + 1)}{row + 1}"
    last = year_row(YEARS) + 1
    page.text(last, 0, "All periods", "total_text")
    for column in range(1, net + 2):
        page.text(last, column, "", "total")
    for column in range(LINES, net + 1):
        parts = ",".join(
            (
                span(column, ORDER, ORDER + 2),
                *(f"{letters(column)}{year_row(year) + 1}" for year in (1, 2)),
                span(column, year_row(3), year_row(YEARS)),
            )
        )
        page.formula(last, column, f"=SUM({parts})", _column_sum(graph, told, column - LINES), form=FORM, style="total")


def _residual(graph: Graph, row: int) -> str:
    """The cell of what the equipment still brings in the row of a year; nought where it brings nothing."""
    left = graph.lines("left")
    return f"{letters(LINES + graph.case.lines.index(left[0]))}{row + 1}" if left else "0"


def _nets(graph: Graph, told: Flows) -> list[tuple[int, float, float]]:
    """Row, net and, in it, what the equipment still brings, of every period downwards."""
    rows = [
        (ORDER + number, math.fsum(line.by_period[number] for line in graph.lines("paid")), 0.0) for number in range(3)
    ]
    months = told.months(24)
    rows += [(month_row(month), months[month - 1] * told.counted((month - 1) // 12 + 1), 0.0) for month in range(1, 25)]
    for year in range(1, YEARS + 1):
        left = told.residual if year == math.ceil(told.horizon) else 0.0
        rows.append((year_row(year), told.net(year) + left, left))
    return sorted(rows)


def _column_sum(graph: Graph, told: Flows, number: int) -> float:
    """What a line comes to over all periods; behind the last line all of them together."""
    if number == len(graph.case.lines):
        return math.fsum(value for row, value, _ in _nets(graph, told) if row < month_row(1) or row in _YEAR_ROWS)
    line = graph.case.lines[number]
    if line.growth is None:
        return told.residual if line.group == "left" else math.fsum(line.by_period)
    place = graph.yearly.index(line)
    return math.fsum(told.line(place, 12 * year, year=True) for year in range(1, YEARS + 1))


_YEAR_ROWS = frozenset(year_row(year) for year in range(1, YEARS + 1))

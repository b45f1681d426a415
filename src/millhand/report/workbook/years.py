"""The sheets that the measures are read from: whole years with their present worth, and months up to fifty years."""

import itertools
import math

from millhand.model.letters import letters
from millhand.report.workbook.cash import AMOUNTS, GROWTHS, LINES, month_row, year_row
from millhand.report.workbook.cash import SHEET as CASH
from millhand.report.workbook.flows import LONGEST_Y, Flows, flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.inputs import YEARS
from millhand.report.workbook.pen import Desk, Page

FORM = '#,##0;-#,##0;"-"'
FIRST = 4  # row of year 0 and of month 0
MONTHS = 12 * LONGEST_Y
YEAR_HEADS = (
    "Year",
    "Net of the lines",
    "What the equipment brings",
    "Net",
    "Sum up to here",
    "Discount factor",
    "Present worth",
    "Sum of present worths",
    "Sign so far",
)
MONTH_HEADS = (
    "Month",
    "Year",
    "Gains in full",
    "Share of the gains",
    "Costs",
    "Net",
    "Balance",
    "Discount factor",
    "Net, discounted",
    "Balance, discounted",
)


def years_page(desk: Desk, graph: Graph) -> None:
    """Write the years; `year_nets` and `year_lines` name their columns."""
    page, told = desk.page("Years", (8, 15, 15, 15, 15, 12, 15, 16, 8)), flows(graph)
    page.wide(0, f"Years in {graph.currency}", "title", height=24)
    page.wide(
        1,
        "Year 0 is all that is paid before hand-over; every year counts at its end. NPV() counts its first value a "
        "year on, so year 0 stands outside it.",
        "note",
        height=28,
    )
    page.head(3, YEAR_HEADS, right=range(9))
    total, worth, signed = 0.0, 0.0, signs(told)
    for year, (lines, left) in enumerate(year_values(told)):
        row = FIRST + year
        factor = 1.0 / (1.0 + told.rate) ** year
        total, worth = total + lines + left, worth + (lines + left) * factor
        page.number(row, 0, year, form="0")
        for column, (says, value, form) in enumerate(
            (
                (_lines(graph, year), lines, FORM),
                (f"={_left(graph, year)}", left, FORM),
                (f"=B{row + 1}+C{row + 1}", lines + left, FORM),
                (f"=D{row + 1}" if year == 0 else f"=E{row}+D{row + 1}", total, FORM),
                (f"=1/(1+discount_rate)^A{row + 1}", factor, "0.0000"),
                (f"=D{row + 1}*F{row + 1}", (lines + left) * factor, FORM),
                (f"=G{row + 1}" if year == 0 else f"=H{row}+G{row + 1}", worth, FORM),
            ),
            start=1,
        ):
            page.formula(row, column, says, value, form=form)
        before = "0" if year == 0 else f"I{row}"
        page.formula(row, 8, f"=IF(D{row + 1}>0,1,IF(D{row + 1}<0,-1,{before}))", signed[year], form="0")
    _name(
        page,
        {
            "year_lines": (1, FIRST + 1, FIRST + YEARS),
            "year_nets": (3, FIRST, FIRST + YEARS),
            "year_signs": (8, FIRST, FIRST + YEARS - 1),
            "year_signs_next": (8, FIRST + 1, FIRST + YEARS),
        },
    )
    page.sheet.freeze_panes(FIRST, 1)
    page.printed(FIRST + YEARS, repeat=(3, 3))


def year_values(told: Flows) -> list[tuple[float, float]]:
    """What the lines and what the equipment bring in year 0 and every year that has a row."""
    found = [(-told.outlay, 0.0)]
    for year in range(1, YEARS + 1):
        last = told.counted(year) > 0.0 and told.counted(year + 1) == 0.0
        found.append((told.net(year), told.residual if last else 0.0))
    return found


def signs(told: Flows) -> list[int]:
    """The sign of each year's net; of a year with nothing, that of the year before it."""
    found: list[int] = []
    for lines, left in year_values(told):
        net = lines + left
        found.append(1 if net > 0.0 else -1 if net < 0.0 else found[-1] if found else 0)
    return found


def _name(page: Page, ranges: dict[str, tuple[int, int, int]]) -> None:
    """Names for stretches of columns."""
    for name, (column, first, last) in ranges.items():
        place = f"{page.at(first, column, outside=True)}:{page.at(last, column)}"
        page.desk.book.define_name(name, f"={place}")


def _left(graph: Graph, year: int) -> str:
    """The cell of what the equipment brings in a year."""
    left = graph.lines("left")
    if year == 0 or not left:
        return "0"
    return f"'{CASH}'!{letters(LINES + graph.case.lines.index(left[0]))}{year_row(year) + 1}"


def _lines(graph: Graph, year: int) -> str:
    """What the lines of a year bring together."""
    if year == 0:
        return "=0-paid_before"
    net = f"'{CASH}'!{letters(LINES + len(graph.case.lines))}{year_row(year) + 1}"
    return f"={net}-C{FIRST + year + 1}"


def months_page(desk: Desk, graph: Graph) -> None:
    """Write the months; names say which column is which."""
    page, told = desk.page("Months", (8, 7, 13, 10, 13, 13, 14, 11, 13, 15)), flows(graph)
    page.wide(0, f"Months in {graph.currency}", "title", height=24)
    page.wide(
        1,
        f"The balance by months for {LONGEST_Y} years, whatever the years counted, because a payback is the month "
        "from which the balance stays at or above zero.",
        "note",
        height=28,
    )
    page.head(3, MONTH_HEADS, right=range(10))
    lines, cells = graph.yearly, [graph.case.lines.index(line) for line in graph.yearly]
    first, last = (letters(LINES + each) for each in (min(cells), max(cells)))
    assert len(lines) == max(cells) - min(cells) + 1  # else another line would be taken for one of every year
    amounts, growths = (f"'{CASH}'!${first}${row + 1}:${last}${row + 1}" for row in (AMOUNTS, GROWTHS))
    nets = [-told.outlay, *told.months(MONTHS)]
    discounted = [net / (1.0 + told.rate) ** (month / 12.0) for month, net in enumerate(nets)]
    balances, later = list(itertools.accumulate(nets)), list(itertools.accumulate(discounted))
    for month, net in enumerate(nets):
        _sides(page, told, month, spans=(amounts, growths))
        _sums(page, month, rate=told.rate, values=(net, balances[month], discounted[month], later[month]))
    end = FIRST + MONTHS
    _name(
        page,
        {
            "month_numbers": (0, FIRST, end),
            "month_nets": (5, FIRST, end),
            "month_balances": (6, FIRST, end),
            "month_balances_next": (6, FIRST + 1, end),
            "month_balances_before": (6, FIRST, end - 1),
            "month_nets_discounted": (8, FIRST, end),
            "month_balances_discounted": (9, FIRST, end),
        },
    )
    page.sheet.freeze_panes(FIRST, 1)
    page.printed(FIRST + 12 * math.ceil(told.horizon), repeat=(3, 3))


def _sides(page: Page, told: Flows, month: int, *, spans: tuple[str, str]) -> None:
    """Month, year, gains, costs and the share of the gains that comes; spans: amounts and growths of the lines."""
    row, year = FIRST + month, (month + 11) // 12
    page.number(row, 0, month, form="0")
    page.number(row, 1, year, form="0")
    if month == 0:
        return
    for column, sign in ((2, ">"), (4, "<")):
        says = f"=SUMPRODUCT(({spans[0]}{sign}0)*{spans[0]}*(1+{spans[1]})^(B{row + 1}-1))/12"
        page.formula(row, column, says, told.side(year, gains=sign == ">") / 12.0, form=FORM)
    share = f"'{CASH}'!$C${month_row(month) + 1}" if month <= 24 else "1"
    page.formula(row, 3, f"={share}", told.share(month), form="0%")


def _sums(page: Page, month: int, *, rate: float, values: tuple[float, float, float, float]) -> None:
    """Net and balance of a month, and both discounted."""
    row = FIRST + month
    at, (net, balance, discounted, later) = row + 1, values
    for column, says, value, form in (
        (5, f"=C{at}*D{at}+E{at}" if month else "=0-paid_before", net, FORM),
        (6, f"=G{row}+F{at}" if month else f"=F{at}", balance, FORM),
        (7, f"=1/(1+discount_rate)^(A{at}/12)", 1.0 / (1.0 + rate) ** (month / 12.0), "0.0000"),
        (8, f"=F{at}*H{at}", discounted, FORM),
        (9, f"=J{row}+I{at}" if month else f"=I{at}", later, FORM),
    ):
        page.formula(row, column, says, value, form=form)

"""The case once more for every scenario: one column each, the whole chain from inputs to payback and present worth.

A column holds what the case rests on, the years at their own prices, the balance at the end of each year, and inside
the first year by months, because there the gains are not even.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from millhand.model.letters import letters
from millhand.report.workbook.flows import LONGEST_Y, NEVER, Flows, ahead_id, flows, growth_of
from millhand.report.workbook.graph import Graph, in_own_unit
from millhand.report.workbook.inputs import YEARS
from millhand.report.workbook.pen import Desk, Page
from millhand.trace import needed, recomputed

SHEET = "Scenarios"
HEAD, FIRST, BASE = 3, 4, 2  # rows; the first column of numbers
FORM = '#,##0;-#,##0;"-"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """One fact at another value: where its cell's number stands, and what that is in the fact's own unit."""

    words: str
    fact: str
    cell: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """The rows of the sheet, the same for every column: facts first, then years, then months of the first years."""

    graph: Graph
    rows: Mapping[str, int]

    @property
    def after(self) -> int:
        """The first row behind the facts."""
        return FIRST + len(self.rows)

    def year(self, kind: int, year: int) -> int:
        """The row of a year: of its gains (0), its costs (1), its net (2) or the balance at its end (3)."""
        return self.after + 1 + kind * (LONGEST_Y + 1) + year

    @property
    def monthly(self) -> int:
        """Months that are looked at one by one: the whole years in which gains are not even."""
        return 12 * max(1, math.ceil(len(self.graph.case.year.ramp_up) / 12))

    def month(self, month: int) -> int:
        """The row of the balance at the end of a month, from 0 on."""
        return self.year(3, LONGEST_Y) + 1 + month

    def found(self, number: int) -> int:
        """The rows of the results: last year below zero, last month below zero, payback, present worth."""
        return self.month(self.monthly) + 1 + number


def chain(graph: Graph) -> Chain:
    """The rows for one case."""
    terms, ahead = graph.study.inquiry.money, ahead_id(graph)
    wanted = [line.amount for line in graph.case.lines] + [growth_of(line) for line in graph.yearly]
    wanted += [*graph.case.year.ramp_up, terms.rate.id, terms.horizon_y.id, *((ahead,) if ahead else ())]
    behind = needed(graph.facts, wanted)
    return Chain(graph=graph, rows={fact_id: FIRST + number for number, fact_id in enumerate(behind)})


def scenarios_page(desk: Desk, graph: Graph, scenarios: tuple[Scenario, ...]) -> None:
    """Write the sheet: first the study as it stands in the inputs, then each scenario."""
    made = chain(graph)
    page = desk.page(SHEET, (44, 14, 13, *(13 for _ in scenarios)))
    page.wide(0, "Scenarios", "title", height=24)
    page.wide(
        1,
        "Each column is the whole case once more with one figure at another value (marked). The first column of "
        "numbers is the case as the inputs stand.",
        "note",
        height=28,
    )
    heads = ("What", "Unit", "As in the inputs", *(each.words for each in scenarios))
    page.head(HEAD, heads, right=range(BASE, len(heads)), height=66)
    _words(page, made)
    for number, scenario in enumerate((None, *scenarios)):
        changes = {scenario.fact: scenario.value} if scenario else {}
        numbers = recomputed(graph.again, changes, {})
        column = BASE + number
        _facts(page, made, column, scenario, numbers)
        _years(page, made, column, flows(graph, numbers))
        _results(page, made, column, flows(graph, numbers))
    page.sheet.freeze_panes(FIRST, 1)
    page.sheet.set_print_scale(45)
    page.sheet.repeat_columns(0, 1)
    page.printed(made.found(3), repeat=(HEAD, HEAD))


def _words(page: Page, made: Chain) -> None:
    """What each row is."""
    for fact_id, row in made.rows.items():
        page.text(row, 0, made.graph.called(fact_id))
        page.text(row, 1, made.graph.shown(fact_id).words, "small")
    for kind, words in enumerate(("Gains in full", "Costs", "Net", "Balance at the end")):
        for year in range(0 if kind == 3 else 1, LONGEST_Y + 1):
            page.text(made.year(kind, year), 0, f"{words}, year {year}")
            page.text(made.year(kind, year), 1, made.graph.currency, "small")
    for month in range(made.monthly + 1):
        page.text(made.month(month), 0, f"Balance after month {month}")
        page.text(made.month(month), 1, made.graph.currency, "small")
    for number, words in enumerate(
        (
            "Last year that ends below zero",
            "Last month below zero in the first years",
            "Payback from hand-over, months",
            "Net present worth",
        )
    ):
        page.text(made.found(number), 0, words, "total_text")


def _facts(page: Page, made: Chain, column: int, scenario: Scenario | None, numbers: Mapping[str, float]) -> None:
    """The facts of one column: inputs from their sheet, one of them from the scenario, the rest by their formulas."""
    graph = made.graph

    def reference(fact_id: str) -> str:
        return in_own_unit(cell(made.rows[fact_id], column), graph.shown(fact_id))

    for fact_id, row in made.rows.items():
        shown, fact = graph.shown(fact_id), graph.facts[fact_id]
        style = "number"
        if scenario is not None and fact_id == scenario.fact:
            says, style = f"={scenario.cell}", "key"
        else:
            says = graph.formula(fact_id, reference) if fact.formula else f"={graph.names[fact_id]}"
        page.formula(row, column, says, shown.of(numbers[fact_id]), form=shown.form, style=style)


def cell(row: int, column: int) -> str:
    """A cell that moves with its column."""
    return f"{letters(column)}{row + 1}"


def _sides(made: Chain, column: int, year: int) -> Iterator[str]:
    """Gains and costs of a year, as formulas."""
    pairs = [
        (cell(made.rows[line.amount], column), cell(made.rows[growth_of(line)], column)) for line in made.graph.yearly
    ]
    for sign in ("MAX", "MIN"):
        yield "=" + "+".join(f"{sign}(0,{amount})*(1+{growth})^{year - 1}" for amount, growth in pairs)


def _share(made: Chain, column: int, month: int) -> str:
    """The share of the gains that a month brings."""
    ramp = made.graph.case.year.ramp_up
    return cell(made.rows[ramp[month - 1]], column) if month <= len(ramp) else "1"


def _years(page: Page, made: Chain, column: int, told: Flows) -> None:
    """Gains, costs, net and balance of fifty years; the balance by months in the first."""
    balances = told.balances(12 * LONGEST_Y)
    paid = [cell(made.rows[line.amount], column) for line in made.graph.lines("paid")]
    outlay = f"MIN(0,{'+'.join(paid)})" if paid else "0"
    page.formula(made.year(3, 0), column, f"={outlay}", balances[0], form=FORM)
    page.formula(made.month(0), column, f"={cell(made.year(3, 0), column)}", balances[0], form=FORM)
    for month in range(1, made.monthly + 1):
        year = (month - 1) // 12 + 1
        gains, costs = (cell(made.year(kind, year), column) for kind in (0, 1))
        says = f"={cell(made.month(month - 1), column)}+({gains}*{_share(made, column, month)}+{costs})/12"
        page.formula(made.month(month), column, says, balances[month], form=FORM)
    for year in range(1, LONGEST_Y + 1):
        sides = [told.side(year, gains=each) for each in (True, False)]
        for kind, says in enumerate(_sides(made, column, year)):
            page.formula(made.year(kind, year), column, says, sides[kind], form=FORM)
        if 12 * year <= made.monthly:
            says = f"={cell(made.month(12 * year), column)}-{cell(made.month(12 * year - 12), column)}"
        else:
            says = f"={cell(made.year(0, year), column)}+{cell(made.year(1, year), column)}"
        net = balances[12 * year] - balances[12 * year - 12]
        page.formula(made.year(2, year), column, says, net, form=FORM)
        says = f"={cell(made.year(3, year - 1), column)}+{cell(made.year(2, year), column)}"
        page.formula(made.year(3, year), column, says, balances[12 * year], form=FORM)


def _results(page: Page, made: Chain, column: int, told: Flows) -> None:
    """Payback and present worth of one column."""

    def block(first: int, last: int) -> str:
        return f"{cell(first, column)}:{cell(last, column)}"

    ends, months = block(made.year(3, 0), made.year(3, LONGEST_Y)), block(made.month(0), made.month(made.monthly))
    balances = told.balances(12 * LONGEST_Y)
    last_y = max((year for year in range(LONGEST_Y + 1) if balances[12 * year] < 0.0), default=-1)
    last_m = max((month for month in range(made.monthly + 1) if balances[month] < 0.0), default=-1)
    for number, (where, first, value) in enumerate(((ends, made.year(3, 0), last_y), (months, made.month(0), last_m))):
        says = f"=SUMPRODUCT(MAX(({where}<0)*(ROW({where})-{first})))-1"
        page.formula(made.found(number), column, says, value, form="0", style="total")
    page.formula(made.found(2), column, _payback(made, column, ends, months), told.payback(), form="0.0", style="total")
    page.formula(made.found(3), column, _worth(made, column), told.worth(), form=FORM, style="total")


def _payback(made: Chain, column: int, ends: str, months: str) -> str:
    """Within a year behind the ramp-up the balance is straight; in the first ones it is looked for by months."""
    year, month = cell(made.found(0), column), cell(made.found(1), column)
    straight = f"12*{year}-12*INDEX({ends},{year}+1)/(INDEX({ends},{year}+2)-INDEX({ends},{year}+1))"
    inside = f"IF({month}<0,0,{month}-INDEX({months},{month}+1)/(INDEX({months},{month}+2)-INDEX({months},{month}+1)))"
    back = f"IF({year}>={made.monthly // 12},{straight},{inside})"
    within = f"12*{cell(made.rows[made.graph.study.inquiry.money.horizon_y.id], column)}"
    return f'=IF({year}>={LONGEST_Y},"{NEVER}",IF({back}>{within},"{NEVER}",{back}))'


def _worth(made: Chain, column: int) -> str:
    """Present worth of the years counted and of what is left, less what is paid and what paying ahead costs."""
    terms, graph = made.graph.study.inquiry.money, made.graph
    rate, horizon = (cell(made.rows[each], column) for each in (terms.rate.id, terms.horizon_y.id))
    nets = f"{cell(made.year(2, 1), column)}:{cell(made.year(2, YEARS), column)}"
    number = f"(ROW({nets})-{made.year(2, 0) + 1})"
    part = f"(({number}<={horizon})+({number}>{horizon})*({number}-1<{horizon})*({horizon}-{number}+1))"
    left = "".join(
        f"+{cell(made.rows[line.amount], column)}/(1+{rate})^ROUNDUP({horizon},0)" for line in graph.lines("left")
    )
    ahead = ahead_id(graph)
    less = f"-{cell(made.rows[ahead], column)}" if ahead else ""
    return f"={cell(made.year(3, 0), column)}+SUMPRODUCT({nets}*{part}/(1+{rate})^{number}){left}{less}"

"""The sheet of measures: payback, worth and rates, each by one formula; then the payback by hand, and checks."""

import math
from collections.abc import Iterator

from millhand.model.letters import letters
from millhand.report.cash import FURTHER
from millhand.report.comparison import opening
from millhand.report.workbook.by_hand import checks, on_paper, rebuilt
from millhand.report.workbook.cash import AMOUNTS, LINES
from millhand.report.workbook.cash import SHEET as CASH
from millhand.report.workbook.flows import NEVER, Flows, flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.in_hand import in_hand
from millhand.report.workbook.measure import MONTH, Measure, last_below, never
from millhand.report.workbook.pen import Desk, Page
from millhand.report.workbook.tax import after_tax
from millhand.report.workbook.worths import worths
from millhand.report.workbook.years import MONTHS

SHEET = "Measures"
HEADS = ("Measure", "Now", "In the study", "Low in the study", "High in the study", "How it is worked out")
WIDTHS = (50, 19, 15, 14, 14, 78)
SHARE = "0.0%"


def measures_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet."""
    page = desk.page(SHEET, WIDTHS)
    page.wide(0, "Measures", "title", height=24)
    page.wide(
        1,
        "Payback counts from hand-over unless it says otherwise. 'In the study' stays as it was; 'Now' follows the "
        "inputs.",
        "note",
    )
    page.head(3, HEADS, right=(1, 2, 3, 4))
    row = 4
    for words, rows in sections(graph):
        page.group(row, words)
        row += 1
        for each in rows:
            _row(page, graph, each, row)
            row += 1
        row += 1
    page.sheet.freeze_panes(4, 1)
    page.printed(row - 2, repeat=(3, 3))


def _row(page: Page, graph: Graph, each: Measure, row: int) -> None:
    """One measure."""
    page.text(row, 0, each.words)
    page.formula(row, 1, f"={each.says}", each.value, form=each.form, style="key" if each.key else "number")
    page.text(row, 5, each.how, "small")
    if each.name:
        page.call(each.name, row, 1)
    fact = graph.study.facts.get(each.fact or "")
    if fact is not None:
        for column, value in ((2, fact.value), (3, fact.low), (4, fact.high)):
            if value is not None:
                page.number(row, column, value, form=each.form, style="stale")


def sections(graph: Graph) -> Iterator[tuple[str, list[Measure]]]:
    """All measures in their chapters."""
    told = flows(graph)
    yield "What is paid, and what a steady year brings", list(_year(graph, told))
    yield "When the money is back", list(_paybacks(graph, told))
    yield "What it is worth", list(worths(graph, told))
    later = list(after_tax(graph, told))
    if later:
        yield "After tax", later
    yield "Plain figures", list(_plain(graph, told))
    financing = list(_financing(graph, told))
    if financing:
        yield "Loan or lease beside the case", financing
    rest = list(_kept(graph))
    if rest:
        yield "As the study found them: these do not follow the inputs", rest
    yield "Which gains are money in hand, in a steady year", list(in_hand(graph, told))
    yield "The payback rebuilt by hand, from five numbers", list(rebuilt(told))
    yield "The same on paper, as if every year were like the first", list(on_paper(graph, told))
    yield "Checks", list(checks(graph))


def _year(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Outlay, gains, costs, saving."""
    form = f'#,##0" {graph.currency}"'
    lines = graph.case.lines
    paid = [f"'{CASH}'!${letters(LINES + lines.index(line))}${AMOUNTS + 1}" for line in graph.lines("paid")]
    yield Measure(
        words="Paid before hand-over",
        name="paid_before",
        says=f"MAX(0,0-SUM({','.join(paid)}))" if paid else "0",
        value=told.outlay,
        form=form,
        how="installed price and the shop's own work, less a grant",
    )
    first, last = (letters(LINES + lines.index(graph.yearly[each])) for each in (0, -1))
    span = f"'{CASH}'!${first}${AMOUNTS + 1}:${last}${AMOUNTS + 1}"
    for name, words, sign, gains in (
        ("gains_a_year", "Gains of a steady year", ">0", True),
        ("costs_a_year", "Costs of a steady year", "<0", False),
    ):
        yield Measure(
            words=words,
            name=name,
            says=f'SUMIF({span},"{sign}")',
            value=told.side(1, gains=gains),
            form=form,
            how="lines of the cash flow at the first year's prices, without ramp-up",
        )
    saving = graph.case.saving_per_y
    yield Measure(
        words="Saving of a steady year",
        says=graph.reference(saving),
        value=graph.value(saving),
        form=form,
        how="labour and output less programming and fingers; without what goes by the price",
        fact=saving,
    )
    freed = graph.case.year.freed_h_per_y
    yield Measure(
        words="Operator hours freed in a year",
        says=graph.reference(freed),
        value=graph.value(freed),
        form='#,##0" h"',
        how="hours bound today less hours still needed",
        fact=freed,
    )


def _since(column: str, nets: str, last: str) -> str:
    """Interpolated time from which a balance stays at or above zero; far beyond all years where it does not."""
    inside = f"{last}-INDEX({column},{last}+1)/INDEX({nets},{last}+2)"
    return f"IF({last}<0,0,IF({last}>={MONTHS},1E+9,{inside}))"


def _paybacks(graph: Graph, told: Flows) -> Iterator[Measure]:
    """All times, and how the balance stands at the hurdle."""
    case, rate = graph.case, told.rate
    nets = [-told.outlay, *told.months(MONTHS)]
    later = [net / (1.0 + rate) ** (month / 12.0) for month, net in enumerate(nets)]
    for name, balances, flow, words in (
        ("last_below", "month_balances", nets, "Last month whose balance is below zero"),
        ("last_below_discounted", "month_balances_discounted", later, "The same, discounted"),
    ):
        yield Measure(
            words=words,
            name=name,
            says=f"SUMPRODUCT(MAX(({balances}<0)*(month_numbers+1)))-1",
            value=last_below(flow),
            form="0",
            how="minus 1: never below zero; found on the sheet Months",
        )
    yield Measure(
        words="Simple payback",
        name="payback",
        says=never(_since("month_balances", "month_nets", "last_below")),
        value=told.payback(),
        form=MONTH,
        fact=case.payback_months,
        key=True,
        how="the month from which the balance stays at or above zero, interpolated inside the month",
    )
    yield from _counted_otherwise(graph, told)
    yield Measure(
        words="Times that the balance comes up to zero",
        name="crossings",
        says="SUMPRODUCT((month_balances_before<0)*(month_balances_next>=0))",
        value=crossings(nets),
        form="0",
        fact=case.further.get("crossings"),
        how="above 1 the balance goes down again after the first time",
    )
    yield from _hurdle(graph, told)


def _counted_otherwise(graph: Graph, told: Flows) -> Iterator[Measure]:
    """The payback in whole months, from the order, and discounted."""
    case, whole = graph.case, told.payback()
    yield Measure(
        words="Payback in whole months",
        says="IF(ISNUMBER(payback),ROUNDUP(payback,0),payback)",
        value=whole if isinstance(whole, str) else math.ceil(whole),
        form='0" months"',
        fact=case.further.get("payback_whole_months"),
        how="the first month at whose end all is back",
    )
    lead = graph.estimate.order_to_hand_over_s
    months = graph.value(lead) / (365.25 / 12.0 * 86_400.0)
    yield Measure(
        words="Payback from the order",
        says=f"IF(ISNUMBER(payback),payback+{graph.reference(lead)}/2629800,payback)",
        value=whole if isinstance(whole, str) else whole + months,
        form=MONTH,
        key=True,
        fact=case.payback_from_order_months,
        how="and the time from order to hand-over",
    )
    found = _since("month_balances_discounted", "month_nets_discounted", "last_below_discounted")
    yield Measure(
        words="Discounted payback",
        says=never(found),
        value=told.discounted(),
        form=MONTH,
        key=True,
        fact=case.discounted_payback_months,
        how="each month discounted to the day of hand-over",
    )


def _hurdle(graph: Graph, told: Flows) -> Iterator[Measure]:
    """The balance at the hurdle, and whether it is met."""
    hurdle = graph.study.inquiry.wishes.hurdle_months
    whole, part = divmod(hurdle.value, 1.0)
    balances, nets = told.balances(MONTHS), told.months(MONTHS)
    value = balances[int(whole)] + part * nets[int(whole)]
    months = "INT(hurdle_months)"
    says = f"INDEX(month_balances,{months}+1)+(hurdle_months-{months})*INDEX(month_nets,{months}+2)"
    yield Measure(
        words="Balance at the hurdle",
        name="hurdle_balance",
        says=says,
        value=value,
        form=f'#,##0" {graph.currency}"',
        fact=graph.case.hurdle_balance,
        how="money back less money out after the months of the hurdle; from 0 up it is met",
    )
    yield Measure(
        words="Is the hurdle met?",
        says='IF(hurdle_balance>=0,"yes","no")',
        value="yes" if value >= 0.0 else "no",
        form="",
        how="by the simple payback from hand-over",
    )


def crossings(nets: list[float]) -> int:
    """How often the running total comes up to zero from below."""
    found, total = 0, nets[0]
    for net in nets[1:]:
        found += total < 0.0 <= total + net
        total += net
    return found


def _plain(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Ratio, cost of a part, and what is said across the table."""
    case, estimate = graph.case, graph.estimate
    saving, price = graph.value(case.saving_per_y), graph.value(estimate.installed)
    yield Measure(
        words="Price over yearly saving",
        form='0.0" years"',
        fact=case.plain_ratio_y,
        says=f"IF({graph.reference(case.saving_per_y)}>0,{graph.reference(estimate.installed)}"
        f'/{graph.reference(case.saving_per_y)},"nothing is saved in a year")',
        value=price / saving if saving > 0.0 else "nothing is saved in a year",
        how="installed price over the saving of a steady year; no ramp-up, no growth",
    )
    top = f"concepts.{graph.result.concept.id}.case."
    for name, words, form, how in (
        (
            "cost_a_part",
            "Loading a part costs",
            f'#,##0.00" {graph.currency}"',
            "hours at the cost of a worked hour, running cost and what was paid spread over the years, for each "
            "part sold",
        ),
        ("freed_machine_hours", "Machine hours a year beyond what is ordered", '#,##0" h"', "not counted as money"),
    ):
        if top + name in graph.facts:
            yield Measure(
                words=words,
                says=graph.reference(top + name),
                value=graph.value(top + name),
                form=form,
                how=how,
                fact=top + name,
            )
    wages = top + "naive.wages"
    if wages in graph.facts:
        naive = 12.0 * graph.value(estimate.equipment) / graph.value(wages) if graph.value(wages) > 0.0 else math.inf
        equipment, saved = graph.reference(estimate.equipment), graph.reference(wages)
        yield Measure(
            words="Payback as it is said across the table",
            form=MONTH,
            fact=case.naive_payback_months,
            says=never(f"IF({saved}>0,12*{equipment}/{saved},1E+9)"),
            value=naive if naive <= 12.0 * told.horizon else NEVER,
            how="equipment alone over the whole wage of all heads: not to be decided by",
        )


def _financing(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Payment, cost and lowest balance of a loan or lease, where the inquiry has one."""
    terms, money = graph.study.inquiry.money.financing, f'#,##0" {graph.currency}"'
    top = f"concepts.{graph.result.concept.id}.case."
    if terms is None or f"{top}monthly_payment" not in graph.facts or f"{top}lent" not in graph.facts:
        return
    payment, lent, years = (graph.reference(each) for each in (f"{top}monthly_payment", f"{top}lent", terms.years_y.id))
    for name, key in (("monthly_payment", "loan_payment"), ("financing_cost", "loan_cost")):
        if top + name in graph.facts:
            yield Measure(
                words=FURTHER[key][0],
                says=graph.reference(top + name),
                value=graph.value(top + name),
                form=money,
                how="see Workings",
                fact=graph.case.further.get(key),
            )
    end = round(12.0 * terms.years_y.value)
    paid, got = graph.value(f"{top}monthly_payment"), graph.value(f"{top}lent")
    lowest = min(each + got - paid * month for month, each in enumerate(told.balances(end)))
    within = f"(month_numbers<=ROUND(12*{years},0))"
    says = f"SUMPRODUCT(MIN((month_balances+{lent}-{payment}*month_numbers)*{within}+1E+12*(1-{within})))"
    yield Measure(
        words=FURTHER["lowest_cash"][0],
        says=says,
        value=lowest,
        form=money,
        how="lowest balance of any month with the payments",
        fact=graph.case.further.get("lowest_cash"),
    )


KEPT = {
    "npv_over_hand": ("#,##0", 1.0),
    "first_payback_months": (MONTH, 1.0),
}


def _kept(graph: Graph) -> Iterator[Measure]:
    """Measures that no sheet works out: beside other concepts, and the chance."""
    for name, (form, factor) in KEPT.items():
        fact = graph.study.facts.get(graph.case.further.get(name, ""))
        if fact is not None:
            value = fact.value * (factor if fact.unit == "y" else 1.0)
            yield Measure(
                words=FURTHER[name][0],
                says=f"{value!r}",
                value=value,
                form=form,
                how=f"{fact.source}; a value of the study",
            )
    chance = graph.study.facts.get(graph.case.hurdle_chance or "")
    if chance is not None:
        yield Measure(
            words="Chance of meeting the hurdle",
            says=f"{chance.value!r}",
            value=chance.value,
            form="0%",
            how=f"{chance.source}; a value of the study",
        )
    for name, words in graph.case.reasons.items():
        if name in ("irr", "payback_months") and "[[" not in words:
            yield Measure(
                words=opening(name.replace("_", " ")),
                says='"none"',
                value="none",
                form="",
                how=f"in the study: {words}",
            )

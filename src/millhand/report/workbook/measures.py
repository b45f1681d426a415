"""The sheet of measures: payback, worth and rates, each by one formula; then the payback rebuilt by hand, and checks."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from millhand.formulas.rates import internal_rates, modified_internal_rate, sign_changes
from millhand.report.cash import FURTHER
from millhand.report.comparison import opening
from millhand.report.workbook.cash import SHEET as CASH
from millhand.report.workbook.cash import AMOUNTS, LINES, month_row, year_row
from millhand.report.workbook.flows import LONGEST_Y, NEVER, Flows, ahead_id, flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.inputs import YEARS
from millhand.report.workbook.pen import Desk, Page, letters
from millhand.report.workbook.scenarios import BASE, cell, chain
from millhand.report.workbook.scenarios import SHEET as SCENARIOS
from millhand.report.workbook.years import MONTHS, signs, year_values

SHEET = "Measures"
HEADS = ("Measure", "Now", "In the study", "Low in the study", "High in the study", "How it is worked out")
WIDTHS = (50, 19, 15, 14, 14, 78)
MONTH = '0.0" months"'
SHARE = "0.0%"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One row: its formula, what it comes to, and the study's own fact where there is one."""

    words: str
    says: str
    value: float | str
    form: str
    how: str
    name: str = ""  # in formulas
    fact: str | None = None
    key: bool = False


def measures_page(desk: Desk, graph: Graph) -> None:
    """Write the sheet."""
    page = desk.page(SHEET, WIDTHS)
    page.wide(0, "Measures", "title", height=24)
    page.wide(1, "Payback counts from hand-over unless it says otherwise. 'In the study' stays as it was; 'Now' follows the "
                 "inputs.", "note")  # fmt: skip
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
    yield "What it is worth", list(_worths(graph, told))
    yield "Plain figures", list(_plain(graph, told))
    financing = list(_financing(graph, told))
    if financing:
        yield "Loan or lease beside the case", financing
    rest = list(_kept(graph))
    if rest:
        yield "As the study found them: these do not follow the inputs", rest
    yield "The payback rebuilt by hand, from five numbers", list(_rebuilt(told))
    yield "The same on paper, as if every year were like the first", list(_on_paper(graph, told))
    yield "Checks", list(_checks(graph))


def _year(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Outlay, gains, costs, saving."""
    form = f'#,##0" {graph.currency}"'
    lines = graph.case.lines
    paid = [f"'{CASH}'!${letters(LINES + lines.index(line))}${AMOUNTS + 1}" for line in graph.lines("paid")]
    yield Measure(words="Paid before hand-over", name="paid_before", says=f"MAX(0,0-SUM({','.join(paid)}))" if paid else "0",
                  value=told.outlay, form=form, how="installed price and the shop's own work, less a grant")  # fmt: skip
    first, last = (letters(LINES + lines.index(graph.yearly[each])) for each in (0, -1))
    span = f"'{CASH}'!${first}${AMOUNTS + 1}:${last}${AMOUNTS + 1}"
    for name, words, sign, gains in (("gains_a_year", "Gains of a steady year", ">0", True),
                                     ("costs_a_year", "Costs of a steady year", "<0", False)):  # fmt: skip
        yield Measure(words=words, name=name, says=f'SUMIF({span},"{sign}")', value=told.side(1, gains=gains),
                      form=form, how="lines of the cash flow at the first year's prices, without ramp-up")  # fmt: skip
    saving = graph.case.saving_per_y
    yield Measure(words="Saving of a steady year", says=graph.reference(saving), value=graph.value(saving), form=form,
                  how="labour and output less programming and fingers; without what goes by the price", fact=saving)  # fmt: skip
    freed = graph.case.year.freed_h_per_y
    yield Measure(words="Operator hours freed in a year", says=graph.reference(freed), value=graph.value(freed),
                  form='#,##0" h"', how="hours bound today less hours still needed", fact=freed)  # fmt: skip


def _never(found: str) -> str:
    """A time in months, or the words that it does not come within the years counted."""
    return f'IF({found}>12*years_counted,"{NEVER}",{found})'


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
        yield Measure(words=words, name=name, says=f"SUMPRODUCT(MAX(({balances}<0)*(month_numbers+1)))-1",
                      value=last_below(flow), form="0", how="-1: never below zero; found on the sheet Months")  # fmt: skip
    yield Measure(words="Simple payback", name="payback", says=_never(_since("month_balances", "month_nets", "last_below")),
                  value=told.payback(), form=MONTH, fact=case.payback_months, key=True,
                  how="the month from which the balance stays at or above zero, interpolated inside the month")  # fmt: skip
    whole = told.payback()
    yield Measure(words="Payback in whole months", says="IF(ISNUMBER(payback),ROUNDUP(payback,0),payback)",
                  value=whole if isinstance(whole, str) else math.ceil(whole), form='0" months"',
                  fact=case.further.get("payback_whole_months"), how="the first month at whose end all is back")  # fmt: skip
    lead = graph.estimate.order_to_hand_over_s
    months = graph.value(lead) / (365.25 / 12.0 * 86_400.0)
    yield Measure(words="Payback from the order", says=f"IF(ISNUMBER(payback),payback+{graph.reference(lead)}/2629800,payback)",
                  value=whole if isinstance(whole, str) else whole + months, form=MONTH, key=True,
                  fact=case.payback_from_order_months, how="and the time from order to hand-over")  # fmt: skip
    found = _since("month_balances_discounted", "month_nets_discounted", "last_below_discounted")
    yield Measure(words="Discounted payback", says=_never(found), value=told.discounted(), form=MONTH, key=True,
                  fact=case.discounted_payback_months, how="each month discounted to the day of hand-over")  # fmt: skip
    says = "SUMPRODUCT((month_balances_before<0)*(month_balances_next>=0))"
    yield Measure(words="Times that the balance comes up to zero", name="crossings", says=says, value=crossings(nets), form="0",
                  fact=case.further.get("crossings"), how="above 1 the balance goes down again after the first time")  # fmt: skip
    yield from _hurdle(graph, told)


def _hurdle(graph: Graph, told: Flows) -> Iterator[Measure]:
    """The balance at the hurdle, and whether it is met."""
    hurdle = graph.study.inquiry.wishes.hurdle_months
    whole, part = divmod(hurdle.value, 1.0)
    balances, nets = told.balances(MONTHS), told.months(MONTHS)
    value = balances[int(whole)] + part * nets[int(whole)]
    says = "INDEX(month_balances,INT(hurdle_months)+1)+(hurdle_months-INT(hurdle_months))*INDEX(month_nets,INT(hurdle_months)+2)"
    yield Measure(words=f"Balance at the hurdle", name="hurdle_balance", says=says, value=value,
                  form=f'#,##0" {graph.currency}"', fact=graph.case.hurdle_balance,
                  how="money back less money out after the months of the hurdle; from 0 up it is met")  # fmt: skip
    yield Measure(words="Is the hurdle met?", says='IF(hurdle_balance>=0,"yes","no")', value="yes" if value >= 0.0 else "no",
                  form="", how="by the simple payback from hand-over")  # fmt: skip


def last_below(nets: list[float]) -> int:
    """The last period whose running total is below zero; -1 where none is."""
    found, total = -1, 0.0
    for period, net in enumerate(nets):
        total += net
        found = period if total < 0.0 else found
    return found


def crossings(nets: list[float]) -> int:
    """How often the running total comes up to zero from below."""
    found, total = 0, nets[0]
    for net in nets[1:]:
        found += total < 0.0 <= total + net
        total += net
    return found


def _worths(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Present worth, rates, annual worth, index."""
    case, money = graph.case, f'#,##0" {graph.currency}"'
    left = "".join(f"+{graph.reference(line.amount)}/(1+discount_rate)^years_counted" for line in graph.lines("left"))
    ahead = ahead_id(graph)
    less = f"-{graph.reference(ahead)}" if ahead else ""
    worth = told.worth()
    yield Measure(words="Net present worth", name="npv", says=f"NPV(discount_rate,year_lines)-paid_before{left}{less}",
                  value=worth, form=money, fact=case.npv, key=True,
                  how="years at their ends, what the equipment brings at the end, less what is paid and the interest of "
                      "paying ahead of hand-over")  # fmt: skip
    yield from _rates(graph, told)
    yearly = worth * told.rate / (1.0 - (1.0 + told.rate) ** -told.horizon) if told.rate else worth / told.horizon
    yield Measure(words="The same worth every year", says="PMT(discount_rate,years_counted,0-npv)", value=yearly,
                  form=f'#,##0" {graph.currency} a year"', fact=case.further.get("annual_worth"),
                  how="an equal amount at the end of each year counted")  # fmt: skip
    yield Measure(words="Present worth for each unit paid", says='IF(paid_before>0,1+npv/paid_before,"nothing is paid before")',
                  value=1.0 + worth / told.outlay if told.outlay > 0.0 else "nothing is paid before", form="0.00",
                  fact=case.further.get("profitability_index"), how="above 1 the present worth is above 0")  # fmt: skip


def _rates(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Internal and modified internal rate, with the changes of sign that say whether there can be several."""
    case, nets = graph.case, [lines + left for lines, left in year_values(told)]
    changes = sign_changes(nets)
    yield Measure(words="Changes of sign among the years", name="changes", says="SUMPRODUCT((year_signs*year_signs_next<0)*1)",
                  value=changes if signs(told)[0] else max(0, changes), form="0",
                  how="1: there is one internal rate; more: there may be several, or none")  # fmt: skip
    found = internal_rates(nets)
    rate: float | str = "there is none: the years do not pay back what is paid" if changes == 0 else (
        found[0] if changes == 1 and found else "several are possible: go by the present worth")  # fmt: skip
    if told.outlay <= 0.0:
        rate = "nothing is paid before"
    guess = "MAX(0.05,INDEX(year_nets,2)/paid_before)"
    says = (f'IF(paid_before<=0,"nothing is paid before",IF(changes=0,"there is none: the years do not pay back what is paid",'
            f'IF(changes>1,"several are possible: go by the present worth",IRR(year_nets,{guess}))))')  # fmt: skip
    yield Measure(words="Internal rate", says=says, value=rate, form=SHARE, fact=case.irr, key=True,
                  how="the rate at which the years are worth what is paid; the interest of paying ahead is not in it")  # fmt: skip
    counted = nets[: math.ceil(told.horizon) + 1]
    both = min(counted) < 0.0 < max(counted)
    value = (
        modified_internal_rate(counted, finance_rate=told.rate, reinvest_rate=told.rate) if both else "there is none"
    )
    place = f"INDEX(year_nets,1):INDEX(year_nets,ROUNDUP(years_counted,0)+1)"
    yield Measure(words="Modified internal rate", fact=case.further.get("mirr"), value=value, form=SHARE,
                  says=f'IF(AND(MIN(year_nets)<0,MAX(year_nets)>0),MIRR({place},discount_rate,discount_rate),"there is none")',
                  how="what comes in is invested anew at the discount rate")  # fmt: skip


def _plain(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Ratio, cost of a part, and what is said across the table."""
    case, estimate = graph.case, graph.estimate
    saving, price = graph.value(case.saving_per_y), graph.value(estimate.installed)
    yield Measure(words="Price over yearly saving", form='0.0" years"', fact=case.plain_ratio_y,
                  says=f'IF({graph.reference(case.saving_per_y)}>0,{graph.reference(estimate.installed)}'
                       f'/{graph.reference(case.saving_per_y)},"nothing is saved in a year")',
                  value=price / saving if saving > 0.0 else "nothing is saved in a year",
                  how="installed price over the saving of a steady year; no ramp-up, no growth")  # fmt: skip
    top = f"concepts.{graph.result.concept.id}.case."
    for name, words, form, how in (
        ("cost_a_part", "Loading a part costs", f'#,##0.00" {graph.currency}"',
         "hours at the cost of a worked hour, running cost and what was paid spread over the years, for each part sold"),
        ("freed_machine_hours", "Machine hours a year beyond what is ordered", '#,##0" h"', "not counted as money"),
    ):  # fmt: skip
        if top + name in graph.facts:
            yield Measure(words=words, says=graph.reference(top + name), value=graph.value(top + name), form=form, how=how,
                          fact=top + name)  # fmt: skip
    wages = top + "naive.wages"
    if wages in graph.facts:
        naive = 12.0 * graph.value(estimate.equipment) / graph.value(wages) if graph.value(wages) > 0.0 else math.inf
        equipment, saved = graph.reference(estimate.equipment), graph.reference(wages)
        yield Measure(words="Payback as it is said across the table", form=MONTH, fact=case.naive_payback_months,
                      says=_never(f"IF({saved}>0,12*{equipment}/{saved},1E+9)"),
                      value=naive if naive <= 12.0 * told.horizon else NEVER,
                      how="equipment alone over the whole wage of all heads: not to be decided by")  # fmt: skip


def _financing(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Payment, cost and lowest balance of a loan or lease, where the inquiry has one."""
    terms, money = graph.study.inquiry.money.financing, f'#,##0" {graph.currency}"'
    top = f"concepts.{graph.result.concept.id}.case."
    if terms is None or f"{top}monthly_payment" not in graph.facts or f"{top}lent" not in graph.facts:
        return
    payment, lent, years = (graph.reference(each) for each in (f"{top}monthly_payment", f"{top}lent", terms.years_y.id))
    for name, key in (("monthly_payment", "loan_payment"), ("financing_cost", "loan_cost")):
        if top + name in graph.facts:
            yield Measure(words=FURTHER[key][0], says=graph.reference(top + name), value=graph.value(top + name), form=money,
                          how="see Workings", fact=graph.case.further.get(key))  # fmt: skip
    end = round(12.0 * terms.years_y.value)
    paid, got = graph.value(f"{top}monthly_payment"), graph.value(f"{top}lent")
    lowest = min(each + got - paid * month for month, each in enumerate(told.balances(end)))
    within = f"(month_numbers<=ROUND(12*{years},0))"
    says = f"SUMPRODUCT(MIN((month_balances+{lent}-{payment}*month_numbers)*{within}+1E+12*(1-{within})))"
    yield Measure(words=FURTHER["lowest_cash"][0], says=says, value=lowest, form=money,
                  how="lowest balance of any month with the payments", fact=graph.case.further.get("lowest_cash"))  # fmt: skip


KEPT = {"npv_after_tax": ("#,##0", 1.0), "irr_after_tax": (SHARE, 1.0), "payback_after_tax": (MONTH, 12.0),
        "npv_over_hand": ("#,##0", 1.0), "first_payback_months": (MONTH, 1.0)}  # fmt: skip


def _kept(graph: Graph) -> Iterator[Measure]:
    """Measures that no sheet works out: after tax, beside other concepts, and the chance."""
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
        yield Measure(words="Chance of meeting the hurdle", says=f"{chance.value!r}", value=chance.value, form="0%",
                      how=f"{chance.source}; a value of the study")  # fmt: skip
    for name, words in graph.case.reasons.items():
        if name in ("irr", "payback_months") and "[[" not in words:
            yield Measure(
                words=opening(name.replace("_", " ")),
                says='"none"',
                value="none",
                form="",
                how=f"in the study: {words}",
            )


def _rebuilt(told: Flows) -> Iterator[Measure]:
    """Five numbers from which the payback follows with pencil and paper."""
    nets = [-told.outlay, *told.months(MONTHS)]
    last = last_below(nets)
    some = 0 <= last < MONTHS
    back = math.fsum(nets[1 : last + 1])
    yield Measure(
        words="1  Paid before hand-over",
        says="paid_before",
        value=told.outlay,
        form="#,##0.00",
        how="sheet Measures, first row",
    )
    yield Measure(words="2  Whole months after which money is still missing", name="hand_months", says="MAX(0,last_below)",
                  value=max(0, last), form="0", how="sheet Months, last row below zero")  # fmt: skip
    yield Measure(words="3  What these months bring", name="hand_back", says="INDEX(month_balances,hand_months+1)+paid_before",
                  value=back, form="#,##0.00", how="sum of the net of these months")  # fmt: skip
    yield Measure(words="4  Still missing then", name="hand_missing", says="MAX(0,paid_before-hand_back)",
                  value=max(0.0, told.outlay - back), form="#,##0.00", how="number 1 less number 3")  # fmt: skip
    following = nets[last + 1] if some else nets[1] if last < 0 else 0.0
    yield Measure(words="5  What the next month brings", name="hand_next", says=f"IF(hand_months>={MONTHS},0,INDEX(month_nets,hand_months+2))",
                  value=following, form="#,##0.00", how="sheet Months, net of the month after")  # fmt: skip
    months: float | str = NEVER if last >= MONTHS else 0.0 if last < 0 else last + (told.outlay - back) / following
    if isinstance(months, float) and months > 12.0 * told.horizon:
        months = NEVER
    says = f'IF(last_below>={MONTHS},"{NEVER}",IF(hand_missing=0,0,{_never("(hand_months+hand_missing/hand_next)")}))'
    yield Measure(words="Payback = number 2 + number 4 / number 5", name="payback_by_hand", says=says, value=months, form='0.00" months"',
                  how="the same as the simple payback above")  # fmt: skip


def _on_paper(graph: Graph, told: Flows) -> Iterator[Measure]:
    """A rough count without growth: what was paid and what the ramp-up costs, over the gain of a steady month."""
    missing = math.fsum(1.0 - told.share(month) for month in range(1, 25))
    rows = ",".join(f"'{CASH}'!$C${month_row(first) + 1}:$C${month_row(first + 11) + 1}" for first in (1, 13))
    gains, costs = (told.side(1, gains=each) for each in (True, False))
    yield Measure(words="Months of gain that the ramp-up costs", name="ramp_months", says=f"24-SUM({rows})", value=missing,
                  form='0.00" months"', how="what is missing from full months in the first two years")  # fmt: skip
    kept = (gains + costs) / 12.0
    value: float | str = (told.outlay + missing * gains / 12.0) / kept if kept > 0.0 else "nothing is kept"
    says = 'IF(gains_a_year+costs_a_year>0,(paid_before+ramp_months*gains_a_year/12)/((gains_a_year+costs_a_year)/12),"nothing is kept")'
    yield Measure(words="Payback without growth", name="payback_on_paper", says=says, value=value, form=MONTH,
                  how="(paid before + ramp-up months x gains a month) / (gains less costs a month); it lies near the simple "
                      "payback, and differs by what wages and prices grow")  # fmt: skip


def _checks(graph: Graph) -> Iterator[Measure]:
    """Sums that must agree by two ways."""
    made, lines = chain(graph), graph.case.lines
    last, net = year_row(YEARS) + 2, letters(LINES + len(lines))
    scenario = [f"{SCENARIOS}!{cell(made.found(number), BASE)}" for number in (2, 3)]
    pairs = (
        ("All lines of the cash flow are in its net", f"SUM('{CASH}'!{letters(LINES)}{last}:{letters(LINES + len(lines) - 1)}{last})",
         f"'{CASH}'!{net}{last}"),
        ("The sum of the net is the last balance", f"'{CASH}'!{net}{last}", f"'{CASH}'!{letters(LINES + len(lines) + 1)}{last - 1}"),
        ("The payback by hand is the payback", "IF(ISNUMBER(payback),payback,-1)", "IF(ISNUMBER(payback_by_hand),payback_by_hand,-1)"),
        ("Scenarios give the same payback", "IF(ISNUMBER(payback),payback,-1)", f"IF(ISNUMBER({scenario[0]}),{scenario[0]},-1)"),
        ("Scenarios give the same present worth", "npv", scenario[1]),
    )  # fmt: skip
    for words, one, other in pairs:
        yield Measure(words=words, says=f'IF(ABS({one}-{other})<0.005,"agrees","differs")', value="agrees", form="",
                      how="to half a cent, or to half a hundredth of a month")  # fmt: skip

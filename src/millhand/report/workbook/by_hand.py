"""The payback rebuilt with pencil and paper, and sums that must agree by two ways."""

import math
from collections.abc import Iterator

from millhand.model.letters import letters
from millhand.report.workbook.cash import LINES, month_row, year_row
from millhand.report.workbook.cash import SHEET as CASH
from millhand.report.workbook.flows import NEVER, Flows
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.inputs import YEARS
from millhand.report.workbook.measure import MONTH, Measure, last_below, never
from millhand.report.workbook.scenarios import BASE, cell, chain
from millhand.report.workbook.scenarios import SHEET as SCENARIOS
from millhand.report.workbook.years import MONTHS


def rebuilt(told: Flows) -> Iterator[Measure]:
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
    yield Measure(
        words="2  Whole months after which money is still missing",
        name="hand_months",
        says="MAX(0,last_below)",
        value=max(0, last),
        form="0",
        how="sheet Months, last row below zero",
    )
    yield Measure(
        words="3  What these months bring",
        name="hand_back",
        says="INDEX(month_balances,hand_months+1)+paid_before",
        value=back,
        form="#,##0.00",
        how="sum of the net of these months",
    )
    yield Measure(
        words="4  Still missing then",
        name="hand_missing",
        says="MAX(0,paid_before-hand_back)",
        value=max(0.0, told.outlay - back),
        form="#,##0.00",
        how="number 1 less number 3",
    )
    following = nets[last + 1] if some else nets[1] if last < 0 else 0.0
    yield Measure(
        words="5  What the next month brings",
        name="hand_next",
        says=f"IF(hand_months>={MONTHS},0,INDEX(month_nets,hand_months+2))",
        value=following,
        form="#,##0.00",
        how="sheet Months, net of the month after",
    )
    yield _together(told, last, back, following)


def _together(told: Flows, last: int, back: float, following: float) -> Measure:
    """The payback that the five numbers give."""
    months: float | str = NEVER if last >= MONTHS else 0.0 if last < 0 else last + (told.outlay - back) / following
    if isinstance(months, float) and months > 12.0 * told.horizon:
        months = NEVER
    says = f'IF(last_below>={MONTHS},"{NEVER}",IF(hand_missing=0,0,{never("(hand_months+hand_missing/hand_next)")}))'
    return Measure(
        words="Payback = number 2 + number 4 / number 5",
        name="payback_by_hand",
        says=says,
        value=months,
        form='0.00" months"',
        how="the same as the simple payback above",
    )


def on_paper(graph: Graph, told: Flows) -> Iterator[Measure]:
    """A rough count without growth: what was paid and what the ramp-up costs, over the gain of a steady month."""
    missing = math.fsum(1.0 - told.share(month) for month in range(1, 25))
    rows = ",".join(f"'{CASH}'!$C${month_row(first) + 1}:$C${month_row(first + 11) + 1}" for first in (1, 13))
    gains, costs = (told.side(1, gains=each) for each in (True, False))
    yield Measure(
        words="Months of gain that the ramp-up costs",
        name="ramp_months",
        says=f"24-SUM({rows})",
        value=missing,
        form='0.00" months"',
        how="what is missing from full months in the first two years",
    )
    kept = (gains + costs) / 12.0
    value: float | str = (told.outlay + missing * gains / 12.0) / kept if kept > 0.0 else "nothing is kept"
    spent, month = "(paid_before+ramp_months*gains_a_year/12)", "((gains_a_year+costs_a_year)/12)"
    says = f'IF({month}>0,{spent}/{month},"nothing is kept")'
    yield Measure(
        words="Payback without growth",
        name="payback_on_paper",
        says=says,
        value=value,
        form=MONTH,
        how="(paid before + ramp-up months x gains a month) / (gains less costs a month); it lies near the simple "
        "payback, and differs by what wages and prices grow",
    )


def checks(graph: Graph) -> Iterator[Measure]:
    """Sums that must agree by two ways."""
    made, lines = chain(graph), graph.case.lines
    last, net = year_row(YEARS) + 2, letters(LINES + len(lines))
    scenario = [f"{SCENARIOS}!{cell(made.found(number), BASE)}" for number in (2, 3)]
    pairs = (
        (
            "All lines of the cash flow are in its net",
            f"SUM('{CASH}'!{letters(LINES)}{last}:{letters(LINES + len(lines) - 1)}{last})",
            f"'{CASH}'!{net}{last}",
        ),
        (
            "The sum of the net is the last balance",
            f"'{CASH}'!{net}{last}",
            f"'{CASH}'!{letters(LINES + len(lines) + 1)}{last - 1}",
        ),
        (
            "The payback by hand is the payback",
            "IF(ISNUMBER(payback),payback,-1)",
            "IF(ISNUMBER(payback_by_hand),payback_by_hand,-1)",
        ),
        (
            "Scenarios give the same payback",
            "IF(ISNUMBER(payback),payback,-1)",
            f"IF(ISNUMBER({scenario[0]}),{scenario[0]},-1)",
        ),
        ("Scenarios give the same present worth", "present_worth", scenario[1]),
    )
    for words, one, other in pairs:
        yield Measure(
            words=words,
            says=f'IF(ABS({one}-{other})<0.005,"agrees","differs")',
            value="agrees",
            form="",
            how="to half a cent, or to half a hundredth of a month",
        )

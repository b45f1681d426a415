"""What a case is worth, as measures: present worth, internal rates, the same worth every year."""

import math
from collections.abc import Iterator

from millhand.formulas.rates import internal_rates, modified_internal_rate, sign_changes
from millhand.report.workbook.flows import Flows, ahead_id
from millhand.report.workbook.graph import Graph
from millhand.report.workbook.measure import Measure
from millhand.report.workbook.years import signs, year_values

SHARE = "0.0%"
GUESSES = ("-0.85", "-0.7", "-0.5", "-0.2")  # from which a program looks for a rate far below zero


def worths(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Present worth, rates, annual worth, index."""
    case, money = graph.case, f'#,##0" {graph.currency}"'
    left = "".join(
        f"+{graph.reference(line.amount)}/(1+discount_rate)^ROUNDUP(years_counted,0)" for line in graph.lines("left")
    )
    ahead = ahead_id(graph)
    less = f"-{graph.reference(ahead)}" if ahead else ""
    worth = told.worth()
    yield Measure(
        words="Net present worth",
        name="present_worth",
        says=f"NPV(discount_rate,year_lines)-paid_before{left}{less}",
        value=worth,
        form=money,
        fact=case.npv,
        key=True,
        how="years at their ends, what the equipment brings at the end, less what is paid and the interest of "
        "paying ahead of hand-over",
    )
    yield from _rates(graph, told)
    yearly = worth * told.rate / (1.0 - (1.0 + told.rate) ** -told.horizon) if told.rate else worth / told.horizon
    yield Measure(
        words="The same worth every year",
        says="PMT(discount_rate,years_counted,0-present_worth)",
        value=yearly,
        form=f'#,##0" {graph.currency} a year"',
        fact=case.further.get("annual_worth"),
        how="an equal amount at the end of each year counted",
    )
    yield Measure(
        words="Present worth for each unit paid",
        says='IF(paid_before>0,1+present_worth/paid_before,"nothing is paid before")',
        value=1.0 + worth / told.outlay if told.outlay > 0.0 else "nothing is paid before",
        form="0.00",
        fact=case.further.get("profitability_index"),
        how="above 1 the present worth is above 0",
    )


def _rates(graph: Graph, told: Flows) -> Iterator[Measure]:
    """Internal and modified internal rate, with the changes of sign that say whether there can be several."""
    case, nets = graph.case, [lines + left for lines, left in year_values(told)]
    changes = sign_changes(nets)
    yield Measure(
        words="Changes of sign among the years",
        name="changes",
        says="SUMPRODUCT((year_signs*year_signs_next<0)*1)",
        value=changes if signs(told)[0] else max(0, changes),
        form="0",
        how="1: there is one internal rate; more: there may be several, or none",
    )
    found = internal_rates(nets)
    rate: float | str = (
        "there is none: the years do not pay back what is paid"
        if changes == 0
        else (found[0] if changes == 1 and found else "several are possible: go by the present worth")
    )
    if told.outlay <= 0.0:
        rate = "nothing is paid before"
    found_there = '"far below zero"'
    for guess in (*GUESSES, "MAX(0.05,INDEX(year_nets,2)/paid_before)"):  # the last one is tried first
        found_there = f"IFERROR(IRR(year_nets,{guess}),{found_there})"
    says = (
        'IF(paid_before<=0,"nothing is paid before",'
        'IF(changes=0,"there is none: the years do not pay back what is paid",'
        f'IF(changes>1,"several are possible: go by the present worth",{found_there})))'
    )
    yield Measure(
        words="Internal rate",
        says=says,
        value=rate,
        form=SHARE,
        fact=case.irr,
        key=True,
        how="the rate at which the years are worth what is paid; the interest of paying ahead is not in it",
    )
    counted = nets[: math.ceil(told.horizon) + 1]
    both = min(counted) < 0.0 < max(counted)
    value = (
        modified_internal_rate(counted, finance_rate=told.rate, reinvest_rate=told.rate) if both else "there is none"
    )
    place = "INDEX(year_nets,1):INDEX(year_nets,ROUNDUP(years_counted,0)+1)"
    yield Measure(
        words="Modified internal rate",
        fact=case.further.get("mirr"),
        value=value,
        form=SHARE,
        says=f'IF(AND(MIN(year_nets)<0,MAX(year_nets)>0),MIRR({place},discount_rate,discount_rate),"there is none")',
        how="what comes in is invested anew at the discount rate",
    )

"""Measures of a case beside its paybacks: present worth and its like, internal rates, cost of a part."""

from collections.abc import Iterator

from millhand.formulas.cashflow import balance_crossings
from millhand.formulas.rates import internal_rates, sign_changes
from millhand.model.case import CashRow
from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.case.financed import financed
from millhand.stages.case.ledger import Ledger, Steady
from millhand.stages.case.paid import prefinancing
from millhand.stages.case.taxed import taxed
from millhand.trace import apply, found


def present_worth(ledger: Ledger, year: Steady) -> Fact:
    """Worth at hand-over of all years within the horizon and of what is left then, less what is paid and when."""
    terms, sheet = ledger.inquiry.money, ledger.sheet
    parts = [
        apply(sheet, "npv_money", ledger.id("npv_of_years"), **year.flows, rate=terms.rate, horizon_y=terms.horizon_y)
    ]
    if year.left is not None:
        parts.append(
            apply(
                sheet, "worth_now_money", ledger.id("residual_now"),
                amount_money=year.left, rate=terms.rate, horizon_y=terms.horizon_y,
            )
        )  # fmt: skip
    ahead = prefinancing(ledger)
    parts.append(apply(sheet, "spent_money", ledger.id("flow.paid_ahead"), amount_money=ahead))
    return apply(sheet, "sum_money", ledger.id("npv"), amounts_money=tuple(parts))


def internal_rate(ledger: Ledger, year: Steady, rows: tuple[CashRow, ...]) -> tuple[str | None, str]:
    """The internal rate where there is exactly one; else None and the reason, with all rates that there are."""
    flows = [ledger.sheet.value(row.net) for row in rows]
    if year.outlay.value <= 0.0:
        return None, "there is none: nothing is paid before"
    if sign_changes(flows) == 0:
        return None, "there is none: the years do not pay back what is paid before"
    rates = internal_rates(flows)
    if len(rates) != 1:
        return None, _several(ledger, rows, rates)
    left = year.left or ledger.plain("nothing_left", 0.0, "money")
    irr = apply(
        ledger.sheet, "yearly_return", ledger.id("irr"),
        **year.flows, horizon_y=ledger.inquiry.money.horizon_y, residual_money=left,
    )  # fmt: skip
    return irr.id, ""


def _several(ledger: Ledger, rows: tuple[CashRow, ...], rates: tuple[float, ...]) -> str:
    """No rate, or all of them, in words."""
    if not rates:
        return "there is none: at no rate above -99 % are the years worth what is paid before"
    ids = []
    for number, rate in enumerate(rates, start=1):
        fact = Fact(
            id=ledger.id(f"irr_{number}"), value=rate, unit="1", basis="computed",
            source="newnan2004, ch. 7A, several internal rates", inputs=tuple(("", row.net) for row in rows),
        )  # fmt: skip
        ids.append(f"[[{found(ledger.sheet, fact).id}|percent]]")
    return f"there are several, and none of them means much: {', '.join(ids)}; go by the present worth"


def further(
    ledger: Ledger, year: Steady, rows: tuple[CashRow, ...], npv: Fact, own: Performance
) -> Iterator[tuple[str, str]]:
    """Further measures by name, each the id of its fact."""
    if ledger.concept.kind != "today":
        yield from _worths(ledger, year, rows, npv)
        yield from _times(ledger, year)
        yield from _by_part(ledger, year, own)
        yield from financed(ledger, year)
        yield from taxed(ledger, year, rows)


def _by_part(ledger: Ledger, year: Steady, own: Performance) -> Iterator[tuple[str, str]]:
    """What loading a part costs, all in; and the machine hours beyond what is ordered, which are not money yet."""
    sheet, terms = ledger.sheet, ledger.inquiry.money
    sold = ledger.sold(own)
    outlay = apply(
        sheet, "annual_worth_of_money_per_y", ledger.id("outlay_a_year"),
        npv_money=year.outlay, rate=terms.rate, horizon_y=terms.horizon_y,
    )  # fmt: skip
    if sold.value > 0.0:
        cost = apply(
            sheet, "loading_money_per_part", ledger.id("cost_a_part"),
            h_per_y=sheet[own.operator_h_per_y], money_per_h=ledger.wage,
            yearly_money=(year.running, outlay), parts_per_y=sold,
        )  # fmt: skip
        yield "cost_per_part", cost.id
    if sheet.value(own.parts_per_y) > ledger.orders().value and own.attended_h_per_y in sheet:
        hours = apply(
            sheet, "freed_machine_h_per_y", ledger.id("freed_machine_hours"),
            orders_parts_per_y=ledger.orders(), capacity_parts_per_y=sheet[own.parts_per_y],
            running_h_per_y=(sheet[own.attended_h_per_y], sheet[own.unattended_h_per_y]),
            machines=tuple(machine.count for machine in ledger.inquiry.machines),
        )  # fmt: skip
        yield "freed_machine_hours", hours.id


def _worths(ledger: Ledger, year: Steady, rows: tuple[CashRow, ...], npv: Fact) -> Iterator[tuple[str, str]]:
    """Modified internal rate, the same worth every year, worth for each unit paid."""
    sheet, terms = ledger.sheet, ledger.inquiry.money
    flows = tuple(sheet[row.net] for row in rows)
    values = [fact.value for fact in flows]
    if min(values) < 0.0 < max(values):
        rates = {"finance_rate": terms.rate, "reinvest_rate": terms.rate}
        yield "mirr", apply(sheet, "modified_internal_rate", ledger.id("mirr"), flows_money=flows, **rates).id
    yearly = apply(
        sheet, "annual_worth_of_money_per_y", ledger.id("annual_worth"),
        npv_money=npv, rate=terms.rate, horizon_y=terms.horizon_y,
    )  # fmt: skip
    yield "annual_worth", yearly.id
    if year.outlay.value > 0.0:
        index = apply(sheet, "worth_per_outlay", ledger.id("index"), npv_money=npv, outlay_money=year.outlay)
        yield "profitability_index", index.id


def _times(ledger: Ledger, year: Steady) -> Iterator[tuple[str, str]]:
    """The payback in whole months; how often the balance comes up to zero and when first, where it goes down again."""
    payback = ledger.id("payback")
    back = payback in ledger.sheet
    if back:
        whole = apply(
            ledger.sheet, "whole_payback_months", ledger.id("payback_whole"), payback_months=ledger.sheet[payback]
        )
        yield "payback_whole_months", whole.id
    numbers = {name: tuple(fact.value for fact in facts) for name, facts in year.years.items()}  # type: ignore[union-attr]
    if balance_crossings(year.outlay.value, **numbers) > (1.0 if back else 0.0):
        yield "crossings", apply(ledger.sheet, "balance_crossings", ledger.id("crossings"), **year.flows).id
        first = apply(ledger.sheet, "first_payback_months", ledger.id("first_payback"), **year.flows)
        yield "first_payback_months", first.id

"""The business case of one concept against today: years, paybacks, present worth, naive beside honest."""

from millhand.model.case import Case, SteadyYear
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.estimate import Estimate
from millhand.model.inquiry import Inquiry
from millhand.model.performance import Performance
from millhand.stages.case.ledger import Ledger, Steady, reached
from millhand.stages.case.measures import further, internal_rate, present_worth
from millhand.stages.case.rows import cash_lines, cash_rows, periods
from millhand.stages.case.rungs import naive, rungs
from millhand.stages.case.steady import steady
from millhand.trace import Sheet, apply

NOT_BACK = "the money is not back within the years that are counted"
NOTHING_PAID = "nothing is bought"


def case(
    inquiry: Inquiry,
    concept: Concept,
    performances: tuple[Performance, Performance],
    estimate: Estimate,
    catalogue: Catalogue,
    sheet: Sheet,
) -> Case:
    """The case of one concept; performances: the concept's own, and that of today."""
    ledger = Ledger(sheet=sheet, inquiry=inquiry, concept=concept, catalogue=catalogue, estimate=estimate)
    own, today = performances
    sold = ledger.sold(own)
    if sold.value > 0.0:
        apply(
            sheet, "labour_money_per_part", ledger.id("labour_a_part"),
            h_per_y=sheet[own.operator_h_per_y], money_per_h=ledger.wage, parts_per_y=sold,
        )  # fmt: skip
    if own.people is not None and own.people.post is not None:
        apply(
            sheet, "wages_money_per_y", ledger.id("shared_wages"),
            worked_h_per_y=sheet[own.people.post], wage_money_per_h=ledger.wage,
        )  # fmt: skip
    year = steady(ledger, own, today)
    within = 12.0 * inquiry.money.horizon_y.value if concept.kind != "today" else -1.0
    rows = cash_rows(ledger, year)
    payback, from_order, discounted = _paybacks(ledger, year, within)
    npv = present_worth(ledger, year)
    irr, why = internal_rate(ledger, year, rows)
    ratio, naive_payback = _plain_ratio(ledger, year), naive(ledger, within)
    figures = {
        "payback_months": payback, "payback_from_order_months": from_order, "discounted_payback_months": discounted,
        "irr": irr, "plain_ratio_y": ratio, "naive_payback_months": naive_payback,
    }  # fmt: skip
    return Case(
        concept=concept.id,
        against=today.concept,
        periods=periods(ledger),
        lines=cash_lines(ledger, year),
        rows=rows,
        saving_per_y=_saving(ledger, year),
        payback_months=payback,
        payback_from_order_months=from_order,
        discounted_payback_months=discounted,
        npv=npv.id,
        irr=irr,
        plain_ratio_y=ratio,
        naive_payback_months=naive_payback,
        rungs=rungs(ledger, year, today, payback, within) if concept.kind == "cell" else (),
        reasons=_reasons(concept, figures, why),
        year=_steady_year(year),
        further=dict(further(ledger, year, rows, npv, own)),
        hurdle_balance=_hurdle_balance(ledger, year),
    )


def _steady_year(year: Steady) -> SteadyYear:
    """What the record keeps of a steady year beside its lines."""
    return SteadyYear(
        outlay=year.outlay.id,
        output=year.output.id,
        running=year.running.id,
        freed_h_per_y=year.freed.id,
        ramp_up=tuple(fact.id for fact in year.ramp_up),
    )


def _paybacks(ledger: Ledger, year: Steady, within: float) -> tuple[str | None, str | None, str | None]:
    """Simple from hand-over, the same from the order, and discounted."""
    simple = reached(ledger, "payback_months", "payback", within, year.flows)
    inputs = {**year.flows, "rate": ledger.inquiry.money.rate}
    discounted = reached(ledger, "discounted_payback_months", "discounted_payback", within, inputs)
    if simple is None:
        return None, None, discounted
    from_order = apply(
        ledger.sheet, "payback_from_order_months", ledger.id("payback_from_order"),
        payback_months=ledger.sheet[simple], order_to_hand_over_s=ledger.sheet[ledger.estimate.order_to_hand_over_s],
    )  # fmt: skip
    return simple, from_order.id, discounted


def _saving(ledger: Ledger, year: Steady) -> str:
    """Saving of a steady year without the cost that goes by the price."""
    return apply(
        ledger.sheet, "net_money_per_y", ledger.id("saving"),
        gains_money=(year.labour, year.output), costs_money=(year.by_family,),
    ).id  # fmt: skip


def _plain_ratio(ledger: Ledger, year: Steady) -> str | None:
    """Installed price over the steady yearly saving; None where nothing is saved."""
    saving = ledger.sheet[_saving(ledger, year)]
    price = ledger.sheet[ledger.estimate.installed]
    if ledger.concept.kind == "today" or saving.value <= 0.0:
        return None
    return apply(
        ledger.sheet, "plain_ratio_y", ledger.id("plain_ratio"), price_money=price, saving_money_per_y=saving
    ).id


def _hurdle_balance(ledger: Ledger, year: Steady) -> str:
    """Money back less money out at the hurdle: at or above zero, the concept meets it."""
    return apply(
        ledger.sheet, "balance_money", ledger.id("hurdle_balance"),
        **year.flows, months=ledger.inquiry.wishes.hurdle_months,
    ).id  # fmt: skip


def _reasons(concept: Concept, figures: dict[str, str | None], no_rate: str) -> dict[str, str]:
    """Why each missing figure is missing, and what is not counted at all."""
    reasons = {
        name: NOTHING_PAID if concept.kind == "today" else NOT_BACK for name, fact in figures.items() if not fact
    }
    if concept.kind != "today":
        if "irr" in reasons:
            reasons["irr"] = no_rate
        if "plain_ratio_y" in reasons:
            reasons["plain_ratio_y"] = "nothing is saved in a year"
        if "naive_payback_months" in reasons and concept.kind == "by_hand":
            reasons["naive_payback_months"] = "only a cell is counted that way across the table"
    return reasons

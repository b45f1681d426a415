"""A loan or a lease beside the case: payment, what it costs, how low the balance goes."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.stages.case.ledger import Ledger, Steady
from millhand.trace import apply


def financed(ledger: Ledger, year: Steady) -> Iterator[tuple[str, str]]:
    """Measures of the financing by name; none where the shop pays out of its own money."""
    terms = ledger.inquiry.money.financing
    if terms is None or ledger.concept.kind != "cell" or year.outlay.value <= 0.0:
        return
    sheet, leased = ledger.sheet, terms.way.value == "lease"
    share = ledger.plain("leased_share", 1.0, "1") if leased else terms.share
    lent = apply(sheet, "lent_money", ledger.id("lent"), outlay_money=year.outlay, share=share)
    payment = _payment(ledger, year, share)
    end = terms.end_money if leased and terms.end_money is not None else ledger.plain("nothing_at_end", 0.0, "money")
    yield "loan_payment", payment.id
    cost = apply(
        sheet, "financing_cost_money", ledger.id("financing_cost"),
        payment_money=payment, years=terms.years_y, rate=ledger.inquiry.money.rate, lent_money=lent, end_money=end,
    )  # fmt: skip
    yield "loan_cost", cost.id
    own = apply(sheet, "difference_money", ledger.id("own_money"), amount_money=year.outlay, other_money=lent)
    lowest = apply(
        sheet, "lowest_balance_money", ledger.id("lowest_balance"),
        own_money=own, **year.years, payment_money=payment, years=terms.years_y,
    )  # fmt: skip
    yield "lowest_cash", lowest.id


def _payment(ledger: Ledger, year: Steady, share: Fact) -> Fact:
    """What is paid a month: the lease's own payment, else that of a loan."""
    terms = ledger.inquiry.money.financing
    assert terms is not None
    if terms.way.value == "lease" and terms.payment_per_y is not None:
        return apply(
            ledger.sheet, "month_of_year_money", ledger.id("monthly_payment"), payment_money_per_y=terms.payment_per_y
        )
    return apply(
        ledger.sheet, "monthly_payment_money", ledger.id("monthly_payment"),
        outlay_money=year.outlay, share=share, loan_rate=terms.rate, years=terms.years_y,
    )  # fmt: skip

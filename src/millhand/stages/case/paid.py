"""What is paid before hand-over: the price by milestones, the shop's own work, less a grant."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.model.fact import Fact
from millhand.stages.case.ledger import Ledger
from millhand.trace import apply


@dataclass(frozen=True, slots=True, kw_only=True)
class Once:
    """One amount below zero, and which shares of it are paid at order, delivery and hand-over."""

    id: str
    words: str
    amount: Fact
    shares: tuple[float, float, float]


def paid(ledger: Ledger) -> Iterator[Once]:
    """Price, own work and grant; nothing where nothing is bought."""
    estimate, sheet = ledger.estimate, ledger.sheet
    if not estimate.lines:
        return
    order, delivery, hand_over = (fact.value for fact in shares(ledger))
    for name, words, amount, parts in (
        ("price", "installed price", estimate.installed, (order, delivery, hand_over)),
        ("own_work", "the shop's own work and trial parts", estimate.own, (0.0, 0.0, 1.0)),
    ):
        flow = apply(sheet, "spent_money", ledger.id(f"flow.{name}"), amount_money=sheet[amount])
        yield Once(id=name, words=words, amount=flow, shares=parts)
    used = grant(ledger)
    if used is not None:
        yield Once(id="grant", words="grant", amount=used, shares=(0.0, 0.0, 1.0))


def grant(ledger: Ledger) -> Fact | None:
    """What is used of a grant: no more than there is to pay; None where there is none."""
    told = ledger.inquiry.money.grant
    if told is None or ledger.concept.kind != "cell":
        return None
    return apply(ledger.sheet, "used_grant_money", ledger.id("grant"), grant_money=told, amount_money=_before(ledger))


def _before(ledger: Ledger) -> Fact:
    """All that is to pay without a grant."""
    estimate, sheet = ledger.estimate, ledger.sheet
    whole = (sheet[estimate.installed], sheet[estimate.own])
    return apply(sheet, "sum_money", ledger.id("outlay_before_grant"), amounts_money=whole)


def outlay(ledger: Ledger) -> Fact:
    """All of it, from 0 up; a grant beyond it leaves nothing to pay."""
    estimate, sheet = ledger.estimate, ledger.sheet
    used = grant(ledger)
    if used is not None:
        return apply(sheet, "less_grant_money", ledger.id("outlay"), amount_money=_before(ledger), grant_money=used)
    whole = (sheet[estimate.installed], sheet[estimate.own])
    return apply(sheet, "sum_money", ledger.id("outlay"), amounts_money=whole)


def shares(ledger: Ledger) -> tuple[Fact, Fact, Fact]:
    """The shares of the price at order, delivery and hand-over; a change by hand is paid when it is there."""
    if ledger.concept.kind != "cell":
        nothing, whole = ledger.plain("paid_before", 0.0, "1"), ledger.plain("paid_at_hand_over", 1.0, "1")
        return nothing, nothing, whole
    order, delivery = ledger.figure("milestone_order_share"), ledger.figure("milestone_delivery_share")
    rest = apply(ledger.sheet, "rest_share", "money.milestone_rest", taken_shares=(order, delivery))
    return order, delivery, rest


def prefinancing(ledger: Ledger) -> Fact:
    """What it costs that the price is paid ahead of hand-over."""
    if ledger.concept.kind != "cell":
        return ledger.plain("paid_ahead", 0.0, "money")
    sheet, estimate = ledger.sheet, ledger.estimate
    order, delivery, _ = shares(ledger)
    return apply(
        sheet, "paid_ahead_money", ledger.id("paid_ahead"),
        price_money=sheet[estimate.installed], shares=(order, delivery),
        ahead_s=(sheet[estimate.order_to_hand_over_s], ledger.figure("delivery_to_hand_over_s")),
        rate=ledger.inquiry.money.rate,
    )  # fmt: skip

"""A steady year against today: freed hours, output more or less, and what the concept costs to run."""

from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.case.ledger import Ledger, Steady
from millhand.trace import apply, found


def steady(ledger: Ledger, performance: Performance, today: Performance) -> Steady:
    """Every line of a steady year, and what is paid before it."""
    estimate, sheet = ledger.estimate, ledger.sheet
    outlay = apply(
        ledger.sheet, "sum_money", ledger.id("outlay"), amounts_money=(sheet[estimate.installed], sheet[estimate.own])
    )
    freed = apply(
        ledger.sheet, "freed_h_per_y", ledger.id("freed_hours"),
        today_h_per_y=sheet[today.operator_h_per_y], still_h_per_y=sheet[performance.operator_h_per_y],
    )  # fmt: skip
    _whole_heads(ledger, freed)
    labour = apply(
        ledger.sheet, "labour_money_per_y", ledger.id("labour"),
        freed_h_per_y=freed, wage_money_per_h=ledger.wage, usable_share=ledger.inquiry.people.share_usable,
    )  # fmt: skip
    extra, lost = (_output(ledger, name, performance, today) for name in ("extra", "lost"))
    upkeep, programming, fingers = _running(ledger)
    return Steady(
        outlay=outlay,
        freed=freed,
        labour=labour,
        extra=extra,
        lost=lost,
        output=apply(ledger.sheet, "net_money_per_y", ledger.id("output"), gains_money=(extra,), costs_money=(lost,)),
        upkeep=upkeep,
        programming=programming,
        fingers=fingers,
        running=apply(
            ledger.sheet, "total_money_per_y", ledger.id("running"), amounts_money=(upkeep, programming, fingers)
        ),
        ramp_up=_ramp_up(ledger),
        growth=ledger.inquiry.money.wage_growth,
    )


def _whole_heads(ledger: Ledger, freed: Fact) -> None:
    """How lumpy the freed hours are: posts that they fill, and what is left beside them."""
    head = ledger.sheet["shifts.head_h_per_y"]
    heads = apply(ledger.sheet, "whole_heads", ledger.id("freed_heads"), freed_h_per_y=freed, head_h_per_y=head)
    apply(
        ledger.sheet, "beside_heads_h_per_y", ledger.id("freed_beside_heads"),
        freed_h_per_y=freed, heads=heads, head_h_per_y=head,
    )  # fmt: skip


def _output(ledger: Ledger, name: str, performance: Performance, today: Performance) -> Fact:
    """What parts on top of today's (`extra`) or parts that can no longer be made (`lost`) are worth."""
    parts = ledger.inquiry.parts
    orders = tuple(part.orders_per_y for part in parts)
    changed = apply(
        ledger.sheet, f"{name}_parts_per_y", ledger.id(f"{name}_parts"),
        orders_parts_per_y=apply(ledger.sheet, "total_parts_per_y", ledger.id("orders"), orders_parts_per_y=orders),
        capacity_parts_per_y=ledger.sheet[performance.parts_per_y],
        today_parts_per_y=ledger.sheet[today.parts_per_y],
    )  # fmt: skip
    contribution = apply(
        ledger.sheet, "mean_contribution_per_part", ledger.id("contribution"),
        contributions=tuple(part.contribution_per_part for part in parts), orders_parts_per_y=orders,
    )  # fmt: skip
    return apply(
        ledger.sheet,
        "output_money_per_y",
        ledger.id(f"{name}_output"),
        changed_parts_per_y=changed,
        contribution_per_part=contribution,
    )


def _running(ledger: Ledger) -> tuple[Fact, Fact, Fact]:
    """Upkeep, programming and fingers of new families a year; nought for what has no arm."""
    if ledger.concept.kind != "cell":
        upkeep, programming, fingers = (
            ledger.plain(name, 0.0, "money/y") for name in ("upkeep", "programming", "fingers")
        )
        return upkeep, programming, fingers
    families = ledger.figure("new_families_per_y")
    upkeep = apply(
        ledger.sheet, "upkeep_money_per_y", ledger.id("upkeep"),
        price_money=ledger.sheet[ledger.estimate.installed], upkeep_share=ledger.figure("upkeep_share"),
    )  # fmt: skip
    programming = apply(
        ledger.sheet, "programming_money_per_y", ledger.id("programming"),
        families_per_y=families, programming_h=ledger.figure("programming_family_h"),
        stands_share=ledger.figure("programming_stands_share"), wage_money_per_h=ledger.wage,
    )  # fmt: skip
    fingers = apply(
        ledger.sheet, "fingers_money_per_y", ledger.id("fingers"),
        families_per_y=families,
        set_money=found(ledger.sheet, ledger.catalogue.components["finger_set"].figures["price"]),
        price_factor=ledger.sheet[ledger.estimate.price_factor],
    )  # fmt: skip
    return upkeep, programming, fingers


def _ramp_up(ledger: Ledger) -> tuple[Fact, ...]:
    """The shares of the steady gain in the first months: of a first cell in the shop, at once for a change by hand."""
    if ledger.concept.kind != "cell":
        return (ledger.plain("ramp_up", 1.0, "1"),)
    names = sorted(name for name in ledger.catalogue.figures if name.startswith("ramp_up_first_"))
    return tuple(ledger.figure(name) for name in names)

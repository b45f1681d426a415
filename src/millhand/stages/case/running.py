"""What a concept costs to run: upkeep, insurance, power and air, floor, new families, and a change of scrap."""

from collections.abc import Iterator

from millhand.model.case import LineGroup
from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.case.ledger import Ledger, Line
from millhand.trace import apply, found


def running_lines(ledger: Ledger, performance: Performance) -> Iterator[tuple[Line, Fact]]:
    """Each line with its cost from 0 up; nothing for what has no arm."""
    if ledger.concept.kind != "cell":
        return
    prices, wages = ledger.inquiry.money.escalation, ledger.inquiry.money.wage_growth
    for name, words, cost, growth in (
        ("upkeep", "upkeep and spares", _upkeep(ledger), prices),
        ("insurance", "insurance and licences", _insurance(ledger), prices),
        ("energy", "electricity and compressed air", _energy(ledger, performance), prices),
        ("floor", "floor", _floor(ledger), prices),
        ("programming", "programming and proving of new parts", _programming(ledger), wages),
        ("fingers", "fingers for new parts", _fingers(ledger), prices),
    ):
        if cost is not None:
            yield cost_line(ledger, name, words, cost, growth), cost


def cost_line(ledger: Ledger, name: str, words: str, cost: Fact, growth: Fact, group: LineGroup = "running") -> Line:
    """A cost as a line: below zero."""
    flow = apply(ledger.sheet, "spent_money_per_y", ledger.id(f"flow.{name}"), amount_money_per_y=cost)
    return Line(id=name, words=words, group=group, yearly=flow, growth=growth)


def _upkeep(ledger: Ledger) -> Fact:
    """Upkeep and spares as an amount: the shop's own figure, or a share of the price."""
    own = ledger.inquiry.money.upkeep
    if own is not None:
        return own
    return apply(
        ledger.sheet, "upkeep_money_per_y", ledger.id("upkeep"),
        price_money=ledger.sheet[ledger.estimate.installed], upkeep_share=ledger.figure("upkeep_share"),
    )  # fmt: skip


def _insurance(ledger: Ledger) -> Fact:
    """Insurance and licences."""
    return apply(
        ledger.sheet, "insurance_money_per_y", ledger.id("insurance"),
        price_money=ledger.sheet[ledger.estimate.installed], insurance_share=ledger.figure("insurance_share"),
    )  # fmt: skip


def _energy(ledger: Ledger, performance: Performance) -> Fact:
    """Power of arm, control and presenter, and of the compressor for its air, over the hours in which it runs."""
    sheet = ledger.sheet
    return apply(
        sheet, "energy_money_per_y", ledger.id("energy"),
        powers_w=(ledger.figure("cell_power_w"), ledger.figure("cell_air_w")),
        running_h_per_y=(sheet[performance.attended_h_per_y], sheet[performance.unattended_h_per_y]),
        money_per_kwh=ledger.rate(ledger.inquiry.money.energy_price, "energy_price"),
    )  # fmt: skip


def _floor(ledger: Ledger) -> Fact | None:
    """The floor that the cell takes; None where no layout was made."""
    area = f"concepts.{ledger.concept.id}.layout.floor_area"
    if area not in ledger.sheet:
        return None
    return apply(
        ledger.sheet, "floor_money_per_y", ledger.id("floor"),
        area_m2=ledger.sheet[area], money_per_m2=ledger.rate(ledger.inquiry.money.floor_cost, "floor_cost"),
    )  # fmt: skip


def _programming(ledger: Ledger) -> Fact:
    """Hours for the families that come new to the cell, and somebody who loads while it stands."""
    return apply(
        ledger.sheet, "programming_money_per_y", ledger.id("programming"),
        families_per_y=ledger.figure("new_families_per_y"), programming_h=ledger.figure("programming_family_h"),
        stands_share=ledger.figure("programming_stands_share"), wage_money_per_h=ledger.wage,
    )  # fmt: skip


def _fingers(ledger: Ledger) -> Fact:
    """A finger set for each new family."""
    return apply(
        ledger.sheet, "fingers_money_per_y", ledger.id("fingers"),
        families_per_y=ledger.figure("new_families_per_y"),
        set_money=found(ledger.sheet, ledger.catalogue.components["finger_set"].figures["price"]),
        price_factor=ledger.sheet[ledger.estimate.price_factor],
    )  # fmt: skip

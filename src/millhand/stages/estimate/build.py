"""What a concept costs to buy: price lines built from amounts, their sums, and how long it takes to hand-over."""

from millhand.errors import ToolError
from millhand.model.catalogue import Catalogue, HandChange
from millhand.model.concept import Concept
from millhand.model.estimate import Estimate, PriceLine
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.stages.estimate.lines import equipment_lines
from millhand.stages.estimate.quote import Quote, total
from millhand.stages.estimate.wage import worked_hour
from millhand.stages.estimate.work import bought_work, contingency, material, own_by_hand, own_work
from millhand.trace import Sheet, apply, found

SITE = "air, power, network and floor anchors up to the cell, which are the shop's own work, and work on the building"
EXCLUDED = (
    SITE,
    "fixtures, jaws and their changes",
    "chip and coolant work on the machines",
    "permits, and tests asked for by an insurer or an authority",
)
EXCLUDED_BY_HAND = (
    "air and power up to where something is fitted, which the shop brings, and work on the building",
    "work on machines, tools, moulds and programs that the change does not name",
    "the shop's own hours, and the days on which machines stand for the change",
    "permits, and tests asked for by an insurer or an authority",
)
EXCLUDED_OWN = "engineering, programming, risk assessment, training and freight, which the shop takes on itself"


def estimate(inquiry: Inquiry, concept: Concept, catalogue: Catalogue, sheet: Sheet) -> Estimate:
    """The price lines of one concept, their sums, the time to hand-over, and what is not in the price."""
    wage = worked_hour(inquiry, sheet)
    factor = price_factor(inquiry, catalogue, sheet)
    quote = Quote(sheet=sheet, inquiry=inquiry, concept=concept, catalogue=catalogue, factor=factor)
    lines = {"today": _no_lines, "by_hand": _hand_lines, "cell": _cell_lines}[concept.kind](quote)
    bought = (*lines, contingency(quote, lines)) if lines else lines
    mine = _own_lines(quote, wage)
    installed = total(quote, "installed", bought)
    cost, margin = _cost(quote, installed)
    return Estimate(
        concept=concept.id,
        currency=inquiry.shop.currency,
        lines=bought + mine,
        equipment=total(quote, "equipment", tuple(line for line in lines if line.group == "equipment")).id,
        installed=installed.id,
        order_to_hand_over_s=_hand_over(quote).id,
        estimate_class=_estimate_class(quote, installed) if lines else "",
        excluded=_excluded(quote) if lines else (),
        own=total(quote, "own", mine).id,
        worked_hour=wage.id,
        material_per_part=material(quote).id,
        cost=cost.id,
        margin=margin.id,
        past=_past(quote, installed),
        prices_of=str(quote.catalogue.price_year),
        price_factor=factor.id,
    )


def _own_lines(quote: Quote, wage: Fact) -> tuple[PriceLine, ...]:
    """What the shop provides itself."""
    if quote.concept.kind == "by_hand":
        return own_by_hand(quote, _change(quote).takes, wage)
    return own_work(quote, wage) if quote.concept.kind == "cell" else ()


def _change(quote: Quote) -> HandChange:
    """The change by hand that is priced."""
    change = next((each for each in quote.catalogue.hand_changes if each.id == quote.concept.change), None)
    if change is None:
        raise ToolError(f"no change by hand is called {quote.concept.change}", code="unknown_change")
    return change


def _excluded(quote: Quote) -> tuple[str, ...]:
    """What is not in the price."""
    if quote.concept.kind == "by_hand":
        return EXCLUDED_BY_HAND
    return (*EXCLUDED, EXCLUDED_OWN) if quote.own else EXCLUDED


def _cost(quote: Quote, installed: Fact) -> tuple[Fact, Fact]:
    """What the cell costs who builds it, and the margin in its price; whoever builds for himself takes none."""
    if quote.concept.kind != "cell" or quote.own:
        return installed, quote.zero("margin")
    margin = apply(
        quote.sheet,
        "margin_money",
        quote.id("margin"),
        price_money=installed,
        margin_share=quote.figure("margin_share"),
    )
    cost = apply(quote.sheet, "cost_money", quote.id("cost"), price_money=installed, margin_money=margin)
    return cost, margin


def _cell_lines(quote: Quote) -> tuple[PriceLine, ...]:
    """All that is bought for a cell, before contingency."""
    return (*equipment_lines(quote), *bought_work(quote))


def price_factor(inquiry: Inquiry, catalogue: Catalogue, sheet: Sheet) -> Fact:
    """The inquiry's money for one unit of the catalogue's, prices carried on to the time of the order."""
    age = found(
        sheet,
        Fact(
            id="money.price_age", value=1.0, low=0.0, high=2.0, shape="triangular", unit="y", basis="assumed",
            source=f"judged: an order about a year after the prices of {catalogue.price_year} were gathered",
            question="If you order, how long after the year of the price list behind the price lines will that be?",
            title="age of the price list when you order",
        ),
    )  # fmt: skip
    terms = inquiry.money
    return apply(
        sheet, "price_factor", "money.price_factor",
        exchange_rate=terms.exchange_rate, escalation=terms.escalation, age_y=age,
    )  # fmt: skip


def _no_lines(quote: Quote) -> tuple[PriceLine, ...]:
    """As today: nothing is bought."""
    return ()


def _hand_lines(quote: Quote) -> tuple[PriceLine, ...]:
    """The change by hand, for each machine that it fits, for each family, or once."""
    change = _change(quote)
    pieces = {
        "machine": tuple(machine.count for machine in quote.inquiry.machines if machine.kind.value in change.kinds),
        "family": tuple(part.families for part in quote.inquiry.parts),
        "once": (),
    }[change.per]
    return (quote.line("change", change.title, change.price, pieces),)


def _hand_over(quote: Quote) -> Fact:
    """From order to hand-over: longer with a track or door work; of a change by hand as long as its kind takes."""
    takes = _change(quote).takes if quote.concept.kind == "by_hand" else "arrangement"
    if takes != "arrangement":
        return quote.figure(f"by_hand_{takes}_delivery_s")
    if quote.concept.kind != "cell":
        return quote.zero("order_to_hand_over", "s")
    on_track = quote.concept.mount is not None and "track" in quote.concept.mount.id
    doors = any(machine.door.value == "hand" for machine in quote.inquiry.machines)
    return quote.figure("order_to_hand_over_track_s" if on_track or doors else "order_to_hand_over_s")


def _estimate_class(quote: Quote, installed: Fact) -> str:
    """The class of the estimate, and between which amounts such estimates end as a rule: of a change by hand wider, for
    its price is one figure, not a list of lines of which some turn out cheaper and some dearer."""
    name = "accuracy_by_hand" if quote.concept.kind == "by_hand" else "accuracy"
    low, high = (quote.figure(f"{name}_{end}_share") for end in ("low", "high"))
    least = apply(quote.sheet, "usual_low_money", quote.id("usual_low"), amount_money=installed, accuracy_share=low)
    most = apply(quote.sheet, "usual_high_money", quote.id("usual_high"), amount_money=installed, accuracy_share=high)
    return (
        f"Concept stage: what is paid in the end lies, as a rule, between [[{least.id}|money_2]] and "
        f"[[{most.id}|money_2]], that is [[{low.id}|percent]] below and [[{high.id}|percent]] above this sum."
    )


def _past(quote: Quote, installed: Fact) -> str:
    """What a company's own past jobs say of such a sum; nothing where none were told."""
    ratios, sheet = quote.catalogue.past, quote.sheet
    if not ratios or quote.concept.kind != "cell":
        return ""
    sheet.extend(ratios)
    of_all = {"bias": apply(sheet, "past_bias", "money.past.bias", paid_over_quoted=ratios),
              "scatter": apply(sheet, "past_scatter", "money.past.scatter", paid_over_quoted=ratios),
              "jobs": _number(sheet, "jobs", float(len(ratios)), "follows from the file of past jobs")}  # fmt: skip
    low, middle, high = (
        apply(
            sheet, "ended_money", quote.id(f"past_{name}"),
            amount_money=installed, **of_all, share=_number(sheet, name, share, "follows from eight jobs in ten"),
        ).id
        for name, share in (("low", 0.1), ("middle", 0.5), ("high", 0.9))
    )  # fmt: skip
    return (
        f"In [[{of_all['jobs'].id}|count]] past jobs what was paid came to [[{of_all['bias'].id}|percent]] of the "
        f"quote in the middle, scattering by [[{of_all['scatter'].id}|percent]]: one more of their kind ends at "
        f"[[{middle}|money_2]], in eight of ten between [[{low}|money_2]] and [[{high}|money_2]]."
    )


def _number(sheet: Sheet, name: str, value: float, why: str) -> Fact:
    """A number that the formulas of past jobs take."""
    return found(sheet, Fact(id=f"money.past.{name}", value=value, unit="1", basis="computed", source=why))

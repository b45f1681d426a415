"""A steady year against today: freed hours, output more or less, and what the concept costs to run."""

from collections.abc import Iterator

from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.case.fates import labour_of_fates
from millhand.stages.case.ledger import Ledger, Line, Steady
from millhand.stages.case.paid import outlay
from millhand.stages.case.running import cost_line, running_lines
from millhand.trace import apply

ASSIGNED = "shifts.assigned_h_per_y"  # people's hours at the machines with orders enough


def steady(ledger: Ledger, performance: Performance, today: Performance) -> Steady:
    """Every line of a steady year, and what is paid before it."""
    sheet = ledger.sheet
    freed = apply(
        sheet, "freed_h_per_y", ledger.id("freed_hours"),
        today_h_per_y=sheet[today.operator_h_per_y], still_h_per_y=sheet[performance.operator_h_per_y],
    )  # fmt: skip
    _whole_heads(ledger, freed)
    labour = _labour(ledger, freed)
    outputs = tuple(_output_lines(ledger, performance, today))
    runs = tuple(running_lines(ledger, performance))
    wages = ledger.inquiry.money.wage_growth
    return Steady(
        outlay=outlay(ledger),
        freed=freed,
        lines=(
            Line(id="labour", words="freed work that becomes real value", group="labour", yearly=labour, growth=wages),
            *outputs,
            *(line for line, _ in runs),
        ),
        labour=labour,
        output=_total(ledger, "output", tuple(line.yearly for line in outputs)),
        running=_total(ledger, "running", tuple(cost for _, cost in runs)),
        by_family=_total(ledger, "by_family", tuple(c for line, c in runs if line.id in ("programming", "fingers"))),
        ramp_up=_ramp_up(ledger),
        left=_left(ledger),
    )


def _labour(ledger: Ledger, freed: Fact) -> Fact:
    """What the freed hours are worth: by their fates where the shop told several, else by one share."""
    if ledger.inquiry.people.freed is not None:
        return labour_of_fates(ledger, freed)
    return apply(
        ledger.sheet, "labour_money_per_y", ledger.id("labour"),
        freed_h_per_y=freed, wage_money_per_h=ledger.wage, usable_share=ledger.inquiry.people.share_usable,
    )  # fmt: skip


def _total(ledger: Ledger, name: str, amounts: tuple[Fact, ...]) -> Fact:
    """Yearly amounts added up."""
    if not amounts:
        return ledger.plain(name, 0.0, "money/y")
    return apply(ledger.sheet, "total_money_per_y", ledger.id(name), amounts_money=amounts)


def _whole_heads(ledger: Ledger, freed: Fact) -> None:
    """How lumpy the freed hours are: posts that they fill, and what is left beside them."""
    head = ledger.sheet["shifts.head_h_per_y"]
    heads = apply(ledger.sheet, "whole_heads", ledger.id("freed_heads"), freed_h_per_y=freed, head_h_per_y=head)
    apply(
        ledger.sheet, "beside_heads_h_per_y", ledger.id("freed_beside_heads"),
        freed_h_per_y=freed, heads=heads, head_h_per_y=head,
    )  # fmt: skip


def _output_lines(ledger: Ledger, performance: Performance, today: Performance) -> Iterator[Line]:
    """What parts on top of today's are worth, apart those that are made alone, and parts that can no longer be made;
    what more or less scrap costs."""
    still = ledger.no_growth()
    extra, lost = (_changed(ledger, name, performance, today) for name in ("extra", "lost"))
    alone = _made_alone(ledger, performance)
    if alone is not None:
        night = apply(
            ledger.sheet, "extra_alone_parts_per_y", ledger.id("extra_alone_parts"),
            extra_parts_per_y=extra, alone_parts_per_y=alone,
            capacity_parts_per_y=ledger.sheet[performance.parts_per_y],
            today_parts_per_y=ledger.sheet[today.parts_per_y],
        )  # fmt: skip
        words = "more parts, made with nobody there"
        worth = _worth(ledger, "extra_alone_output", night)
        yield Line(id="extra_alone_output", words=words, group="alone", yearly=worth, growth=still)
        extra = apply(
            ledger.sheet, "less_parts_per_y", ledger.id("extra_attended_parts"),
            whole_parts_per_y=extra, taken_parts_per_y=night,
        )  # fmt: skip
    worth = _worth(ledger, "extra_output", extra)
    yield Line(id="extra_output", words="more parts that are ordered", group="output", yearly=worth, growth=still)
    words = "parts sold today that can no longer be made"
    yield cost_line(ledger, "lost_output", words, _worth_lost(ledger, lost, today), still, "output")
    if ledger.concept.kind == "cell":
        yield _scrap(ledger, performance)


def _changed(ledger: Ledger, name: str, performance: Performance, today: Performance) -> Fact:
    """Parts on top of today's (`extra`), or parts that can no longer be made (`lost`)."""
    return apply(
        ledger.sheet, f"{name}_parts_per_y", ledger.id(f"{name}_parts"),
        orders_parts_per_y=ledger.orders(),
        capacity_parts_per_y=ledger.sheet[performance.parts_per_y],
        today_parts_per_y=ledger.sheet[today.parts_per_y],
    )  # fmt: skip


def _made_alone(ledger: Ledger, performance: Performance) -> Fact | None:
    """Parts a year that the concept makes with nobody there; None where nobody wishes for it."""
    if performance.unattended_per_h is None:
        return None
    return apply(
        ledger.sheet, "alone_parts_per_y", ledger.id("alone_parts"),
        rate_parts_per_h=ledger.sheet[performance.unattended_per_h],
        alone_h_per_y=ledger.sheet[performance.unattended_h_per_y],
    )  # fmt: skip


def _worth(ledger: Ledger, name: str, changed: Fact) -> Fact:
    """What so many parts are worth in a year."""
    parts = ledger.inquiry.parts
    contribution = apply(
        ledger.sheet, "mean_money_per_part", ledger.id("contribution"),
        amounts_per_part=tuple(part.contribution_per_part for part in parts),
        orders_parts_per_y=tuple(part.orders_per_y for part in parts),
    )  # fmt: skip
    return apply(
        ledger.sheet, "output_money_per_y", ledger.id(name),
        changed_parts_per_y=changed, contribution_per_part=contribution,
    )  # fmt: skip


def _worth_lost(ledger: Ledger, lost: Fact, today: Performance) -> Fact:
    """What parts that are sold today and can no longer be made leave. Where nobody said what a part leaves it is what
    loading them by hand as today costs: a way that makes less would otherwise look better for it."""
    made = ledger.sheet[today.parts_per_y]
    if made.value <= 0.0 or any(part.contribution_per_part.basis != "assumed" for part in ledger.inquiry.parts):
        return _worth(ledger, "lost_output", lost)
    by_hand = apply(
        ledger.sheet, "labour_money_per_part", ledger.id("lost_a_part"),
        h_per_y=ledger.sheet[ASSIGNED], money_per_h=ledger.wage, parts_per_y=made,
    )  # fmt: skip
    return apply(
        ledger.sheet, "output_money_per_y", ledger.id("lost_output"),
        changed_parts_per_y=lost, contribution_per_part=by_hand,
    )  # fmt: skip


def _scrap(ledger: Ledger, performance: Performance) -> Line:
    """What becomes of scrap and rework when an arm loads: nothing, until somebody knows better."""
    cost = apply(
        ledger.sheet, "scrap_money_per_y", ledger.id("scrap"),
        parts_per_y=ledger.sold(performance), more_share=ledger.figure("scrap_more_share"),
        less_share=ledger.figure("scrap_less_share"),
        material_money_per_part=ledger.sheet[ledger.estimate.material_per_part],
    )  # fmt: skip
    return cost_line(ledger, "scrap", "change of scrap and rework", cost, ledger.no_growth(), "output")


def _ramp_up(ledger: Ledger) -> tuple[Fact, ...]:
    """The shares of the steady gain in the first months: of a first cell in the shop, at once for a change by hand."""
    if ledger.concept.kind != "cell":
        return (ledger.plain("ramp_up", 1.0, "1"),)
    names = sorted(name for name in ledger.catalogue.figures if name.startswith("ramp_up_first_"))
    return tuple(ledger.figure(name) for name in names)


def _left(ledger: Ledger) -> Fact | None:
    """What arm, gripper and standard pieces still bring at the end of the years that are counted."""
    if ledger.concept.kind != "cell":
        return None
    return apply(
        ledger.sheet, "residual_money", ledger.id("residual"),
        equipment_money=ledger.sheet[ledger.estimate.equipment], residual_share=ledger.figure("residual_share"),
    )  # fmt: skip

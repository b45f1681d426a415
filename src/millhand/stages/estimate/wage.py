"""What one hour worked at the machines costs, and the hours of those who are there."""

from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.shop import Shift
from millhand.trace import Sheet, apply, found

PREMIUMS = {"late": "premium_late", "night": "premium_night", "weekend": "premium_weekend"}


def manned(inquiry: Inquiry) -> tuple[Shift, ...]:
    """The shifts in which somebody is at the machines."""
    return tuple(shift for shift in inquiry.shifts if shift.manned.value == "yes" and shift.operators.value > 0.0)


def present_hours(inquiry: Inquiry, sheet: Sheet) -> Fact:
    """Hours a week of all heads in the manned shifts, from coming to going."""
    return _hours(sheet, "wage.present_hours", [(shift, shift.length_s) for shift in manned(inquiry)])


def _hours(sheet: Sheet, fact_id: str, lengths: list[tuple[Shift, Fact]]) -> Fact:
    """Hours a week of the heads of some shifts, each for a length of its own; nought where there are none."""
    if not lengths:
        none = Fact(id=fact_id, value=0.0, unit="h", basis="computed", source="follows from the shifts: there are none")
        return found(sheet, none)
    return apply(
        sheet, "head_h_per_week", fact_id,
        heads=tuple(shift.operators for shift, _ in lengths),
        lengths_s=tuple(length for _, length in lengths),
        days=tuple(shift.days_per_week for shift, _ in lengths),
    )  # fmt: skip


def worked_hour(inquiry: Inquiry, sheet: Sheet) -> Fact:
    """What one hour worked at the machines costs: wage, premiums of the shifts, on-cost, hours paid but not worked."""
    people, shifts = inquiry.people, manned(inquiry)
    present = present_hours(inquiry, sheet)
    wage = people.wage_per_h
    dear = [shift for shift in shifts if shift.premium.value in PREMIUMS]
    if dear:
        premium = apply(
            sheet, "mean_premium_share", "wage.premium",
            premiums=tuple(getattr(people, PREMIUMS[shift.premium.value]) for shift in dear),
            premium_h=tuple(_hours(sheet, f"wage.hours.{shift.name}", [(shift, shift.length_s)]) for shift in dear),
            present_h=present,
        )  # fmt: skip
        wage = apply(
            sheet, "wage_with_premium_per_h", "wage.with_premium", wage_money_per_h=wage, premium_share=premium
        )
    loaded = apply(sheet, "loaded_wage_per_h", "wage.loaded", wage_money_per_h=wage, on_cost_share=people.on_cost)
    if people.on_cost_per.value == "worked" or present.value <= 0.0:
        return loaded
    breaks = [(shift, pause) for shift in shifts for pause in shift.breaks]
    ratio = apply(
        sheet, "paid_per_worked", "wage.paid_per_worked",
        present_h=present,
        breaks_h=_hours(sheet, "wage.break_hours", [(shift, pause.length_s) for shift, pause in breaks]),
        unpaid_breaks_h=_hours(
            sheet, "wage.unpaid_break_hours",
            [(shift, pause.length_s) for shift, pause in breaks if pause.paid.value == "no"],
        ),
        absence_share=people.absence,
    )  # fmt: skip
    return apply(
        sheet, "worked_hour_money_per_h", "wage.worked_hour", paid_hour_money_per_h=loaded, paid_per_worked=ratio
    )

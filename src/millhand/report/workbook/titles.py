"""What a fact behind a case is called before somebody who does accounts."""

from collections.abc import Mapping

from millhand.model.fact import Fact
from millhand.report.comparison import opening, title

SAID: Mapping[str, str] = {
    "present_hours": "Hours a week of all heads, from coming to going",
    "wage.hours": "Hours a week of a shift with a premium",
    "wage.premium": "Premium on an average hour",
    "wage.with_premium": "Pay of an average hour with premiums",
    "wage.loaded": "Cost of an hour paid, with on-cost",
    "wage.break_hours": "Hours a week of breaks",
    "unpaid_break_hours": "Hours a week of breaks that are not paid",
    "paid_per_worked": "Hours paid for one hour worked",
    "worked_hour": "Cost of an hour worked at the machines",
    "price_factor": "Price factor: catalogue money to the order's money",
    "material_per_kg": "Price of a kilogram of raw parts at the order",
    "raw_cost_by_mass": "Cost of a raw part by its mass",
    "material_per_part": "Cost of a raw part, on average",
    "energy_price_assumed": "Price of a kilowatt hour at the order",
    "floor_cost_assumed": "Cost of a square metre of floor and year at the order",
    "milestone_rest": "Share of the price paid at hand-over",
    "case.labour_a_part": "People's time costs a part",
    "freed_hours": "Operator hours freed in a year",
    "case.labour": "Labour: what the freed hours are worth in a year",
    "case.orders": "Parts ordered in a year, all families",
    "extra_parts": "Parts a year on top of today's",
    "lost_parts": "Parts a year sold today that can no longer be made",
    "alone_parts": "Parts a year made with nobody there",
    "extra_alone_parts": "Of the parts on top, those made with nobody there",
    "extra_attended_parts": "Of the parts on top, those made with somebody there",
    "case.contribution": "What a part leaves, on average",
    "case.extra_alone_output": "Worth of more parts made alone, a year",
    "case.extra_output": "Worth of more parts, a year",
    "case.lost_output": "Worth of lost parts, a year",
    "sold_parts": "Parts a year that are made and sold",
    "case.scrap": "Change of scrap and rework, a year",
    "case.upkeep": "Upkeep and spares, a year",
    "case.insurance": "Insurance and licences, a year",
    "case.energy": "Electricity and compressed air, a year",
    "case.floor": "Floor, a year",
    "case.programming": "Programming and proving of new parts, a year",
    "case.fingers": "Fingers for new parts, a year",
    "case.outlay": "Paid before hand-over, in all",
    "outlay_before_grant": "Paid before hand-over, before a grant",
    "case.output": "Output in all, a year",
    "case.running": "Running cost in all, a year",
    "case.by_family": "Programming and fingers, a year",
    "case.residual": "What the equipment still brings at the end",
    "case.paid_ahead": "Interest of paying ahead of hand-over",
    "case.saving": "Saving of a steady year",
    "naive.hours_a_week": "Across the table: hours a week of all heads",
    "naive.hours": "Across the table: hours a year of all heads",
    "naive.wages": "Across the table: whole wage of all heads, a year",
    "outlay_a_year": "What was paid, spread over the years counted",
    "cost_a_part": "Loading a part costs",
    "freed_machine_hours": "Machine hours a year beyond what is ordered",
    "freed_heads": "Whole posts that the freed hours fill",
    "track_price": "Price of the track by its length",
    "monthly_payment": "Loan or lease: payment a month",
    "case.lent": "Loan or lease: what is lent",
    "financing_cost": "Loan or lease: present worth of what it costs",
    "nothing_at_end": "Loan or lease: paid at its end",
    "no_growth": "Growth of what does not grow",
    "covered_h_per_week": "Hours a week with somebody there",
    "shifts.covered": "Hours a week with somebody there",
    "shifts.covered_h": "Hours a week with somebody there",
    "track.travel": "Travel of the track",
    "assigned_h_per_y": "Operator hours that the machines bind, a year",
    "capacity_parts_per_y": "Parts a year that can be made",
    "operator_h_per_y": "Operator hours still needed, a year",
    "unattended_h_per_y": "Hours a year alone",
    "unattended_parts_per_h": "Parts an hour alone",
    "attended_h_per_y": "Hours a year with somebody there",
    "layout.floor_area": "Floor of the cell",
    "estimate.margin": "Margin in the price",
    "estimate.own": "The shop's own work and cost",
    "estimate.order_to_hand_over": "Time from order to hand-over",
    "case.ramp_up": "Share of the gain from the first month on",
    "head_h_per_y": "Hours of one post, a year",
    "shifts.head_h": "Hours of one post, a year",
}  # fmt: skip


def called(fact: Fact, lines: Mapping[str, str]) -> str:
    """Its own title, else the words of this list, else its path; lines: the words of the case's lines by their id."""
    if fact.title:
        return title(fact)
    ending = next((end for end in sorted(SAID, key=len, reverse=True) if _ends(fact.id, end)), None)
    head, _, name = fact.id.rpartition(".flow.")
    if head and name in lines:
        return f"Line of the cash flow: {lines[name]}"
    if ending is None:
        return title(fact)
    where = fact.id.removeprefix("concepts.").partition(".")[0] if fact.id.startswith("concepts.today.") else ""
    own = [each for each in fact.id.split(".") if each not in ending.split(".")]
    which = own[-1].replace("_", " ") if ending in ("wage.hours", "raw_cost_by_mass") and own else where
    return opening(SAID[ending]) + (f" ({which})" if which else "")


def _ends(fact_id: str, ending: str) -> bool:
    """Whether a path ends so, or with one name more behind it."""
    return f".{fact_id}".endswith(f".{ending}") or (ending == "wage.hours" and fact_id.startswith("wage.hours."))

"""Registered formulas as a spreadsheet says them: by name, from the references of their inputs.

A parameter that takes several numbers comes as a list of references. What stands for a number may be any expression:
what is said here puts brackets round whatever needs them. The formulas over months and years have sheets of their own.
"""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

MONTH_S = "2629800"  # 365.25 / 12 days
YEAR_S = "31557600"
Saying = Callable[..., str]


def total(references: Sequence[str]) -> str:
    """Several numbers added up; nought where there are none.

    >>> total(["a", "b"]), total([])
    ('SUM(a,b)', '0')
    """
    return f"SUM({','.join(references)})" if references else "0"


def products(*columns: Sequence[str]) -> str:
    """The sum of products of numbers that belong together.

    >>> products(["a", "b"], ["c", "d"])
    'SUM(a*c,b*d)'
    """
    return total(["*".join(each) for each in zip(*columns, strict=True)])


def _mean(values: Sequence[str], weights: Sequence[str], whole: str) -> str:
    """A weighted mean; nought where there is nothing to weigh."""
    return f"IF({whole}>0,{products(values, weights)}/({whole}),0)"


def _paid_ahead(price_money: str, shares: Sequence[str], ahead_s: Sequence[str], rate: str) -> str:
    """Interest of shares of a price until hand-over."""
    grown = [f"{share}*((1+{rate})^({ahead}/{YEAR_S})-1)" for share, ahead in zip(shares, ahead_s, strict=True)]
    return f"{price_money}*{total(grown)}"


def _financing(payment_money: str, years: str, rate: str, lent_money: str, end_money: str) -> str:
    """Present worth of payments and of what is paid at the end, less what was lent."""
    monthly = f"((1+{rate})^(1/12)-1)"
    return f"-PV({monthly},12*{years},{payment_money})+{end_money}/(1+{rate})^{years}-{lent_money}"


WAGE: Mapping[str, Saying] = {
    "head_h_per_week": lambda heads, lengths_s, days: f"{products(heads, lengths_s, days)}/3600",
    "mean_premium_share": lambda premiums, premium_h, present_h: _mean(premiums, premium_h, present_h),
    "wage_with_premium_per_h": lambda wage_money_per_h, premium_share: f"{wage_money_per_h}*(1+{premium_share})",
    "loaded_wage_per_h": lambda wage_money_per_h, on_cost_share: f"{wage_money_per_h}*(1+{on_cost_share})",
    "paid_per_worked": lambda present_h, breaks_h, unpaid_breaks_h, absence_share: (
        f"({present_h}-{unpaid_breaks_h})/(({present_h}-{breaks_h})*(1-{absence_share}))"
    ),
    "worked_hour_money_per_h": lambda paid_hour_money_per_h, paid_per_worked: (
        f"{paid_hour_money_per_h}*{paid_per_worked}"
    ),
    "yearly_h_per_y": lambda h_per_week, work_days, days_per_week: f"{h_per_week}*{work_days}/{days_per_week}",
    "labour_money_per_part": lambda h_per_y, money_per_h, parts_per_y: f"{h_per_y}*{money_per_h}/{parts_per_y}",
}
PRICE: Mapping[str, Saying] = {
    "price_factor": lambda exchange_rate, escalation, age_y: f"{exchange_rate}*(1+{escalation})^{age_y}",
    "priced_money": lambda amount_money, price_factor: f"{amount_money}*{price_factor}",
    "priced_pieces_money": lambda amount_money, counts, price_factor: f"{amount_money}*{total(counts)}*{price_factor}",
    "share_of_price_money": lambda amount_money, share, price_factor: f"{amount_money}*{share}*{price_factor}",
    "priced_rate": lambda amount, price_factor: f"{amount}*{price_factor}",
    "track_money": lambda price_money, money_per_m, travel_m, included_m: (
        f"{price_money}+{money_per_m}*MAX(0,{travel_m}-{included_m})"
    ),
    "sum_money": lambda amounts_money=(): total(amounts_money),
    "contingency_money": lambda amount_money, contingency_share: f"{amount_money}*{contingency_share}",
    "own_work_money": lambda work_h, wage_money_per_h: f"{work_h}*{wage_money_per_h}",
    "standstill_money": lambda stands_d, head_h_per_week, days_per_week, wage_money_per_h: (
        f"{stands_d}*{head_h_per_week}/{days_per_week}*{wage_money_per_h}"
    ),
    "material_money_per_part": lambda raw_mass_kg, money_per_kg: f"{raw_mass_kg}*{money_per_kg}",
    "trial_parts_money": lambda trial_parts, material_money_per_part: f"{trial_parts}*{material_money_per_part}",
    "margin_money": lambda price_money, margin_share: f"{price_money}*{margin_share}",
    "difference_money": lambda amount_money, other_money: f"{amount_money}-{other_money}",
    "cost_money": lambda price_money, margin_money: f"{price_money}-{margin_money}",
    "usual_low_money": lambda amount_money, accuracy_share: f"{amount_money}*(1-{accuracy_share})",
    "usual_high_money": lambda amount_money, accuracy_share: f"{amount_money}*(1+{accuracy_share})",
    "less_grant_money": lambda amount_money, grant_money: f"MAX(0,{amount_money}-{grant_money})",
    "used_grant_money": lambda grant_money, amount_money: f"MIN({grant_money},{amount_money})",
    "rest_share": lambda taken_shares=(): f"1-{total(taken_shares)}",
    "paid_ahead_money": _paid_ahead,
}
HOURS: Mapping[str, Saying] = {
    "ordered_h_per_y": lambda full_h, capacity_parts_per_y, today_parts_per_y, orders_parts_per_y=(): (
        f"{full_h}*IF(MIN({capacity_parts_per_y},{today_parts_per_y})>0,"
        f"MIN(1,{total(orders_parts_per_y)}/MIN({capacity_parts_per_y},{today_parts_per_y})),1)"
    ),
    "tended_parts_per_y": lambda capacity_parts_per_y, today_parts_per_y, orders_parts_per_y=(): (
        f"MIN({total(orders_parts_per_y)},MAX({today_parts_per_y},{capacity_parts_per_y}))"
    ),
    "changeover_h_per_y": lambda parts_per_y, lot, changeover_s: f"{parts_per_y}/{lot}*{changeover_s}/3600",
    "changeovers_per_y": lambda parts_per_y, lot: f"{parts_per_y}/{lot}",
    "operator_h_per_y": lambda parts_per_y, good_share, changeovers_h_per_y, most_h_per_y, work_s_per_part=(): (
        f"MIN({most_h_per_y},{parts_per_y}/{good_share}*{total(work_s_per_part)}/3600+{changeovers_h_per_y})"
    ),
    "changed_h_per_y": lambda assigned_h, more_h, less_h: f"MAX(0,{assigned_h}+{more_h}-{less_h})",
    "spread_h_per_y": lambda assigned_h, factor, work_h: f"MAX({assigned_h}/{factor},{work_h})",
}
YEAR: Mapping[str, Saying] = {
    "freed_h_per_y": lambda today_h_per_y, still_h_per_y: f"{today_h_per_y}-{still_h_per_y}",
    "labour_money_per_y": lambda freed_h_per_y, wage_money_per_h, usable_share: (
        f"{freed_h_per_y}*{wage_money_per_h}*IF({freed_h_per_y}>0,{usable_share},1)"
    ),
    "fate_h_per_y": lambda freed_h_per_y, share, shares=(): f"MAX(0,{freed_h_per_y})*{share}/MAX(1,{total(shares)})",
    "whole_heads_h_per_y": lambda open_h_per_y, head_h_per_y: (
        f"INT({open_h_per_y}/{head_h_per_y}+0.000000001)*{head_h_per_y}"
    ),
    "fate_money_per_y": lambda fate_h_per_y, wage_money_per_h, worth_share: (
        f"{fate_h_per_y}*{wage_money_per_h}*{worth_share}"
    ),
    "labour_of_fates_money_per_y": lambda freed_h_per_y, wage_money_per_h, amounts_money=(): (
        f"IF({freed_h_per_y}>0,{total(amounts_money)},{freed_h_per_y}*{wage_money_per_h})"
    ),
    "wages_money_per_y": lambda worked_h_per_y, wage_money_per_h: f"{worked_h_per_y}*{wage_money_per_h}",
    "total_parts_per_y": lambda orders_parts_per_y=(): total(orders_parts_per_y),
    "mean_money_per_part": lambda amounts_per_part, orders_parts_per_y: _mean(
        amounts_per_part, orders_parts_per_y, total(orders_parts_per_y)
    ),
    "extra_parts_per_y": lambda orders_parts_per_y, capacity_parts_per_y, today_parts_per_y: (
        f"MAX(0,MIN({orders_parts_per_y},{capacity_parts_per_y})-{today_parts_per_y})"
    ),
    "lost_parts_per_y": lambda orders_parts_per_y, capacity_parts_per_y, today_parts_per_y: (
        f"MAX(0,MIN({orders_parts_per_y},{today_parts_per_y})-{capacity_parts_per_y})"
    ),
    "sold_parts_per_y": lambda orders_parts_per_y, capacity_parts_per_y: (
        f"MIN({orders_parts_per_y},{capacity_parts_per_y})"
    ),
    "alone_parts_per_y": lambda rate_parts_per_h, alone_h_per_y: f"{rate_parts_per_h}*{alone_h_per_y}",
    "extra_alone_parts_per_y": lambda extra_parts_per_y, alone_parts_per_y, capacity_parts_per_y, today_parts_per_y: (
        f"MAX(0,{extra_parts_per_y}-MAX(0,{capacity_parts_per_y}-{alone_parts_per_y}-{today_parts_per_y}))"
    ),
    "less_parts_per_y": lambda whole_parts_per_y, taken_parts_per_y: f"MAX(0,{whole_parts_per_y}-{taken_parts_per_y})",
    "output_money_per_y": lambda changed_parts_per_y, contribution_per_part: (
        f"{changed_parts_per_y}*{contribution_per_part}"
    ),
    "upkeep_money_per_y": lambda price_money, upkeep_share: f"{price_money}*{upkeep_share}",
    "insurance_money_per_y": lambda price_money, insurance_share: f"{price_money}*{insurance_share}",
    "energy_money_per_y": lambda powers_w, running_h_per_y, money_per_kwh: (
        f"{total(powers_w)}/1000*{total(running_h_per_y)}*{money_per_kwh}"
    ),
    "floor_money_per_y": lambda area_m2, money_per_m2: f"{area_m2}*{money_per_m2}",
    "programming_money_per_y": lambda families_per_y, programming_h, stands_share, wage_money_per_h: (
        f"{families_per_y}*{programming_h}*(1+{stands_share})*{wage_money_per_h}"
    ),
    "fingers_money_per_y": lambda families_per_y, set_money, price_factor: (
        f"{families_per_y}*{set_money}*{price_factor}"
    ),
    "scrap_money_per_y": lambda parts_per_y, more_share, less_share, material_money_per_part: (
        f"{parts_per_y}*({more_share}-{less_share})*{material_money_per_part}"
    ),
    "residual_money": lambda equipment_money, residual_share: f"{equipment_money}*{residual_share}",
    "total_money_per_y": lambda amounts_money=(): total(amounts_money),
    "net_money_per_y": lambda gains_money=(), costs_money=(): f"{total(gains_money)}-{total(costs_money)}",
    "spent_money_per_y": lambda amount_money_per_y: f"0-{amount_money_per_y}",
    "spent_money": lambda amount_money: f"0-{amount_money}",
}
WORTH: Mapping[str, Saying] = {
    "worth_now_money": lambda amount_money, rate, horizon_y: f"{amount_money}/(1+{rate})^ROUNDUP({horizon_y},0)",
    "annual_worth_of_money_per_y": lambda npv_money, rate, horizon_y: f"PMT({rate},{horizon_y},0-{npv_money})",
    "worth_per_outlay": lambda npv_money, outlay_money: f"1+{npv_money}/{outlay_money}",
    "payback_from_order_months": lambda payback_months, order_to_hand_over_s: (
        f"IF(ISNUMBER({payback_months}),{payback_months}+{order_to_hand_over_s}/{MONTH_S},{payback_months})"
    ),
    "whole_payback_months": lambda payback_months: (
        f"IF(ISNUMBER({payback_months}),ROUNDUP({payback_months},0),{payback_months})"
    ),
    "plain_ratio_y": lambda price_money, saving_money_per_y: (
        f'IF({saving_money_per_y}>0,{price_money}/{saving_money_per_y},"nothing is saved in a year")'
    ),
    "steady_payback_months": lambda outlay_money, gain_money_per_y: (
        f'IF({gain_money_per_y}>0,12*{outlay_money}/{gain_money_per_y},"never")'
    ),
    "loading_money_per_part": lambda h_per_y, money_per_h, parts_per_y, yearly_money=(): (
        f"({h_per_y}*{money_per_h}+{total(yearly_money)})/{parts_per_y}"
    ),
    "whole_heads": lambda freed_h_per_y, head_h_per_y: f"MAX(0,INT({freed_h_per_y}/{head_h_per_y}+0.000000001))",
    "freed_machine_h_per_y": lambda orders_parts_per_y, capacity_parts_per_y, running_h_per_y, machines: (
        f"MAX(0,1-{orders_parts_per_y}/{capacity_parts_per_y})*{total(running_h_per_y)}*{total(machines)}"
    ),
    "lent_money": lambda outlay_money, share: f"{outlay_money}*{share}",
    "monthly_payment_money": lambda outlay_money, share, loan_rate, years: (
        f"-PMT({loan_rate}/12,12*{years},{outlay_money}*{share})"
    ),
    "month_of_year_money": lambda payment_money_per_y: f"{payment_money_per_y}/12",
    "financing_cost_money": _financing,
}
TRANSLATED: Mapping[str, Saying] = {**WAGE, **PRICE, **HOURS, **YEAR, **WORTH}


def said(formula: str, inputs: Sequence[tuple[str, str]], reference: Callable[[str], str]) -> str:
    """The text of a formula, without its equals sign; inputs: parameter (`[]`: takes several) and fact id.

    >>> said("priced_money", [("amount_money", "a"), ("price_factor", "b")], str.upper)
    'A*B'
    """
    given: dict[str, Any] = {}
    for parameter, fact_id in inputs:
        if parameter.endswith("[]"):
            given.setdefault(parameter[:-2], []).append(reference(fact_id))
        else:
            given[parameter] = reference(fact_id)
    return TRANSLATED[formula](**given)

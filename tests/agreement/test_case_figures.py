"""Amounts, hours and paybacks of a case by other ways: month by month in exact fractions, a general-purpose library."""

import math
from collections.abc import Mapping
from fractions import Fraction
from itertools import count
from typing import Any

import numpy_financial
import pytest

from tests.checks import OWN, Check, assert_holds

OUTLAY = 150_000
YEARLY = (60_000, 18_000, -6_000)  # labour, output, running cost
RAMP = (Fraction("0.40"), Fraction("0.65"), Fraction("0.85"), Fraction("0.95"))
GROWTH = Fraction("0.03")
RATE = Fraction("0.08")
CASE = {
    "outlay_money": float(OUTLAY),
    "yearly_money": tuple(map(float, YEARLY)),
    "growths": (float(GROWTH), 0.0, float(GROWTH)),
    "ramp_up": tuple(map(float, RAMP)),
}


def month(number: int, yearly: tuple[int, ...] = YEARLY, ramp: tuple[Fraction, ...] = RAMP) -> Fraction:
    """What one month brings, in exact fractions: months count from 0."""
    labour, output, running = yearly
    wages = (1 + GROWTH) ** (number // 12)
    share = ramp[number] if number < len(ramp) else Fraction(1)
    return (labour * wages * share + output * share + running * wages) / 12


def paid_back(outlay: Fraction, flows: "list[Fraction] | None" = None) -> float:
    """Months until the outlay is back, walked month by month."""
    left = outlay
    for number in count():
        flow = month(number) if flows is None else flows[number]
        if flow >= left:
            return float(number + left / flow)
        left -= flow
    raise AssertionError("months never end")


def discounted_months() -> float:
    """The same with each month discounted, walked month by month."""
    left = float(OUTLAY)
    for number in count():
        flow = float(month(number)) / math.pow(1.0 + float(RATE), (number + 1) / 12.0)
        if flow >= left:
            return number + left / flow
        left -= flow
    raise AssertionError("months never end")


YEARS = [sum(month(12 * year + number) for number in range(12)) for year in range(8)]
YEARS_ONLY = {name: each for name, each in CASE.items() if name != "outlay_money"}
LOSING = {"yearly_money": (-1_200.0,), "growths": (0.0,), "ramp_up": ()}
CHEAP = (9_000, 7_000, -1_000)  # of a change by hand, from the first day


def own(formula: str, inputs: Mapping[str, Any], expected: float) -> Check:
    """A value found in a second way."""
    return Check(formula=formula, inputs=inputs, expected=expected, key="own_computation", seen=OWN)


def incremental() -> float:
    """Payback of the difference, month by month."""
    more = [month(number) - month(number, CHEAP, ()) for number in range(600)]
    return paid_back(Fraction(OUTLAY - 20_000), more)


# 20 000 a year, 4 000 of them alone, against 11 000 today: 5 000 more with somebody there, 4 000 with nobody.
ALONE = {
    "extra_parts_per_y": 9_000.0, "alone_parts_per_y": 4_000.0, "capacity_parts_per_y": 20_000.0,
    "today_parts_per_y": 11_000.0,
}  # fmt: skip

CHECKS = [
    own(
        "balance_money",
        CASE | {"months": 17.5},
        float(sum((month(number) for number in range(17)), Fraction(0)) + month(17) / 2 - OUTLAY),
    ),
    own("payback_months", CASE, paid_back(Fraction(OUTLAY))),
    own("discounted_payback_months", CASE | {"rate": float(RATE)}, discounted_months()),
    own(  # sixteen weeks are 112 days of 30.4375 to the month
        "payback_from_order_months",
        {"payback_months": 20.0, "order_to_hand_over_s": 112.0 * 86_400.0},
        20.0 + 112.0 / 30.4375,
    ),
    own(
        "npv_money",
        CASE | {"rate": float(RATE), "horizon_y": 8.0},
        float(numpy_financial.npv(float(RATE), [-OUTLAY, *map(float, YEARS)])),
    ),
    own(  # half of the last year
        "npv_money",
        CASE | {"rate": float(RATE), "horizon_y": 6.5},
        float(
            sum((amount / (1 + RATE) ** year for year, amount in enumerate(YEARS[:6], start=1)), Fraction(0))
            + YEARS[6] / 2 / (1 + RATE) ** 7
            - OUTLAY
        ),
    ),
    own(
        "yearly_return",
        CASE | {"horizon_y": 8.0, "residual_money": 9_000.0},
        float(numpy_financial.irr([-OUTLAY, *map(float, YEARS[:-1]), float(YEARS[-1]) + 9_000.0])),
    ),
    own(
        "incremental_payback_months",
        {
            "outlays_money": (float(OUTLAY), 20_000.0),
            "yearly_money": CASE["yearly_money"],
            "growths": CASE["growths"],
            "other_money": tuple(map(float, CHEAP)),
            "other_growths": CASE["growths"],
            "ramp_up": CASE["ramp_up"],
        },
        incremental(),
    ),
    *(own("year_money", YEARS_ONLY | {"year": year}, float(YEARS[int(year) - 1])) for year in (1.0, 2.0, 8.0)),
    own("balance_crossings", CASE, 1.0),
    own("balance_crossings", {"outlay_money": 0.0, **LOSING}, 0.0),
    own("first_payback_months", CASE, paid_back(Fraction(OUTLAY))),
    own("whole_payback_months", {"payback_months": 17.2}, 18.0),
    own(
        "annual_worth_of_money_per_y",
        {"npv_money": 50_000.0, "rate": 0.08, "horizon_y": 8.0},
        -float(numpy_financial.pmt(0.08, 8, 50_000.0)),
    ),
    own("worth_per_outlay", {"npv_money": 30_000.0, "outlay_money": 150_000.0}, 180_000.0 / 150_000.0),
    own("spent_money", {"amount_money": 150_000.0}, -150_000.0),
    own("spent_money_per_y", {"amount_money_per_y": 6_000.0}, -6_000.0),
    own("priced_rate", {"amount": 0.16, "price_factor": 1.05}, 0.168),
    own(
        "energy_money_per_y",
        {"powers_w": (700.0, 400.0), "running_h_per_y": (3_750.0, 250.0), "money_per_kwh": 0.16},
        1.1 * 4_000 * 0.16,
    ),
    own("floor_money_per_y", {"area_m2": 12.5, "money_per_m2": 80.0}, 1_000.0),
    own("insurance_money_per_y", {"price_money": 150_000.0, "insurance_share": 0.006}, 900.0),
    own(
        "scrap_money_per_y",
        {"parts_per_y": 50_000.0, "more_share": 0.002, "less_share": 0.003, "material_money_per_part": 8.0},
        8.0 * (100 - 150),
    ),
    own("material_money_per_part", {"raw_mass_kg": 2.5, "money_per_kg": 4.0}, 10.0),
    own("trial_parts_money", {"trial_parts": 200.0, "material_money_per_part": 10.0}, 2_000.0),
    own("residual_money", {"equipment_money": 120_000.0, "residual_share": 0.1}, 12_000.0),
    own(
        "worth_now_money",
        {"amount_money": 12_000.0, "rate": 0.08, "horizon_y": 8.0},
        -float(numpy_financial.pv(0.08, 8, 0.0, 12_000.0)),
    ),
    own(  # half of an eighth year: at the end of that year
        "worth_now_money",
        {"amount_money": 12_000.0, "rate": 0.08, "horizon_y": 7.5},
        -float(numpy_financial.pv(0.08, 8, 0.0, 12_000.0)),
    ),
    own("part_of_year_money", {"amount_money": 90_000.0, "year": 7.0, "horizon_y": 6.25}, 22_500.0),
    own(  # half a year and a quarter ahead
        "paid_ahead_money",
        {
            "price_money": 100_000.0,
            "shares": (0.3, 0.6),
            "rate": 0.08,
            "ahead_s": (31_557_600.0 / 2.0, 31_557_600.0 / 4.0),
        },
        float(
            -numpy_financial.fv(0.08, 0.5, 0.0, 30_000.0)
            - 30_000.0
            - numpy_financial.fv(0.08, 0.25, 0.0, 60_000.0)
            - 60_000.0
        ),
    ),
    own("straight_line_of_year_money", {"cost_money": 90_000.0, "years": 6.0, "year": 6.0}, 15_000.0),
    own("straight_line_of_year_money", {"cost_money": 90_000.0, "years": 6.0, "year": 7.0}, 0.0),
    *(  # 40 % of what is left, then equal parts of the last two years
        own("declining_of_year_money", {"cost_money": 10_000.0, "years": 5.0, "year": year}, written)
        for year, written in (
            (1.0, 4_000.0),
            (2.0, 2_400.0),
            (3.0, 1_440.0),
            (4.0, 1_080.0),
            (5.0, 1_080.0),
            (6.0, 0.0),
        )
    ),
    own("digits_of_year_money", {"cost_money": 15_000.0, "years": 5.0, "year": 2.0}, 4_000.0),
    own(
        "macrs_of_year_money",
        {"cost_money": 10_000.0, "years": 5.0, "first_year_share": 0.5, "year": 2.0},
        3_200.0,
    ),
    own(  # 60 of 100 in the last quarter
        "first_year_of_quarter",
        {"quarter": 4.0, "cost_money": 50.0, "other_money": 50.0, "last_money": 10.0},
        0.125,
    ),
    own(
        "first_year_of_quarter",
        {"quarter": 1.0, "cost_money": 50.0, "other_money": 50.0, "last_money": 10.0},
        0.5,
    ),
    own("table_of_year_money", {"cost_money": 80_000.0, "shares": (0.25, 0.5, 0.25), "year": 2.0}, 40_000.0),
    own("at_once_of_year_money", {"cost_money": 80_000.0, "year": 1.0}, 80_000.0),
    own("book_value_money", {"cost_money": 80_000.0, "written_money": (20_000.0, 30_000.0)}, 30_000.0),
    own(
        "monthly_payment_money",
        {"outlay_money": 100_000.0, "share": 0.8, "loan_rate": 0.06, "years": 5.0},
        -float(numpy_financial.pmt(0.005, 60, 80_000.0)),
    ),
    own("month_of_year_money", {"payment_money_per_y": 36_000.0}, 3_000.0),
    own("lent_money", {"outlay_money": 100_000.0, "share": 0.8}, 80_000.0),
    own(
        "financing_cost_money",
        {"payment_money": 1_600.0, "years": 5.0, "rate": 0.08, "lent_money": 80_000.0, "end_money": 2_000.0},
        -float(numpy_financial.pv(math.pow(1.08, 1 / 12) - 1, 60, 1_600.0)) + 2_000.0 / math.pow(1.08, 5) - 80_000.0,
    ),
    own(
        "lowest_balance_money",
        {"own_money": 30_000.0, **YEARS_ONLY, "payment_money": 6_000.0, "years": 1.0},
        min(float(sum((month(n) - 6_000 for n in range(last)), Fraction(-30_000))) for last in range(13)),
    ),
    own(
        "loading_money_per_part",
        {"h_per_y": 900.0, "money_per_h": 36.0, "yearly_money": (9_000.0, 27_000.0), "parts_per_y": 48_000.0},
        (32_400 + 36_000) / 48_000,
    ),
    own(
        "freed_machine_h_per_y",
        {
            "orders_parts_per_y": 45_000.0,
            "capacity_parts_per_y": 60_000.0,
            "running_h_per_y": (3_750.0, 250.0),
            "machines": (2.0, 1.0),
        },
        4_000 / 4 * 3,
    ),
    own("day_rate_parts", {"parts_per_h": 16.0, "alone_s": 14_400.0}, 64.0),
    own("refills_a_shift", {"parts_per_shift": 90.0, "pockets": 60.0}, 1.5),
    own("past_bias", {"paid_over_quoted": (1.0, 1.1, 1.21)}, math.pow(1.0 * 1.1 * 1.21, 1.0 / 3.0)),
    own("past_scatter", {"paid_over_quoted": (1.0, 1.1, 1.21)}, math.log(1.1)),
    own(  # t of two degrees of freedom at 90 %: 1.8856 (printed table)
        "ended_money",
        {"amount_money": 100_000.0, "bias": 1.1, "scatter": 0.1, "jobs": 3.0, "share": 0.9},
        110_000.0 * math.exp(1.885618083164127 * 0.1 * math.sqrt(4.0 / 3.0)),
    ),
    own("difference_money", {"amount_money": 430_000.0, "other_money": 82_000.0}, 348_000.0),
    own("used_grant_money", {"grant_money": 20_000.0, "amount_money": 150_000.0}, 20_000.0),
    own(
        "sole_return",
        {"flows_money": (-120_000.0, 39_000.0, 30_000.0, 21_000.0, 37_000.0, 46_000.0)},
        float(numpy_financial.irr([-120_000.0, 39_000.0, 30_000.0, 21_000.0, 37_000.0, 46_000.0])),
    ),
    own("rest_share", {"taken_shares": (0.3, 0.6)}, 0.1),
    own("less_grant_money", {"amount_money": 150_000.0, "grant_money": 20_000.0}, 130_000.0),
    own("share_of_price_money", {"amount_money": 45_000.0, "share": 0.3, "price_factor": 1.05}, 14_175.0),
    own("margin_money", {"price_money": 150_000.0, "margin_share": 0.2}, 30_000.0),
    own("cost_money", {"price_money": 150_000.0, "margin_money": 30_000.0}, 120_000.0),
    own("fewer_parts_per_y", {"orders_parts_per_y": 48_000.0, "fall_share": 0.25}, 12 * 3_000.0),
    own("sold_parts_per_y", {"orders_parts_per_y": 50_000.0, "capacity_parts_per_y": 42_000.0}, 42_000.0),
    own("alone_parts_per_y", {"rate_parts_per_h": 8.0, "alone_h_per_y": 500.0}, 4_000.0),
    own("extra_alone_parts_per_y", ALONE, 4_000.0),
    own("extra_alone_parts_per_y", ALONE | {"extra_parts_per_y": 7_500.0}, 2_500.0),
    own("extra_alone_parts_per_y", ALONE | {"today_parts_per_y": 19_000.0, "extra_parts_per_y": 1_000.0}, 1_000.0),
    own("less_parts_per_y", {"whole_parts_per_y": 9_000.0, "taken_parts_per_y": 4_000.0}, 5_000.0),
    own("net_money_per_y", {"gains_money": (60_000.0, 18_000.0), "costs_money": (6_000.0, 2_500.0)}, 69_500.0),
    own("change_share", {"needed": 33.0, "present": 25.0}, 0.32),
    own("price_factor", {"exchange_rate": 0.92, "escalation": 0.03, "age_y": 2.0}, 0.92 * 1.0609),
    own("priced_money", {"amount_money": 42_000.0, "price_factor": 1.05}, 44_100.0),
    own(
        "priced_pieces_money",
        {"amount_money": 6_000.0, "counts": (2.0, 1.0), "price_factor": 1.05},
        6_300.0 + 6_300.0 + 6_300.0,
    ),
    own(
        "track_money",
        {"price_money": 32_000.0, "money_per_m": 5_000.0, "travel_m": 5.5, "included_m": 3.5},
        42_000.0,
    ),
    own(
        "track_money",
        {"price_money": 32_000.0, "money_per_m": 5_000.0, "travel_m": 2.0, "included_m": 3.5},
        32_000.0,
    ),
    own("metres_money", {"length_m": 3.0, "money_per_m": 220.0, "price_factor": 1.05}, 3 * 231.0),
    own("sum_money", {"amounts_money": (42_000.0, 8_000.0, 600.0)}, 50_600.0),
    own("contingency_money", {"amount_money": 120_000.0, "contingency_share": 0.15}, 18_000.0),
    own("own_work_money", {"work_h": 120.0, "wage_money_per_h": 45.0}, 5_400.0),
    own(  # three days of two heads, 40 h each in a week of five days
        "standstill_money",
        {"stands_d": 3.0, "head_h_per_week": 80.0, "days_per_week": 5.0, "wage_money_per_h": 45.0},
        3 * 2 * 8 * 45.0,
    ),
    own("freed_h_per_y", {"today_h_per_y": 3_000.0, "still_h_per_y": 800.0}, 2_200.0),
    own("labour_money_per_y", {"freed_h_per_y": 2_000.0, "wage_money_per_h": 40.0, "usable_share": 0.5}, 40_000.0),
    own("labour_money_per_y", {"freed_h_per_y": -100.0, "wage_money_per_h": 40.0, "usable_share": 0.5}, -4_000.0),
    own("wages_money_per_y", {"worked_h_per_y": 1_820.0, "wage_money_per_h": 45.0}, 81_900.0),
    own(
        "extra_parts_per_y",
        {"orders_parts_per_y": 70_000.0, "capacity_parts_per_y": 64_000.0, "today_parts_per_y": 50_000.0},
        14_000.0,
    ),
    own(
        "extra_parts_per_y",
        {"orders_parts_per_y": 50_000.0, "capacity_parts_per_y": 90_000.0, "today_parts_per_y": 50_000.0},
        0.0,
    ),
    own(
        "lost_parts_per_y",
        {"orders_parts_per_y": 60_000.0, "capacity_parts_per_y": 45_000.0, "today_parts_per_y": 50_000.0},
        5_000.0,
    ),
    own("total_parts_per_y", {"orders_parts_per_y": (30_000.0, 12_500.0)}, 42_500.0),
    own(
        "mean_money_per_part",
        {"amounts_per_part": (2.0, 4.0), "orders_parts_per_y": (300.0, 100.0)},
        math.fsum([2.0] * 300 + [4.0] * 100) / 400.0,
    ),
    own("output_money_per_y", {"changed_parts_per_y": 14_000.0, "contribution_per_part": 1.25}, 17_500.0),
    own("upkeep_money_per_y", {"price_money": 150_000.0, "upkeep_share": 0.04}, 6_000.0),
    own(
        "programming_money_per_y",
        {"families_per_y": 6.0, "programming_h": 8.0, "stands_share": 0.5, "wage_money_per_h": 45.0},
        6 * (8 + 4) * 45.0,
    ),
    own("fingers_money_per_y", {"families_per_y": 6.0, "set_money": 600.0, "price_factor": 1.05}, 3_780.0),
    own("steady_payback_months", {"outlay_money": 60_000.0, "gain_money_per_y": 90_000.0}, 8.0),
    own("total_money_per_y", {"amounts_money": (40_000.0, 17_500.0, -6_000.0)}, 51_500.0),
    own(
        "head_h_per_week",
        {"heads": (1.0, 2.0), "lengths_s": (28_800.0, 14_400.0), "days": (5.0, 6.0)},
        1 * 8 * 5 + 2 * 4 * 6.0,
    ),
    own("mean_premium_share", {"premiums": (0.22, 0.1), "premium_h": (40.0, 20.0), "present_h": 120.0}, 10.8 / 120.0),
    own("wage_with_premium_per_h", {"wage_money_per_h": 25.0, "premium_share": 0.09}, 27.25),
    own(  # 40 h present, 2.5 h of breaks of which 1 h is paid, one day in ten absent
        "paid_per_worked",
        {"present_h": 40.0, "breaks_h": 2.5, "unpaid_breaks_h": 1.5, "absence_share": 0.1},
        38.5 / (37.5 * 0.9),
    ),
    own("labour_money_per_part", {"h_per_y": 3_750.0, "money_per_h": 32.0, "parts_per_y": 60_000.0}, 2.0),
    own("worked_hour_money_per_h", {"paid_hour_money_per_h": 33.0, "paid_per_worked": 1.14}, 37.62),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)

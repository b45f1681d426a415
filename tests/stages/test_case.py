"""The case of a concept against today: rows that add up, measures that agree, and the steps from naive to honest."""

import dataclasses
import itertools
import math
import re
from pathlib import Path

import pytest

from millhand.formulas import REGISTER
from millhand.trace import recomputed
from tests.stages.money_shop import CATALOGUE, Made, Words, made

RICH = {"people.share_usable": 1.0, "people.wage": 40.0}
MORE_ORDERS = {"parts.bracket.orders": 80_000.0}
NO_RAMP = tuple(f"catalogue.ramp_up_first_{month}" for month in range(1, 5))


def net(counted: Made, year: int) -> float:
    """The net of one year."""
    return counted.value(counted.case.rows[year].net)


def test_each_row_adds_up_and_carries_on() -> None:
    """A net is the sum of its row, a cumulative amount the one before and the net."""
    counted = made(numbers=MORE_ORDERS)
    total = 0.0
    for row in counted.case.rows:
        amounts = math.fsum(counted.value(fact_id) for fact_id in row.amounts.values())
        total += amounts
        assert counted.value(row.net) == pytest.approx(amounts)
        assert counted.value(row.cumulative) == pytest.approx(total)
    assert [row.year for row in counted.case.rows] == list(range(9))


def test_the_price_stands_in_year_0_only_and_in_full() -> None:
    """Installed price and own work are paid before hand-over, nothing else."""
    counted = made()
    first = counted.case.rows[0]

    assert set(first.amounts) == {"price", "own_work"}
    assert net(counted, 0) == pytest.approx(
        -counted.value(counted.estimate.installed) - counted.value(counted.estimate.own)
    )
    assert all("price" not in row.amounts for row in counted.case.rows[1:])


def test_freed_hours_are_todays_less_those_still_needed() -> None:
    """3 750 hours today, 900 still needed: 2 850 at what a worked hour costs, of which four fifths count."""
    counted = made()
    hour = counted.value(counted.estimate.worked_hour)

    assert counted.value(counted.case.freed_h_per_y) == pytest.approx(2_850.0)
    assert counted.value(counted.case.yearly[0]) == pytest.approx(2_850.0 * hour * 0.8)


def test_the_second_year_is_whole_and_grows_with_the_wages() -> None:
    """Ramp-up ends within the first year; then labour and running cost grow by 3 % a year."""
    counted = made()
    labour = [counted.value(row.amounts["labour"]) for row in counted.case.rows[1:]]
    upkeep = [counted.value(row.amounts["upkeep"]) for row in counted.case.rows[1:]]
    steady = counted.value(counted.case.yearly[0])

    assert labour[0] == pytest.approx(steady * (0.40 + 0.65 + 0.85 + 0.95 + 8.0) / 12.0)
    assert labour[1:] == pytest.approx([steady * 1.03**year for year in range(1, 8)])
    assert upkeep == pytest.approx([upkeep[0] * 1.03**year for year in range(8)])


def test_output_is_counted_only_where_it_is_ordered() -> None:
    """With 50 000 ordered and made, a cell that could make 60 000 earns nothing by it; with 80 000 ordered, 10 000."""
    same, more = made(), made(numbers=MORE_ORDERS)

    assert same.value(same.case.yearly[1]) == 0.0
    assert more.value(more.case.yearly[1]) == pytest.approx(10_000.0 * 4.0)


def test_a_slower_cell_loses_what_is_sold_today() -> None:
    """Parts that are made and sold today and can no longer be made are a cost, in every year in full."""
    slow = made(output={"cell": (45_000.0, 900.0)})
    lost = [slow.value(row.amounts["lost_output"]) for row in slow.case.rows[1:]]

    assert slow.value(slow.case.yearly[1]) == pytest.approx(-5_000.0 * 4.0)
    assert lost == pytest.approx([-20_000.0] * 8)


def test_hours_on_top_of_today_cost_in_full() -> None:
    """A concept that needs more people than today pays for them, whatever the usable share."""
    heavy = made(output={"cell": (60_000.0, 4_000.0)})
    hour = heavy.value(heavy.estimate.worked_hour)

    assert heavy.value(heavy.case.yearly[0]) == pytest.approx(-250.0 * hour)
    assert heavy.case.payback_months is None


def test_the_payback_agrees_with_the_rows() -> None:
    """Where a whole number of years brings the balance through zero, the rows change sign in the same year."""
    counted = made()
    payback = counted.value(counted.case.payback_months)
    cumulative = [counted.value(row.cumulative) for row in counted.case.rows]
    before = math.floor(payback / 12.0)

    assert cumulative[before] < 0.0 <= cumulative[before + 1]
    inside = -cumulative[before] / (cumulative[before + 1] - cumulative[before])
    assert payback == pytest.approx(12.0 * (before + inside))  # past the ramp-up a year's months are alike


def test_the_present_worth_is_that_of_the_rows() -> None:
    """Worked out from the steady year or from the rows, it is one number."""
    counted = made(numbers=MORE_ORDERS)
    flows = [counted.value(row.net) for row in counted.case.rows]

    assert counted.value(counted.case.npv) == pytest.approx(
        REGISTER["present_worth"].function(flows_money=flows, rate=0.08)
    )


def test_at_the_internal_rate_nothing_is_left() -> None:
    """The present worth of the rows at the internal rate is zero."""
    counted = made()
    flows = [counted.value(row.net) for row in counted.case.rows]
    rate = counted.value(counted.case.irr)

    assert REGISTER["present_worth"].function(flows_money=flows, rate=rate) == pytest.approx(0.0, abs=1e-3)


def test_from_the_order_it_takes_longer_by_the_time_to_hand_over() -> None:
    """Twenty weeks are 4.6 months."""
    counted = made()
    more = counted.value(counted.case.payback_from_order_months) - counted.value(counted.case.payback_months)

    assert more == pytest.approx(20 * 7 / (365.25 / 12.0))


def test_discounted_it_takes_longer() -> None:
    """Money that comes later is worth less."""
    counted = made()

    assert counted.value(counted.case.discounted_payback_months) > counted.value(counted.case.payback_months)


def test_the_plain_ratio_leaves_out_what_goes_by_the_price() -> None:
    """Installed price over labour and output less programming and fingers; upkeep is not in it."""
    counted = made()
    year = counted.case.rows[1].amounts
    saving = counted.value(counted.case.yearly[0]) + math.fsum(
        counted.value(year[name]) for name in ("programming", "fingers")
    )

    assert counted.value(counted.case.saving_per_y) == pytest.approx(saving)
    assert counted.value(counted.case.plain_ratio_y) == pytest.approx(
        counted.value(counted.estimate.installed) / saving
    )


def test_the_hurdle_balance_says_whether_the_hurdle_is_met() -> None:
    """Below zero when the payback is longer than the hurdle, zero at it, above when shorter."""
    counted = made()
    payback = counted.value(counted.case.payback_months)
    at, later = (
        recomputed(counted.sheet.facts, {"wishes.hurdle": months}, {})[counted.case.hurdle_balance]
        for months in (payback, payback + 1.0)
    )

    assert counted.value(counted.case.hurdle_balance) < 0.0
    assert at == pytest.approx(0.0, abs=1e-6)
    assert later > 0.0


def test_where_the_money_never_comes_back_there_is_a_reason_and_no_figure() -> None:
    """Nothing usable is freed: no payback, no rate, no ratio; each says why."""
    poor = made(numbers={"people.share_usable": 0.0})

    assert poor.case.payback_months is None
    assert poor.case.payback_from_order_months is None
    assert poor.case.irr is None
    assert poor.case.plain_ratio_y is None
    assert poor.case.reasons["payback_months"] == "the money is not back within the years that are counted"
    assert poor.case.reasons["irr"].startswith("there is none")
    assert poor.case.reasons["plain_ratio_y"] == "nothing is saved in a year"
    assert poor.value(poor.case.npv) < 0.0


def test_a_payback_past_the_horizon_is_none() -> None:
    """Forty years would be a number, but eight are counted."""
    slow = made(numbers={"people.share_usable": 0.2, "money.wage_growth": 0.0})

    assert slow.case.payback_months is None


def test_several_rates_are_none() -> None:
    """Where the flows change their sign more than once, no rate is given, and the reason says so."""
    falling = made(
        numbers={"money.wage_growth": 0.25, "parts.bracket.contribution": 2.0, **MORE_ORDERS},
        output={"cell": (80_000.0, 3_950.0)},
    )
    flows = [falling.value(row.net) > 0.0 for row in falling.case.rows]

    assert flows[:2] == [False, True]
    assert not flows[-1]
    assert falling.case.irr is None
    assert falling.case.reasons["irr"].startswith("there may be several")


def test_today_against_itself_is_nought() -> None:
    """Nothing is paid, nothing is gained, and there is no payback to speak of."""
    today = made("today")

    assert today.value(today.case.npv) == 0.0
    assert all(today.value(row.net) == 0.0 for row in today.case.rows)
    assert today.case.payback_months is None
    assert today.case.reasons["payback_months"] == "nothing is bought"


def test_a_change_by_hand_takes_effect_at_once_and_has_no_upkeep() -> None:
    """450 hours freed, the price of two fixtures: no ramp-up, no running cost, no naive count."""
    by_hand = made("by_hand")
    labour = by_hand.value(by_hand.case.yearly[0])

    assert by_hand.value(by_hand.case.rows[1].amounts["labour"]) == pytest.approx(labour)
    assert by_hand.value(by_hand.case.yearly[2]) == 0.0
    assert by_hand.case.naive_payback_months is None
    assert by_hand.case.rungs == ()


# The naive count and the way back to the honest one.


def test_the_naive_count_is_wage_against_equipment() -> None:
    """Two heads present 80 h a week for 50 weeks, at what an hour costs, against the equipment alone."""
    counted = made()
    wages = 4_000.0 * counted.value(counted.estimate.worked_hour)

    assert counted.value(counted.case.naive_payback_months) == pytest.approx(
        12.0 * counted.value(counted.estimate.equipment) / wages
    )


def test_what_is_said_across_the_table_is_what_the_naive_count_gives() -> None:
    """60 000, two shifts of 8 h: under 8 months; round the clock: under 3. Common practice, no source.

    The figures of the shop are not tuned: the same statements come out at any hour from 22.5 (27.4) money up.
    """
    hour = made().value(made().estimate.worked_hour)
    months = [
        REGISTER["steady_payback_months"].function(60_000.0, gain_money_per_y=hour * hours)
        for hours in (2 * 8 * 250, 24 * 365)
    ]

    assert months[0] < 8.0
    assert months[1] < 3.0


def test_the_rungs_lead_from_naive_to_honest() -> None:
    """Each step puts one thing right; costs and cuts lengthen it, and the last one is the honest payback."""
    counted = made()
    ladder = [counted.value(counted.case.naive_payback_months)]
    ladder += [counted.value(rung.payback) for rung in counted.case.rungs]

    assert len({rung.words for rung in counted.case.rungs}) == len(counted.case.rungs) == 8
    assert all(one < two for one, two in itertools.pairwise(ladder[:-1]))
    assert ladder[-1] < ladder[-2]  # wages grow
    assert counted.case.rungs[-1].payback == counted.case.payback_months
    assert ladder[-1] > 2.0 * ladder[0]


def test_each_rung_changes_one_thing() -> None:
    """Worked out by hand, one after the other."""
    counted = made()
    hour = counted.value(counted.estimate.worked_hour)
    equipment, installed = counted.value(counted.estimate.equipment), counted.value(counted.estimate.installed)
    outlay, running = counted.value(counted.case.outlay), counted.value(counted.case.yearly[2])
    usable = 2_850.0 * hour * 0.8
    steps = [
        equipment / (3_750.0 * hour), equipment / (2_850.0 * hour), equipment / usable, installed / usable,
        outlay / usable, outlay / (usable - running),
    ]  # fmt: skip

    found = [counted.value(rung.payback) for rung in counted.case.rungs[:6]]

    assert found == pytest.approx([12.0 * step for step in steps])


def test_output_has_its_rung_where_it_counts() -> None:
    """Ordered parts shorten, lost parts lengthen; where neither is, there is no such step."""
    more, slow = made(numbers=MORE_ORDERS), made(numbers=RICH, output={"cell": (48_000.0, 900.0)})

    def months(counted: Made, words: str) -> float:
        rung = next(rung for rung in counted.case.rungs if words in rung.words)
        return counted.value(rung.payback)

    assert months(more, "as far as they are ordered") < months(more, "first months")
    assert months(slow, "cannot make") > months(slow, "first months")
    assert not any("ordered" in rung.words or "cannot" in rung.words for rung in made().case.rungs)


def test_a_rung_that_never_pays_back_is_none() -> None:
    """With nothing usable every step from there on is never."""
    poor = made(numbers={"people.share_usable": 0.0})
    paybacks = [rung.payback for rung in poor.case.rungs]

    assert None not in paybacks[:2]
    assert paybacks[2:] == [None] * 6


def test_a_rebuild_from_five_numbers_lands_within_15_percent() -> None:
    """Price, hours, wage, freed, usable: with ramp-up and growth off, and no output counted, by hand."""
    counted = made(numbers={"money.wage_growth": 0.0})
    exact = recomputed(counted.sheet.facts, dict.fromkeys(NO_RAMP, 1.0), {})
    price, hour = counted.value(counted.case.outlay), counted.value(counted.estimate.worked_hour)
    upkeep = 0.04 * price

    by_hand = 12.0 * price / (3_750.0 * (2_850.0 / 3_750.0) * 0.8 * hour - upkeep)

    assert exact[str(counted.case.payback_months)] == pytest.approx(by_hand, rel=0.15)


# The list of plausible wrong numbers, as far as they are the money's.


def test_people_saved_never_exceed_people_there() -> None:
    """Freed hours stay below today's, and the saving below the wages paid, also with nobody needed any more."""
    free = made(numbers={"people.share_usable": 1.0}, output={"cell": (60_000.0, 0.0)})
    hour = free.value(free.estimate.worked_hour)

    assert free.value(free.case.freed_h_per_y) == 3_750.0
    assert free.value(free.case.yearly[0]) == pytest.approx(3_750.0 * hour)


def test_remaining_work_is_taken_off_once() -> None:
    """Hours in the case are those of the performance: freed and still needed add up to today's."""
    counted = made()
    still = counted.value(counted.performance.operator_h_per_y)

    assert still > 0.0
    assert counted.value(counted.case.freed_h_per_y) + still == 3_750.0


def test_the_clock_of_the_payback_is_named() -> None:
    """From hand-over and from the order are two figures, and paid and worked hours give two answers."""
    paid, worked = made(), made(words=Words(on_cost_per="worked"))

    assert paid.case.payback_months != paid.case.payback_from_order_months
    assert worked.value(worked.case.payback_months) > paid.value(paid.case.payback_months)


def test_every_figure_of_a_case_is_a_fact() -> None:
    """Each id that the record holds stands in the sheet."""
    counted = made(numbers=MORE_ORDERS)
    case = counted.case
    ids = [case.npv, case.irr, case.saving_per_y, case.outlay, case.hurdle_balance, *case.yearly, *case.ramp_up]
    ids += [fact_id for row in case.rows for fact_id in (*row.amounts.values(), row.net, row.cumulative)]
    ids += [rung.payback for rung in case.rungs]

    assert all(fact_id in counted.sheet for fact_id in ids if fact_id is not None)
    assert not any(re.search(r"\d", rung.words) for rung in case.rungs)


def test_a_case_follows_from_its_base_facts() -> None:
    """Recomputed with nothing changed, every number of the sheet is what it was."""
    counted = made(numbers=MORE_ORDERS)

    assert recomputed(counted.sheet.facts, {}, {}) == pytest.approx({fact.id: fact.value for fact in counted.sheet})


def test_the_ladder_in_the_docs_is_what_comes_out() -> None:
    """The table of docs/money.md is this shop's, step by step."""
    page = (Path(__file__).parents[2] / "docs" / "money.md").read_text(encoding="utf-8")
    counted = made()
    steps = {"across the table": counted.case.naive_payback_months}
    steps |= {rung.words: rung.payback for rung in counted.case.rungs}

    for words, payback in steps.items():
        assert f"| {words} | {counted.value(payback):.1f} |" in page
    assert f"below, {counted.value(counted.estimate.worked_hour):.1f}, it is" in page


def test_what_costs_nothing_is_back_at_once_and_has_no_rate() -> None:
    """A change by hand that is free: payback nought, no internal rate, and the reason is not that it does not pay."""
    priced = made("by_hand")
    change = next(each for each in CATALOGUE.hand_changes if each.id == "second_fixture")
    gift = dataclasses.replace(change, price=dataclasses.replace(change.price, value=0.0, low=None, high=None))
    free = made("by_hand", catalogue=dataclasses.replace(CATALOGUE, hand_changes=(gift,)))

    assert priced.case.irr is not None
    assert free.value(free.case.payback_months) == 0.0
    assert free.case.irr is None
    assert free.case.reasons["irr"] == "there is none: nothing is paid before"

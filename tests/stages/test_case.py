"""The case of a concept against today: rows that add up, measures that agree, and the steps from naive to honest."""

import dataclasses
import itertools
import math
import re
from pathlib import Path

import numpy_financial
import pytest

from millhand.formulas import REGISTER
from millhand.model.case import CashLine
from millhand.model.money import Books, Financing
from millhand.report.cash import amount, by_years
from millhand.trace import recomputed
from tests.stages.money_shop import CATALOGUE, Made, Words, fact, made, word

RICH = {"people.share_usable": 1.0, "people.wage": 40.0}
MORE_ORDERS = {"parts.bracket.orders": 80_000.0}
NO_RAMP = tuple(f"catalogue.ramp_up_first_{month}" for month in range(1, 5))


def net(counted: Made, year: int) -> float:
    """The net of one year."""
    return counted.value(counted.case.rows[year].net)


def line(counted: Made, name: str) -> CashLine:
    """One line of the case."""
    return next(each for each in counted.case.lines if each.id == name)


def steady(counted: Made, name: str) -> float:
    """What one line brings in a steady year."""
    return counted.value(line(counted, name).amount)


def years(counted: Made, name: str) -> list[float]:
    """One line by years, all before hand-over first."""
    return [amount(line(counted, name), column) for column in by_years(counted.case)]


def test_each_row_adds_up_and_carries_on() -> None:
    """A net is the sum of its row, a cumulative amount the one before and the net."""
    counted = made(numbers=MORE_ORDERS)
    total = 0.0
    for row in counted.case.rows:
        amounts = math.fsum(years(counted, each.id)[row.year] for each in counted.case.lines)
        total += amounts
        assert counted.value(row.net) == pytest.approx(amounts)
        assert counted.value(row.cumulative) == pytest.approx(total)
    assert [row.year for row in counted.case.rows] == list(range(9))


def test_the_price_stands_in_year_0_only_and_in_full() -> None:
    """Installed price and own work are paid before hand-over, nothing else."""
    counted = made()
    first = {each.id: each.by_period[:3] for each in counted.case.lines if any(each.by_period[:3])}
    price = counted.value(counted.estimate.installed)

    assert set(first) == {"price", "own_work"}
    assert first["price"] == pytest.approx((-0.3 * price, -0.6 * price, -0.1 * price))
    assert net(counted, 0) == pytest.approx(
        -counted.value(counted.estimate.installed) - counted.value(counted.estimate.own)
    )
    assert not any(years(counted, "price")[1:])


def test_freed_hours_are_todays_less_those_still_needed() -> None:
    """3 750 hours today, 900 still needed: 2 850 at what a worked hour costs, of which four fifths count."""
    counted = made()
    hour = counted.value(counted.estimate.worked_hour)

    assert counted.value(counted.case.year.freed_h_per_y) == pytest.approx(2_850.0)
    assert steady(counted, "labour") == pytest.approx(2_850.0 * hour * 0.8)


def test_the_second_year_is_whole_and_grows_with_the_wages() -> None:
    """Ramp-up ends within the first year; then labour and running cost grow by 3 % a year."""
    counted = made()
    labour, upkeep = (years(counted, name)[1:] for name in ("labour", "upkeep"))
    whole = steady(counted, "labour")

    assert labour[0] == pytest.approx(whole * (0.40 + 0.65 + 0.85 + 0.95 + 8.0) / 12.0)
    assert line(counted, "labour").by_period[3:8] == pytest.approx(
        [whole * share / 12.0 for share in (0.40, 0.65, 0.85, 0.95, 1.0)]
    )
    assert labour[1:] == pytest.approx([whole * 1.03**year for year in range(1, 8)])
    assert upkeep == pytest.approx([upkeep[0] * 1.03**year for year in range(8)])


def test_output_is_counted_only_where_it_is_ordered() -> None:
    """With 50 000 ordered and made, a cell that could make 60 000 earns nothing by it; with 80 000 ordered, 10 000."""
    same, more = made(), made(numbers=MORE_ORDERS)

    assert steady(same, "extra_output") == 0.0
    assert steady(more, "extra_output") == pytest.approx(10_000.0 * 4.0)


def test_a_slower_cell_loses_what_is_sold_today() -> None:
    """Parts that are made and sold today and can no longer be made are a cost, in every year in full."""
    slow = made(output={"cell": (45_000.0, 900.0)})
    lost = years(slow, "lost_output")[1:]

    assert slow.value(slow.case.year.output) == pytest.approx(-5_000.0 * 4.0)
    assert lost == pytest.approx([-20_000.0] * 8)


def test_hours_on_top_of_today_cost_in_full() -> None:
    """A concept that needs more people than today pays for them, whatever the usable share."""
    heavy = made(output={"cell": (60_000.0, 4_000.0)})
    hour = heavy.value(heavy.estimate.worked_hour)

    assert steady(heavy, "labour") == pytest.approx(-250.0 * hour)
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
    """Worked out from the steady year or from the rows, it is one number, but for what is paid ahead of hand-over."""
    counted = made(numbers=MORE_ORDERS)
    flows = [counted.value(row.net) for row in counted.case.rows]
    price = counted.value(counted.estimate.installed)
    ahead = price * (0.3 * (1.08 ** (20 * 7 / 365.25) - 1.0) + 0.6 * (1.08 ** (4 * 7 / 365.25) - 1.0))

    assert counted.value(counted.case.npv) == pytest.approx(
        REGISTER["present_worth"].function(flows_money=flows, rate=0.08) - ahead
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
    saving = math.fsum(steady(counted, name) for name in ("labour", "programming", "fingers"))

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
    """Where more than one rate takes the flows to nought, none is given, and the reason has all of them."""
    falling = made(
        numbers={"money.wage_growth": 0.25, "parts.bracket.contribution": 7.0, **MORE_ORDERS},
        output={"cell": (80_000.0, 5_400.0)},
    )
    flows = [falling.value(row.net) > 0.0 for row in falling.case.rows]

    assert flows[:2] == [False, True]
    assert not flows[-1]
    assert falling.case.irr is None
    assert falling.case.reasons["irr"].startswith("there are several, and none of them means much: [[")
    rates = [falling.value(f"concepts.{falling.concept.id}.case.irr_{number}") for number in (1, 2)]
    nets = [falling.value(row.net) for row in falling.case.rows]
    worths = [REGISTER["present_worth"].function(flows_money=nets, rate=rate) for rate in rates]
    assert worths == pytest.approx([0.0, 0.0], abs=1e-3)
    assert rates[0] < rates[1]
    assert falling.case.payback_months is None  # it does not stay back
    first = 12.0 * (1.0 + (-nets[0] - nets[1]) / nets[2])  # within the second year, whose months are alike
    assert falling.value(falling.case.further["first_payback_months"]) == pytest.approx(first)
    assert falling.value(falling.case.further["crossings"]) == 1.0


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

    assert years(by_hand, "labour")[1] == pytest.approx(steady(by_hand, "labour"))
    assert by_hand.value(by_hand.case.year.running) == 0.0
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
    outlay, running = counted.value(counted.case.year.outlay), counted.value(counted.case.year.running)
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
    price, hour = counted.value(counted.case.year.outlay), counted.value(counted.estimate.worked_hour)
    upkeep = 0.04 * price

    by_hand = 12.0 * price / (3_750.0 * (2_850.0 / 3_750.0) * 0.8 * hour - upkeep)

    assert exact[str(counted.case.payback_months)] == pytest.approx(by_hand, rel=0.15)


# The list of plausible wrong numbers, as far as they are the money's.


def test_people_saved_never_exceed_people_there() -> None:
    """Freed hours stay below today's, and the saving below the wages paid, also with nobody needed any more."""
    free = made(numbers={"people.share_usable": 1.0}, output={"cell": (60_000.0, 0.0)})
    hour = free.value(free.estimate.worked_hour)

    assert free.value(free.case.year.freed_h_per_y) == 3_750.0
    assert steady(free, "labour") == pytest.approx(3_750.0 * hour)


def test_remaining_work_is_taken_off_once() -> None:
    """Hours in the case are those of the performance: freed and still needed add up to today's."""
    counted = made()
    still = counted.value(counted.performance.operator_h_per_y)

    assert still > 0.0
    assert counted.value(counted.case.year.freed_h_per_y) + still == 3_750.0


def test_the_clock_of_the_payback_is_named() -> None:
    """From hand-over and from the order are two figures, and paid and worked hours give two answers."""
    paid, worked = made(), made(words=Words(on_cost_per="worked"))

    assert paid.case.payback_months != paid.case.payback_from_order_months
    assert worked.value(worked.case.payback_months) > paid.value(paid.case.payback_months)


def test_every_figure_of_a_case_is_a_fact() -> None:
    """Each id that the record holds stands in the sheet."""
    counted = made(numbers=MORE_ORDERS)
    case = counted.case
    ids = [
        case.npv,
        case.irr,
        case.saving_per_y,
        case.year.outlay,
        case.hurdle_balance,
        case.year.output,
        case.year.running,
    ]
    ids += [*case.year.ramp_up, *case.further.values()]
    ids += [fact_id for each in case.lines for fact_id in (each.amount, each.growth)]
    ids += [fact_id for row in case.rows for fact_id in (row.net, row.cumulative)]
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
    price = dataclasses.replace(change.price, value=0.0, low=None, high=None)
    gift = dataclasses.replace(change, price=price, takes="arrangement")  # nor does it ask for own work
    free = made("by_hand", catalogue=dataclasses.replace(CATALOGUE, hand_changes=(gift,)))

    assert priced.case.irr is not None
    assert free.value(free.case.payback_months) == 0.0
    assert free.case.irr is None
    assert free.case.reasons["irr"] == "there is none: nothing is paid before"


# Measures beside the usual ones.


def test_further_measures_are_those_of_a_general_purpose_library() -> None:
    """From the nets of the years: modified rate and the same worth every year; and the index from worth and outlay."""
    counted = made(numbers=MORE_ORDERS)
    further = {name: counted.value(fact_id) for name, fact_id in counted.case.further.items()}
    nets = [counted.value(row.net) for row in counted.case.rows]
    worth = counted.value(counted.case.npv)

    assert further["mirr"] == pytest.approx(numpy_financial.mirr(nets, 0.08, 0.08))
    assert further["annual_worth"] == pytest.approx(-numpy_financial.pmt(0.08, 8, worth))
    assert further["profitability_index"] == pytest.approx(1.0 + worth / counted.value(counted.case.year.outlay))
    assert further["payback_whole_months"] == math.ceil(counted.value(counted.case.payback_months))


def test_loading_a_part_costs_people_running_cost_and_a_share_of_what_was_paid() -> None:
    """All over the 50 000 parts that are ordered; the hours beyond them are told, not counted."""
    counted = made()
    hour = counted.value(counted.estimate.worked_hour)
    outlay = -numpy_financial.pmt(0.08, 8, counted.value(counted.case.year.outlay))
    whole = 900.0 * hour + counted.value(counted.case.year.running) + outlay

    assert counted.value(counted.case.further["cost_per_part"]) == pytest.approx(whole / 50_000.0)
    assert counted.value(counted.case.further["freed_machine_hours"]) == pytest.approx(3_750.0 * 2.0 / 6.0)


def test_a_grant_is_taken_off_what_is_paid() -> None:
    """20 000 from elsewhere shorten the payback and stand in the table as a line of their own."""
    plain, helped = made(), made(told={"grant": 20_000.0})

    assert helped.value(helped.case.year.outlay) == pytest.approx(plain.value(plain.case.year.outlay) - 20_000.0)
    assert years(helped, "grant")[0] == 20_000.0
    assert sum(years(helped, each.id)[0] for each in helped.case.lines) == pytest.approx(net(helped, 0))


def test_prices_that_the_shop_knows_take_the_place_of_the_catalogues() -> None:
    """Upkeep from an offer, and what a kilowatt hour costs here."""
    plain, told = made(), made(told={"upkeep": 5_000.0, "energy_price": 0.32})

    assert steady(told, "upkeep") == -5_000.0
    assert steady(told, "energy") == pytest.approx(steady(plain, "energy") * 0.32 / (0.16 * 1.03))


def book(way: str, **more: float) -> Books:
    """Books of that way over five years."""
    given = {name: fact(f"money.books.{name}", each) for name, each in more.items()}
    return Books(way=word("money.books.way", way), years_y=fact("money.books.years", 5.0, "y"), **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("way", "first", "third"),
    [("straight_line", 0.2, 0.2), ("declining_balance", 0.4, 0.144), ("years_digits", 5 / 15, 3 / 15),
     ("macrs", 0.2, 0.192), ("at_once", 1.0, 0.0)],
)  # fmt: skip
def test_tax_is_paid_on_what_is_left_after_writing_off(way: str, first: float, third: float) -> None:
    """A quarter of the flow less what is written off in that year; all of the price is written off in the end."""
    taxed = made(told={"tax": 0.25, "books": book(way)})
    outlay, base = taxed.value(taxed.case.year.outlay), f"concepts.{taxed.concept.id}.case"
    nets = [taxed.value(row.net) for row in taxed.case.rows]
    flows = [nets[0], *(taxed.sheet.value(f"{base}.after_tax.year_{year}") for year in range(1, 9))]

    assert flows[1] == pytest.approx(nets[1] - 0.25 * (nets[1] - first * outlay))
    assert flows[3] == pytest.approx(nets[3] - 0.25 * (nets[3] - third * outlay))
    assert sum(flows) == pytest.approx(sum(nets) - 0.25 * (sum(nets[1:]) - outlay))
    worth = taxed.value(taxed.case.further["npv_after_tax"])
    assert worth == pytest.approx(numpy_financial.npv(0.08, flows))


def test_a_cell_of_the_last_quarter_is_written_off_by_quarters() -> None:
    """Over 40 % of the year's equipment in its last quarter: 5 % in the first year (published table)."""
    late = made(told={"tax": 0.25, "books": book("macrs", quarter=4.0)})
    small = made(told={"tax": 0.25, "books": book("macrs", quarter=4.0, other_money=1e6)})
    first = [each.sheet.value(f"concepts.{each.concept.id}.case.written_off.year_1") for each in (late, small)]

    assert first[0] == pytest.approx(0.05 * late.value(late.case.year.outlay))
    assert first[1] == pytest.approx(0.2 * small.value(small.case.year.outlay))


def test_a_loan_asks_its_payment_and_leaves_the_payback_alone() -> None:
    """80 % over five years at 7 %: the payment of a general-purpose library, its worth, and the lowest balance."""
    terms = Financing(
        way=word("money.financing.way", "loan"), share=fact("money.financing.share", 0.8),
        rate=fact("money.financing.rate", 0.07), years_y=fact("money.financing.years", 5.0, "y"),
    )  # fmt: skip
    plain, lent = made(), made(told={"financing": terms})
    outlay = lent.value(lent.case.year.outlay)
    payment = -numpy_financial.pmt(0.07 / 12.0, 60, 0.8 * outlay)
    monthly = 1.08 ** (1.0 / 12.0) - 1.0
    further = {name: lent.value(fact_id) for name, fact_id in lent.case.further.items()}

    assert further["loan_payment"] == pytest.approx(payment)
    assert further["loan_cost"] == pytest.approx(-numpy_financial.pv(monthly, 60, payment) - 0.8 * outlay)
    balance, lowest = -0.2 * outlay, -0.2 * outlay
    flows = zip(*(each.by_period[3:27] for each in lent.case.lines), strict=True)
    for flow in map(sum, flows):
        balance += flow - payment
        lowest = min(lowest, balance)
    assert further["lowest_cash"] == pytest.approx(lowest)
    assert lent.value(lent.case.payback_months) == plain.value(plain.case.payback_months)


def test_a_lease_asks_what_it_says() -> None:
    """3 000 a month for five years and 10 000 at the end, against the whole of what is paid."""
    terms = Financing(
        way=word("money.financing.way", "lease"), share=fact("money.financing.share", 0.8),
        rate=fact("money.financing.rate", 0.07), years_y=fact("money.financing.years", 5.0, "y"),
        payment_per_y=fact("money.financing.payment", 36_000.0, "money/y"),
        end_money=fact("money.financing.end", 10_000.0, "money"),
    )  # fmt: skip
    leased = made(told={"financing": terms})
    monthly = 1.08 ** (1.0 / 12.0) - 1.0
    paid = -numpy_financial.pv(monthly, 60, 3_000.0) + 10_000.0 / 1.08**5

    assert leased.value(leased.case.further["loan_payment"]) == 3_000.0
    assert leased.value(leased.case.further["loan_cost"]) == pytest.approx(paid - leased.value(leased.case.year.outlay))


@pytest.mark.parametrize("horizon", [1.5, 6.25, 8.0])
def test_part_of_a_year_counts_alike_in_rows_worth_and_rates(horizon: float) -> None:
    """Present worth, internal and modified rate that a library finds from the rows are those of the case, whole or
    not, and the lines of each period add up to them."""
    counted = made(numbers=RICH | {"money.horizon": horizon}, output={"cell": (60_000.0, 900.0)})
    case, rate = counted.case, counted.value("money.rate")
    flows, last = [counted.value(row.net) for row in case.rows], math.ceil(horizon)
    ahead = counted.value(f"concepts.{counted.concept.id}.case.paid_ahead")
    spans = [range(3), range(3, 15), range(15, 27), *(range(27 + year, 28 + year) for year in range(last - 2))]
    by_row = [math.fsum(line.by_period[at] for line in case.lines for at in span) for span in spans]

    assert len(flows) == len(by_row) == last + 1
    assert counted.value(case.npv) + ahead == pytest.approx(numpy_financial.npv(rate, flows), rel=1e-12)
    assert counted.value(case.irr) == pytest.approx(numpy_financial.irr(flows), rel=1e-9)
    assert counted.value(case.further["mirr"]) == pytest.approx(numpy_financial.mirr(flows, rate, rate), rel=1e-9)
    assert by_row == pytest.approx(flows, rel=1e-9)


def test_a_slower_cell_loses_even_where_nobody_said_what_a_part_leaves() -> None:
    """Then the parts that it does not make are loaded by hand in further hours, each as it is loaded today."""
    slow = made(words=Words(contribution="assumed"), output={"cell": (45_000.0, 900.0)})
    hours, wage = 3_750.0 / 50_000.0, slow.value(slow.estimate.worked_hour)

    assert steady(slow, "lost_output") == pytest.approx(-5_000.0 * hours * wage)
    assert steady(made(words=Words(contribution="assumed")), "lost_output") == 0.0

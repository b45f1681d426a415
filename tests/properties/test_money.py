"""What must hold of every case, whatever the figures: on cases built from hand-made facts and recomputed."""

import math
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from millhand.formulas import REGISTER
from millhand.trace import recomputed
from tests.stages.money_shop import made

# One case with orders above what is made, one with orders just at it; every property changes base facts only.
SAME, MORE = made(), made(numbers={"parts.bracket.orders": 80_000.0})
CELL = f"concepts.{SAME.concept.id}"
PARTS, HOURS = f"{CELL}.performance.parts_per_y", f"{CELL}.performance.operator_h_per_y"
TODAY_PARTS, TODAY_HOURS = (f"concepts.today.performance.{name}" for name in ("parts_per_y", "operator_h_per_y"))
PRICE = SAME.estimate.installed

NOT_IN_FIVE = dict.fromkeys(("catalogue.upkeep_share", "catalogue.insurance_share", "catalogue.energy_price"), 0.0)

prices = st.floats(20_000.0, 600_000.0)
wages = st.floats(8.0, 120.0)
shares = st.floats(0.0, 1.0)
hours = st.floats(0.0, 3_750.0)
volumes = st.floats(1_000.0, 200_000.0)


def payback(numbers: Mapping[str, float]) -> float:
    """Simple payback of a recomputed case; infinite when it never comes."""
    return numbers[str(SAME.case.payback_months)]


def same(changes: Mapping[str, float]) -> dict[str, float]:
    """The case whose orders are what is made today, recomputed."""
    return recomputed(SAME.sheet.facts, changes, {})


def more(changes: Mapping[str, float]) -> dict[str, float]:
    """The case with more orders than are made today, recomputed."""
    return recomputed(MORE.sheet.facts, changes, {})


@given(prices, prices, wages, shares, hours)
def test_a_dearer_cell_never_pays_back_sooner(one: float, two: float, wage: float, share: float, still: float) -> None:
    """Payback does not fall when the price rises, and present worth does not rise."""
    world = {"people.wage": wage, "people.share_usable": share, HOURS: still}
    cheap, dear = (more({**world, PRICE: price}) for price in sorted((one, two)))

    assert payback(cheap) <= payback(dear) * (1.0 + 1e-12)
    assert cheap[SAME.case.npv] >= dear[SAME.case.npv]


@given(wages, wages, prices, shares, hours)
def test_a_dearer_hour_never_pays_back_later(one: float, two: float, price: float, share: float, still: float) -> None:
    """Payback does not rise when the wage does, as long as labour is what is saved.

    (With output on top it may: the shop's own work grows with the wage while the output does not.)
    """
    world = {PRICE: price, "people.share_usable": share, HOURS: still}
    low, high = (same({**world, "people.wage": wage}) for wage in sorted((one, two)))

    assert payback(high) <= payback(low) * (1.0 + 1e-9)


@given(prices, st.floats(0.1, 10.0), st.floats(0.2, 5.0), st.floats(0.05, 1.0))
def test_the_plain_ratio_is_straight_in_the_price_and_inverse_in_the_wage(
    price: float, more_price: float, more_wage: float, share: float
) -> None:
    """With no new families, so that nothing but hours is saved: exact, both ways."""
    ratio = str(SAME.case.plain_ratio_y)
    world = {PRICE: price, "people.share_usable": share, "catalogue.new_families_per_y": 0.0}
    base = same(world)[ratio]

    assert same({**world, PRICE: price * more_price})[ratio] == pytest.approx(base * more_price)
    assert same({**world, "people.wage": 24.0 * more_wage})[ratio] == pytest.approx(base / more_wage)


@given(volumes, volumes)
def test_orders_that_are_met_today_bring_exactly_nothing_more(orders: float, capacity: float) -> None:
    """With demand equal to today's output, extra output is 0, not nearly 0, however much the cell could make."""
    after = same({"parts.bracket.orders": orders, TODAY_PARTS: orders, PARTS: capacity})

    assert after[f"{CELL}.case.extra_output"] == 0.0


@given(volumes, volumes, volumes)
def test_extra_parts_stay_within_orders_and_capacity(orders: float, capacity: float, today: float) -> None:
    """Never more than is ordered, never more than can be made, never below zero; and not gained and lost at once."""
    after = more({"parts.bracket.orders": orders, TODAY_PARTS: today, PARTS: capacity})
    extra, lost = after[f"{CELL}.case.extra_parts"], after[f"{CELL}.case.lost_parts"]

    assert 0.0 <= extra <= max(0.0, min(orders, capacity) - today)
    assert 0.0 <= lost <= today
    assert extra == 0.0 or lost == 0.0


@given(st.floats(0.0, 20_000.0), st.floats(0.0, 20_000.0), wages, shares)
def test_the_saving_never_exceeds_the_wages_paid(today: float, still: float, wage: float, share: float) -> None:
    """Freed hours never exceed today's, and what they are worth never exceeds what today's hours cost."""
    after = same({TODAY_HOURS: today, HOURS: still, "people.wage": wage, "people.share_usable": share})
    paid = today * after[SAME.estimate.worked_hour]

    assert after[SAME.case.year.freed_h_per_y] <= today
    assert after[f"{CELL}.case.labour"] <= paid * (1.0 + 1e-12)


@given(volumes, volumes, prices, shares)
def test_a_slower_cell_never_pays_back_sooner(one: float, two: float, price: float, share: float) -> None:
    """Fewer parts at the same hours: payback no shorter, worth no greater."""
    world = {PRICE: price, "people.share_usable": share}
    slow, fast = (more({**world, PARTS: parts}) for parts in sorted((one, two)))

    assert payback(slow) >= payback(fast) * (1.0 - 1e-12)
    assert slow[SAME.case.npv] <= fast[SAME.case.npv]


@given(prices, wages, st.floats(0.05, 1.0), st.floats(0.0, 3_600.0))
def test_the_balance_at_the_payback_is_nought(price: float, wage: float, share: float, still: float) -> None:
    """Payback and hurdle balance are two views of one thing."""
    world = {PRICE: price, "people.wage": wage, "people.share_usable": share, HOURS: still}
    months = payback(more(world))
    if months < 240.0:
        at = more({**world, "wishes.hurdle": months})[SAME.case.hurdle_balance]
        assert at == pytest.approx(0.0, abs=1e-6 * price)
    elif math.isinf(months):
        assert more({**world, "wishes.hurdle": 240.0})[SAME.case.hurdle_balance] < 0.0


@given(prices, wages, st.floats(0.2, 1.0), hours)
def test_five_numbers_by_hand_land_near_the_honest_payback(
    price: float, wage: float, share: float, still: float
) -> None:
    """Price, hours, wage, freed, usable: with ramp-up, growth, new families and running cost off, within 15 %."""
    still_ramp = {f"catalogue.ramp_up_first_{month}": 1.0 for month in range(1, 5)}
    after = same(
        {**still_ramp, PRICE: price, "people.wage": wage, "people.share_usable": share, HOURS: still,
         "money.wage_growth": 0.0, "catalogue.new_families_per_y": 0.0, **NOT_IN_FIVE}
    )  # fmt: skip
    freed = (3_750.0 - still) / 3_750.0
    yearly = 3_750.0 * freed * share * after[SAME.estimate.worked_hour]
    if yearly < 1.0 or 12.0 * price / yearly > 500.0 or after[SAME.estimate.own] > 0.1 * price:
        return
    assert payback(after) == pytest.approx(12.0 * price / yearly, rel=0.15)


@given(
    st.floats(0.0, 1e6),
    st.tuples(st.floats(-1e5, 1e6), st.floats(-1e5, 1e6), st.floats(-1e5, 0.0)),
    st.lists(st.floats(0.0, 1.0), min_size=1, max_size=12),
    st.floats(-0.1, 0.1),
)
def test_measures_stay_defined_whatever_comes_in(
    outlay: float, yearly: tuple[float, float, float], ramp_up: list[float], growth: float
) -> None:
    """A payback may be infinite, a rate -1; never an error, never not a number: draws go through all of them."""
    inputs = {"yearly_money": yearly, "growths": (growth, 0.0, growth), "ramp_up": tuple(ramp_up)}
    figures = [
        REGISTER["payback_months"].function(outlay, **inputs),
        REGISTER["discounted_payback_months"].function(outlay, **inputs, rate=0.08),
        REGISTER["npv_money"].function(outlay, **inputs, rate=0.08, horizon_y=8.0),
        REGISTER["yearly_return"].function(outlay, **inputs, horizon_y=8.0, residual_money=0.0),
        REGISTER["first_payback_months"].function(outlay, **inputs),
        REGISTER["balance_crossings"].function(outlay, **inputs),
        REGISTER["balance_money"].function(outlay, **inputs, months=24.0),
    ]

    assert not any(math.isnan(figure) for figure in figures)

"""Many draws at once against the registered formulas, draw by draw; and what such a loop must hold whatever comes."""

import math
from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np
import numpy_financial
import pytest

from millhand.errors import ToolError
from millhand.formulas.cashflow import discounted_payback_months, npv_money, payback_months, years_money
from millhand.formulas.money import annual_worth, profitability_index
from millhand.formulas.rates import internal_rate, internal_rates, modified_internal_rate
from millhand.solvers.cashflow.draws import Draws, Floats, Measures, measured

COUNT = 60
NAMES = [field.name for field in fields(Measures)]


def cases(count: int, *, seed: int, ramp: int = 6, falling: bool = False) -> Draws:
    """Anything that a shop may meet, and more: losses, nothing paid, no interest, horizons that are no whole years."""
    chance = np.random.default_rng(seed)
    labour, output = (chance.normal(mean, 40_000.0, count) for mean in (50_000.0, 10_000.0))
    running, growth = chance.uniform(0.0, 40_000.0, count), chance.uniform(-0.19, 0.29, count)
    rate = chance.uniform(0.0, 0.3, count) * (chance.random(count) > 0.1)
    return Draws(
        outlay_money=chance.uniform(0.0, 300_000.0, count) * (chance.random(count) > 0.1),
        yearly_money=np.column_stack((labour, -3.0 * np.abs(output) if falling else output, -running)),
        growths=np.column_stack((growth, 0.0 * growth, growth)),
        ramp_up=np.sort(chance.random((count, ramp)), axis=1),
        rate=rate,
        horizon_y=chance.uniform(1.0, 20.0, count).round(int(seed) % 3),
        residual_money=np.zeros(count),
    )


def flows_of(draws: Draws, draw: int) -> dict[str, list[float]]:
    """What every formula takes of one draw."""
    return {name: getattr(draws, name)[draw].tolist() for name in ("yearly_money", "growths", "ramp_up")}


def years_of(draws: Draws, draw: int) -> list[float]:
    """What is paid before and every year of one draw, by the formula, what is left at the horizon in the last."""
    years = years_money(**flows_of(draws, draw), horizon_y=draws.horizon_y[draw])
    return [-draws.outlay_money[draw], *years[:-1], years[-1] + draws.residual_money[draw]]


def by_formulas(draws: Draws, draw: int) -> dict[str, float]:
    """All measures of one draw by the registered formulas."""
    rate, outlay = draws.rate[draw], draws.outlay_money[draw]
    flows, years = flows_of(draws, draw), years_of(draws, draw)
    worth = npv_money(outlay, **flows, rate=rate, horizon_y=draws.horizon_y[draw])
    only = internal_rate(years)
    return {
        "payback_months": payback_months(outlay, **flows),
        "discounted_payback_months": discounted_payback_months(outlay, **flows, rate=rate),
        "npv_money": worth + draws.residual_money[draw] / (1.0 + rate) ** (len(years) - 1),
        "irr": math.nan if only is None else only,
        "rates_n": float(len(internal_rates(years))),
        "mirr": modified_internal_rate(years, finance_rate=rate, reinvest_rate=rate) if min(years) < 0.0 else math.nan,
        "annual_worth_money": annual_worth(years, rate=rate),
        "profitability": profitability_index(years, rate=rate) if outlay > 0.0 else math.nan,
    }


def alike(found: Sequence[float], known: Sequence[float]) -> bool:
    """To nine digits, or a millionth of a money's unit; what does not exist exists in neither."""
    return bool(np.allclose(found, known, rtol=1e-9, atol=1e-9, equal_nan=True))


@pytest.mark.parametrize(("seed", "ramp", "falling"), [(1, 6, False), (2, 12, False), (3, 20, True), (4, 1, True)])
def test_every_draw_is_as_the_formulas_have_it(seed: int, ramp: int, falling: bool) -> None:
    """Paybacks, worths and rates of each draw, those that never come and those that do not exist among them."""
    draws = cases(COUNT, seed=seed, ramp=ramp, falling=falling)
    found = measured(draws)
    known = [by_formulas(draws, draw) for draw in range(COUNT)]

    for name in NAMES:
        assert alike(getattr(found, name), [each[name] for each in known]), name
    assert 0 < np.isinf(found.payback_months).sum() < COUNT
    assert np.isnan(found.irr).any()


def test_what_is_left_at_the_horizon_comes_in_with_the_last_year() -> None:
    """Worths and rates as of years whose last one holds it; paybacks do not wait for it."""
    plain = cases(COUNT, seed=2)
    draws = replace(plain, residual_money=np.linspace(0.0, 50_000.0, COUNT))
    found = measured(draws)
    known = [by_formulas(draws, draw) for draw in range(COUNT)]

    for name in ("npv_money", "irr", "mirr", "annual_worth_money"):
        assert alike(getattr(found, name), [each[name] for each in known]), name
    assert np.array_equal(found.payback_months, measured(plain).payback_months)


def two_years(yearly: float, *, last: float) -> Draws:
    """100 paid, the same amount in two years, and something more, or to be paid, at the end of the second."""
    return Draws(
        outlay_money=np.array([100.0]),
        yearly_money=np.array([[yearly]]),
        growths=np.zeros((1, 1)),
        ramp_up=np.ones((1, 1)),
        rate=np.array([0.1]),
        horizon_y=np.array([2.0]),
        residual_money=np.array([last]),
    )


def test_two_rates_are_counted_and_the_smaller_one_is_told() -> None:
    """-100, 230, -132 has 10 % and 20 %; -100, 200, -100.5 has none."""
    two, none = measured(two_years(230.0, last=-362.0)), measured(two_years(200.0, last=-300.5))

    assert two.rates_n[0] == 2.0
    assert two.irr[0] == pytest.approx(0.1, abs=1e-12)
    assert none.rates_n[0] == 0.0
    assert math.isnan(none.irr[0])


def test_a_library_of_finance_has_the_same_rates() -> None:
    """Years that change sign once: internal and modified rate, to nine digits."""
    draws = cases(40, seed=5)
    found = measured(draws)
    alone = [draw for draw in range(40) if found.rates_n[draw] == 1.0 and found.irr[draw] > 0.0]

    assert len(alone) > 10
    for draw in alone:
        years = years_of(draws, draw)
        assert found.irr[draw] == pytest.approx(numpy_financial.irr(years), rel=1e-9)
        rate = draws.rate[draw]
        assert found.mirr[draw] == pytest.approx(numpy_financial.mirr(years, rate, rate), rel=1e-9)


def test_lines_that_are_split_are_worth_the_same() -> None:
    """A gain as two halves and a cost as two: each line has its own sign and growth, their sum is what counts."""
    plain = cases(COUNT, seed=1)
    halves = replace(
        plain,
        yearly_money=np.repeat(plain.yearly_money / 2.0, 2, axis=1),
        growths=np.repeat(plain.growths, 2, axis=1),
    )

    for name in NAMES:
        assert alike(getattr(measured(halves), name), getattr(measured(plain), name)), name


def test_draws_do_not_know_of_each_other() -> None:
    """The same bits for a draw whatever stands before it."""
    draws = cases(30, seed=3)
    turned = Draws(**{field.name: getattr(draws, field.name)[::-1].copy() for field in fields(Draws)})

    for name in NAMES:
        assert np.array_equal(getattr(measured(turned), name)[::-1], getattr(measured(draws), name), equal_nan=True)


@pytest.mark.parametrize(
    ("name", "value", "code"),
    [
        ("growths", np.zeros((30, 2)), "draws_unlike"),
        ("ramp_up", np.ones((29, 6)), "draws_unlike"),
        ("rate", np.full(30, -1.0), "draws_beyond"),
        ("horizon_y", np.full(30, 51.0), "draws_beyond"),
        ("horizon_y", np.zeros(30), "draws_beyond"),
    ],
)
def test_what_the_loop_could_not_hold_is_refused(name: str, value: Floats, code: str) -> None:
    """Tables of unlike shapes, a rate at which nothing can be discounted, years that are not counted."""
    with pytest.raises(ToolError) as refused:
        measured(replace(cases(30, seed=1), **{name: value}))

    assert refused.value.code == code

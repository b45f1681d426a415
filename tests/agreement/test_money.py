"""Money by other ways: a general-purpose library, exact fractions, every month on its own."""

import random
import warnings
from collections.abc import Sequence
from fractions import Fraction

import numpy_financial
import pytest

from millhand.formulas.depreciation import declining_balance_depreciation, sum_of_years_depreciation
from millhand.formulas.money import annual_worth, loan_interest, loan_payment, present_worth, profitability_index
from millhand.formulas.rates import internal_rate, internal_rates, modified_internal_rate, sign_changes
from tests.checks import OWN, Check, assert_holds

FLOWS = (-182_000.0, 41_000.0, 66_500.0, 66_500.0, 58_000.0, 66_500.0, 21_000.0)
SECOND_OUTLAY = (-100.0, 80.0, 60.0, -90.0, 70.0, 40.0)


def exact_worth(flows: Sequence[float], rate: Fraction) -> float:
    """Present worth in exact fractions."""
    return float(sum(Fraction(amount) / (1 + rate) ** period for period, amount in enumerate(flows)))


CHECKS = [
    Check(
        formula="internal_rates",
        inputs={"flows_money": (-100.0, 230.0, -132.0)},
        expected=0.20,
        pick=lambda rates: float(rates[1]),
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="present_worth",
        inputs={"flows_money": FLOWS, "rate": 0.125},
        expected=exact_worth(FLOWS, Fraction(1, 8)),
        key="numpyfinancial",
        seen=OWN,
    ),
    Check(
        formula="present_worth",
        inputs={"flows_money": FLOWS, "rate": 0.09},
        expected=lambda: float(numpy_financial.npv(0.09, FLOWS)),
        key="numpyfinancial",
        seen=OWN,
    ),
    Check(
        formula="internal_rate",
        inputs={"flows_money": FLOWS},
        expected=lambda: float(numpy_financial.irr(FLOWS)),
        key="numpyfinancial",
        seen=OWN,
    ),
    Check(
        formula="internal_rate",
        inputs={"flows_money": (-100.0, 230.0, -132.0)},
        expected=0.10,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="sign_changes",
        inputs={"flows_money": (-100.0, 230.0, 0.0, -132.0)},
        expected=2.0,
        key="newnan2004",
        seen=OWN,
    ),
    Check(
        formula="annuity_factor",
        inputs={"rate": 0.125, "years": 8},
        expected=exact_worth((0.0, *(1.0,) * 8), Fraction(1, 8)),
        key="own_computation",
        seen=OWN,
    ),
    Check(formula="annuity_factor", inputs={"rate": 0.0, "years": 8}, expected=8.0, key="own_computation", seen=OWN),
    Check(
        formula="loan_payment",
        inputs={"principal_money": 90_000.0, "rate": 0.07 / 12, "periods": 60},
        expected=lambda: -float(numpy_financial.pmt(0.07 / 12, 60, 90_000.0)),
        key="numpyfinancial",
        seen=OWN,
    ),
    Check(
        formula="real_rate",
        inputs={"rate": 0.10, "escalation": 0.04},
        printed="0.0576923",
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="break_even_volume",
        inputs={"fixed_money": 60_000.0, "price_money_per_part": 12.0, "variable_money_per_part": 7.0},
        expected=12_000.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # back to the last unit after one year, and never below zero again
        formula="simple_payback_y",
        inputs={"flows_money": (-100.0, 100.0, 0.0, 50.0)},
        expected=1.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(  # back after 1.33 years, below zero again in the third, back for good in the fourth
        formula="simple_payback_y",
        inputs={"flows_money": SECOND_OUTLAY},
        expected=3.0 + 50.0 / 70.0,
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_two_ways_agree(check: Check) -> None:
    """Both ways give the same number."""
    assert_holds(check)


def test_the_smallest_of_several_rates_is_given_and_the_signs_tell() -> None:
    """10 % and 20 % both bring the present worth to zero: 10 % is named, and two sign changes warn."""
    flows = (-100.0, 230.0, -132.0)

    assert internal_rate(flows) == pytest.approx(0.10)
    assert sign_changes(flows) == 2
    assert numpy_financial.npv(0.20, flows) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("flows", [(100.0, 50.0), (-100.0, -5.0), (0.0, 0.0), (), (-100.0, 60.0, -10.0, 0.0, -5.0)])
def test_no_rate_is_none(flows: tuple[float, ...]) -> None:
    """One sign only, or a present worth that is negative at every rate: there is no internal rate."""
    assert internal_rate(flows) is None


def test_a_long_row_of_months_with_a_second_outlay() -> None:
    """Ten years of months with a new gripper in the sixth year: the rate found is a root."""
    flows = [-182_000.0, *(4_000.0 if month != 66 else -30_000.0 for month in range(120))]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library warns of what it meets on the way
        other = float(numpy_financial.irr(flows))

    assert internal_rate(flows) == pytest.approx(other, rel=1e-9)


def drawn(seed: int) -> list[float]:
    """An outlay, flows of either sign after it, and at last something that comes in."""
    chance = random.Random(seed)
    return [-100.0, *(chance.uniform(-40.0, 90.0) for _ in range(chance.randint(2, 12))), chance.uniform(1.0, 50.0)]


@pytest.mark.parametrize("seed", range(200))
def test_rates_of_random_flows_agree_with_the_library(seed: int) -> None:
    """Every rate brings the worth to nought by the library; no more of them than changes of sign; the modified one."""
    flows = drawn(seed)
    rates = internal_rates(flows)

    assert len(rates) <= sign_changes(flows)
    assert list(rates) == sorted(rates)
    for rate in rates:
        size = sum(abs(amount) / (1.0 + rate) ** period for period, amount in enumerate(flows))
        assert float(numpy_financial.npv(rate, flows)) == pytest.approx(0.0, abs=1e-8 * size)
    assert (internal_rate(flows) is None) == (not rates)
    own = modified_internal_rate(flows, finance_rate=0.09, reinvest_rate=0.05)
    assert own == pytest.approx(float(numpy_financial.mirr(flows, 0.09, 0.05)), rel=1e-9)


@pytest.mark.parametrize("seed", range(50))
def test_no_rate_is_overlooked(seed: int) -> None:
    """A fine walk from -98 % to 2 000 % finds a change of sign of the worth only where a rate lies."""
    flows = drawn(seed)
    marks = [-0.98 + 0.001 * step for step in range(2_980)] + [2.0 + 0.05 * step for step in range(361)]
    worths = [float(numpy_financial.npv(rate, flows)) for rate in marks]
    crossed = [
        (low, high)
        for low, high, one, other in zip(marks, marks[1:], worths, worths[1:], strict=False)
        if one * other < 0.0
    ]
    rates = [rate for rate in internal_rates(flows) if marks[0] < rate < marks[-1]]

    assert all(any(low <= rate <= high for rate in rates) for low, high in crossed)


@pytest.mark.parametrize("factor", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("life", [1.0, 3.0, 8.0])
def test_no_way_spreads_more_than_the_price_less_what_is_left(factor: float, life: float) -> None:
    """Each year from nought up, and all years together at most the difference; by years' digits exactly."""
    about = {"cost_money": 80_000.0, "salvage_money": 9_000.0, "life_y": life}
    years = [float(year) for year in range(1, round(life) + 1)]
    declining = [declining_balance_depreciation(**about, year=year, factor=factor) for year in years]

    assert min(declining) >= 0.0
    assert sum(declining) <= 71_000.0 * (1.0 + 1e-12)
    assert sum(sum_of_years_depreciation(**about, year=year) for year in years) == pytest.approx(71_000.0)


@pytest.mark.parametrize("seed", range(50))
def test_annual_worth_and_index_are_the_present_worth_in_other_words(seed: int) -> None:
    """The same amount each year is worth the flows; the index less one, times the outlay, is the present worth."""
    flows = drawn(seed)
    worth = present_worth(flows, rate=0.08)
    even = annual_worth(flows, rate=0.08)

    assert present_worth([0.0, *[even] * (len(flows) - 1)], rate=0.08) == pytest.approx(worth, abs=1e-9)
    assert (profitability_index(flows, rate=0.08) - 1.0) * 100.0 == pytest.approx(worth, abs=1e-9)


def test_what_interest_leaves_of_a_payment_pays_the_loan_off() -> None:
    """Principal by the library, month for month, and in all the loan; without interest there is none."""
    payment = loan_payment(90_000.0, rate=0.07 / 12, periods=60.0)
    interest = [loan_interest(90_000.0, rate=0.07 / 12, periods=60.0, period=month + 1.0) for month in range(60)]

    assert sum(payment - each for each in interest) == pytest.approx(90_000.0)
    assert interest == pytest.approx([-float(numpy_financial.ipmt(0.07 / 12, n, 60, 90_000.0)) for n in range(1, 61)])
    assert loan_interest(90_000.0, rate=0.0, periods=60.0, period=7.0) == 0.0

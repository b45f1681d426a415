"""Money by other ways: a general-purpose library, exact fractions, every month on its own."""

import warnings
from collections.abc import Sequence
from fractions import Fraction

import numpy_financial
import pytest

from millhand.formulas.rates import internal_rate, sign_changes
from tests.checks import OWN, Check, assert_holds

FLOWS = (-182_000.0, 41_000.0, 66_500.0, 66_500.0, 58_000.0, 66_500.0, 21_000.0)
SECOND_OUTLAY = (-100.0, 80.0, 60.0, -90.0, 70.0, 40.0)


def exact_worth(flows: Sequence[float], rate: Fraction) -> float:
    """Present worth in exact fractions."""
    return float(sum(Fraction(amount) / (1 + rate) ** period for period, amount in enumerate(flows)))


CHECKS = [
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

"""numpyfinancial: the examples in the docstrings of a general-purpose library; spreadsheet: help pages of NPV and IRR.

A spreadsheet's NPV discounts its first value too; ours begins at t = 0, so a leading zero makes them comparable.
"""

from collections.abc import Sequence

import numpy_financial
import pytest

from millhand.formulas.money import loan_interest
from tests.checks import MEMORY, OWN, SEEN, Check, Seen, assert_holds


def rate_of(flows: Sequence[float], printed: str, *, key: str = "numpyfinancial", seen: Seen = SEEN) -> Check:
    """An internal rate."""
    return Check(formula="internal_rate", inputs={"flows_money": flows}, printed=printed, key=key, seen=seen)


def worth_of(rate: float, flows: Sequence[float], printed: str, *, key: str, seen: Seen = SEEN) -> Check:
    """A present worth."""
    return Check(
        formula="present_worth", inputs={"flows_money": flows, "rate": rate}, printed=printed, key=key, seen=seen
    )


def spread(formula: str, year: float, printed: str, **inputs: float) -> Check:
    """The depreciation of one year as a help page has it."""
    return Check(formula=formula, inputs=inputs | {"year": year}, printed=printed, key="spreadsheet", seen=MEMORY)


DECLINING = {"cost_money": 2_400.0, "salvage_money": 300.0, "life_y": 10.0, "factor": 2.0}
DIGITS = {"cost_money": 30_000.0, "salvage_money": 7_500.0, "life_y": 10.0}
MODIFIED = {"finance_rate": 0.10, "reinvest_rate": 0.12}

CHECKS = [
    *(
        Check(
            formula="modified_internal_rate",
            inputs=MODIFIED | {"flows_money": flows},
            printed=printed,
            key="spreadsheet",
            seen=MEMORY,
        )
        for flows, printed in (
            ((-120_000, 39_000, 30_000, 21_000, 37_000, 46_000), "0.1261"),
            ((-120_000, 39_000, 30_000, 21_000), "-0.048"),
        )
    ),
    spread("declining_balance_depreciation", 1.0, "480.00", **DECLINING),
    spread("declining_balance_depreciation", 2.0, "306.00", **DECLINING | {"factor": 1.5}),
    spread("declining_balance_depreciation", 10.0, "22.12", **DECLINING),
    spread("sum_of_years_depreciation", 1.0, "4090.91", **DIGITS),
    spread("sum_of_years_depreciation", 10.0, "409.09", **DIGITS),
    Check(
        formula="loan_interest",
        inputs={"principal_money": 2_500.0, "rate": 0.0824 / 12, "periods": 12, "period": 1.0},
        printed="17.17",
        key="numpyfinancial",
        seen=SEEN,
    ),
    Check(
        formula="loan_interest",
        inputs={"principal_money": 2_500.0, "rate": 0.0824 / 12, "periods": 12, "period": 12.0},
        expected=lambda: -float(numpy_financial.ipmt(0.0824 / 12, 12, 12, 2_500.0)),
        key="numpyfinancial",
        seen=OWN,
    ),
    worth_of(0.08, (-40_000, 5_000, 8_000, 12_000, 30_000), "3065.22267", key="numpyfinancial"),
    worth_of(0.065, (0, 5_000), "4694.83568075117", key="formcalc"),
    worth_of(0.0275 / 12, (0, 50, 60, 40, 100, 25), "273.14193838457", key="formcalc"),
    worth_of(0.065, (0, -10_000, 3_000, 3_400, 7_700), "2055.38", key="spreadsheet"),
    worth_of(0.10, (0, -10_000, 3_000, 4_200, 6_800), "1188.44", key="spreadsheet", seen=MEMORY),
    worth_of(0.08, (-40_000, 8_000, 9_200, 10_000, 12_000, 14_500), "1922.06", key="spreadsheet", seen=MEMORY),
    rate_of((-100, 39, 59, 55, 20), "0.28095"),
    rate_of((-100, 0, 0, 74), "-0.0955"),
    rate_of((-100, 100, 0, 7), "0.06206"),
    rate_of((-100, 100, 0, -7), "-0.0833"),
    rate_of((-5, 10.5, 1, -8, 1), "0.0886"),
    rate_of((-70_000, 12_000, 15_000, 18_000, 21_000, 26_000), "0.0866", key="spreadsheet", seen=MEMORY),
    rate_of((-70_000, 12_000, 15_000, 18_000, 21_000), "-0.0212", key="spreadsheet", seen=MEMORY),
    Check(
        formula="loan_payment",
        inputs={"principal_money": 200_000.0, "rate": 0.075 / 12, "periods": 180},
        printed="1854.0247200054619",
        exact=True,
        key="numpyfinancial",
        seen=SEEN,
    ),
    Check(  # first payment of the loan table: principal 200.58 and interest 17.17
        formula="loan_payment",
        inputs={"principal_money": 2_500.0, "rate": 0.0824 / 12, "periods": 12},
        printed="200.58",
        pick=lambda payment: payment - 2_500.0 * 0.0824 / 12,
        key="numpyfinancial",
        seen=SEEN,
    ),
    Check(
        formula="loan_payment",
        inputs={"principal_money": 2_500.0, "rate": 0.0824 / 12, "periods": 12},
        printed="112.98",
        pick=lambda payment: 12 * payment - 2_500.0,
        key="numpyfinancial",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_financial_examples(check: Check) -> None:
    """Each documented value comes out to its last printed digit."""
    assert_holds(check)


def test_the_interest_of_the_loan_table_adds_up() -> None:
    """Twelve months of it: 112.98, and with the principal every payment is the same."""
    months = [loan_interest(2_500.0, rate=0.0824 / 12, periods=12.0, period=float(month)) for month in range(1, 13)]

    assert round(sum(months), 2) == 112.98
    assert months == sorted(months, reverse=True)

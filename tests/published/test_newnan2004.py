"""newnan2004: compound interest tables, column P/A, and textbook factors."""

import pytest

from tests.checks import MEMORY, Check, assert_holds

AT_35_PERCENT = {5: "2.220", 10: "2.715", 20: "2.850"}  # years: P/A as printed
FACTORS = {(0.10, 5): "3.79079", (0.08, 10): "6.71008"}
PAYMENTS = {(0.10, 5): "0.2638", (0.12, 4): "0.32923", (0.15, 8): "0.22285"}

CHECKS = [
    *(
        Check(
            formula="annuity_factor",
            inputs={"rate": 0.35, "years": years},
            printed=printed,
            key="newnan2004",
            seen=MEMORY,
        )
        for years, printed in AT_35_PERCENT.items()
    ),
    *(
        Check(
            formula="annuity_factor",
            inputs={"rate": rate, "years": years},
            printed=printed,
            key="newnan2004",
            seen=MEMORY,
        )
        for (rate, years), printed in FACTORS.items()
    ),
    *(
        Check(
            formula="loan_payment",
            inputs={"principal_money": 1.0, "rate": rate, "periods": years},
            printed=printed,
            key="newnan2004",
            seen=MEMORY,
        )
        for (rate, years), printed in PAYMENTS.items()
    ),
    Check(  # 30 000 down to 7 500 in ten years
        formula="straight_line_depreciation",
        inputs={"cost_money": 30_000.0, "salvage_money": 7_500.0, "years": 10.0},
        printed="2250",
        exact=True,
        key="spreadsheet",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_interest_tables(check: Check) -> None:
    """Factors are reproduced to their last printed digit."""
    assert_holds(check)

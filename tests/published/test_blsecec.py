"""blsecec: wages, benefits and total of an hour worked."""

import pytest

from tests.checks import SEEN, Check, assert_holds

CIVILIAN_2018 = {"wage_money_per_h": 25.03, "on_cost_share": 11.60 / 25.03}

CHECKS = [
    Check(formula="loaded_wage_per_h", inputs=CIVILIAN_2018, printed="36.63", key="blsecec", seen=SEEN),
    Check(
        formula="loaded_wage_per_h",
        inputs={"wage_money_per_h": 24.36, "on_cost_share": 10.37 / 24.36},
        printed="34.72",
        expected=34.73,
        key="blsecec",
        seen=SEEN,
        erratum="total rounded on its own; the rounded parts 24.36 and 10.37 add to 34.73",
    ),
    Check(
        formula="loaded_wage_per_h",
        inputs=CIVILIAN_2018,
        printed="68.3",
        pick=lambda total: 25.03 / total * 100.0,
        key="blsecec",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_cost_of_an_hour(check: Check) -> None:
    """Wage and benefits add to the printed cost of an hour."""
    assert_holds(check)

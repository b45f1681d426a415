"""Between which amounts an estimate of the concept stage ends: 20 % below, 40 % above."""

import pytest

from tests.checks import OWN, Check, assert_holds

CHECKS = [
    Check(
        formula="usual_low_money",
        inputs={"amount_money": 200_000.0, "accuracy_share": 0.2},
        expected=200_000.0 - 40_000.0,
        key="common_practice",
        seen=OWN,
    ),
    Check(
        formula="usual_high_money",
        inputs={"amount_money": 200_000.0, "accuracy_share": 0.4},
        expected=200_000.0 + 80_000.0,
        key="common_practice",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_both_ends(check: Check) -> None:
    """A share taken off, a share put on."""
    assert_holds(check)

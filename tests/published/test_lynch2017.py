"""lynch2017: time scalings as in the book's code examples."""

import pytest

from tests.checks import SEEN, Check, assert_holds

CHECKS = [
    Check(
        formula="cubic_scaling",
        inputs={"time_s": 0.6, "total_s": 2.0},
        printed="0.216",
        exact=True,
        key="lynch2017",
        seen=SEEN,
    ),
    Check(
        formula="quintic_scaling",
        inputs={"time_s": 0.6, "total_s": 2.0},
        printed="0.16308",
        exact=True,
        key="lynch2017",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_time_scaling(check: Check) -> None:
    """The scaled path parameter comes out to its last printed digit."""
    assert_holds(check)

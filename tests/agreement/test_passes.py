"""Parts that come to the same machines several times: each formula against a second way of counting."""

import pytest

from tests.checks import OWN, Check, assert_holds

CHECKS = [
    Check(
        formula="finished_in_pieces",
        inputs={"pieces": 401.0, "passes": 2.0},
        key="own_computation",
        seen=OWN,
        expected=200.5,
    ),
    Check(
        formula="of_all_passes",
        inputs={"each": 20.0, "passes": 3.0},
        key="own_computation",
        seen=OWN,
        expected=lambda: sum([20.0] * 3),
    ),
    Check(
        formula="between_calls_parts",
        inputs={"each_parts": [180.0, 300.0]},
        key="own_computation",
        seen=OWN,
        expected=lambda: 900.0 / (900 // 180 + 900 // 300),  # over 900 parts: 5 calls of one pass, 3 of the other
    ),
    Check(
        formula="loads_in_phases_per_h",
        inputs={"mean_per_h": 24.0, "share": 0.875},
        key="own_computation",
        seen=OWN,
        expected=lambda: 24.0 - 24.0 / 8.0,
    ),
    Check(
        formula="loads_in_turn_per_h",
        inputs={"loads_s": [228.0, 106.8]},
        key="own_computation",
        seen=OWN,
        expected=lambda: 2 * 500 / (500 * 228.0 / 3600 + 500 * 106.8 / 3600),  # 500 loads of each, in hours
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_passes_agree_with_a_second_way(check: Check) -> None:
    """Pieces and finished parts, and what each pass calls for on its own."""
    assert_holds(check)

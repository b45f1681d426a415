"""What cheap changes by hand make of times and hours: each formula against a second way of counting."""

import pytest

from tests.checks import OWN, Check, assert_holds

CHECKS = [
    Check(
        formula="parts_in_load",
        inputs={"parts_per_load": 3.0, "times": 2.0},
        key="own_computation",
        seen=OWN,
        expected=6.0,
    ),
    Check(
        formula="moved_inside_s",
        inputs={
            "times_s": [18.0, 60.0], "every_n": [1.0, 10.0], "allowances": [0.1, 0.2], "step_shares": [0.5, 1.0],
            "moved_share": 0.8,
        },
        key="own_computation",
        seen=OWN,
        expected=lambda: sum(([18.0 / 2] * 10) + [9.0 * 0.1] * 10 + [60.0, 12.0]) / 10 * 0.8,  # over ten loads
    ),
    Check(
        formula="time_left_s",
        inputs={"time_s": 40.0, "less_s": 12.5},
        key="own_computation",
        seen=OWN,
        expected=27.5,
    ),
    Check(
        formula="time_left_s",
        inputs={"time_s": 10.0, "less_s": 12.5},
        key="own_computation",
        seen=OWN,
        expected=0.0,
    ),
    Check(
        formula="changed_h_per_y",
        inputs={"assigned_h": 3750.0, "more_h": 250.0, "less_h": 1000.0},
        key="own_computation",
        seen=OWN,
        expected=lambda: 3750.0 * 0.8,  # a fifth fewer in all
    ),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_changes_by_hand_agree_with_a_second_way(check: Check) -> None:
    """Times of a load and hours of a year after a change."""
    assert_holds(check)

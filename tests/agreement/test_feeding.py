"""Machines that feed themselves, stop by themselves or hold hands: each formula against a second way of counting."""

import pytest

from tests.checks import OWN, Check, assert_holds


def cut_one_by_one(bar_mm: float, remnant_mm: float, part_mm: float, cut_off_mm: float) -> float:
    """Parts of a bar, counted by cutting it down to its remnant."""
    parts = 0
    while bar_mm - part_mm - cut_off_mm >= remnant_mm:
        bar_mm, parts = bar_mm - part_mm - cut_off_mm, parts + 1
    return float(parts)


BAR = {"remnant_m": 0.2, "part_m": 0.06, "cut_off_m": 0.003}
CHECKS = [
    Check(
        formula="cycles_from_bars", inputs=BAR | {"bar_m": 3.0, "bars": 1.0},
        key="own_computation", seen=OWN, expected=lambda: cut_one_by_one(3000, 200, 60, 3),
    ),
    Check(
        formula="cycles_from_bars", inputs=BAR | {"bar_m": 0.2 + 44 * 0.063, "bars": 5.0},  # the last part fits exactly
        key="own_computation", seen=OWN, expected=5 * 44.0,
    ),
    Check(
        formula="self_fed_run_s", inputs={"cycle_s": 50.0, "cycles": 44.0, "own_stops_s": [25.0, 30.0]},
        key="own_computation", seen=OWN, expected=lambda: sum([50.0] * 44) + 25.0 + 30.0,
    ),
    Check(
        formula="own_stop_s", inputs={"takes_s": 40.0, "every": 20.0, "times": 3.0},
        key="own_computation", seen=OWN, expected=lambda: sum(40.0 for part in range(3000) if part % 20 == 0) / 1000.0,
    ),
    Check(
        formula="hands_bound_s", inputs={"run_s": 2.4, "bound_share": 0.75},
        key="own_computation", seen=OWN, expected=1.8,
    ),
    Check(
        formula="loads_between", inputs={"every_parts": 50.0, "parts_per_cycle": 4.0, "cycles": 5.0},
        key="own_computation", seen=OWN, expected=lambda: 1000 / (20 * 1000 / 50),  # loads by times, over 1000 loads
    ),
    Check(
        formula="in_time_share", inputs={"late_per_h": 3.0, "loads_per_h": 60.0},
        key="own_computation", seen=OWN, expected=lambda: 57 / 60,
    ),
]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_feeding_agrees_with_a_second_way(check: Check) -> None:
    """Parts of a bar cut one by one, stops counted part by part."""
    assert_holds(check)

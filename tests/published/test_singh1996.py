"""singh1996: a single-machine robotic cell, cycle and units of a shift."""

import pytest

from tests.checks import OWN, SEEN, Check, assert_holds

MOVES = (1.5, 0.5, 4.0, 1.0, 1.5, 0.5, 5.0)  # seconds, in the order of the book

CHECKS = [
    Check(
        formula="attendant_work_s", inputs={"elements_s": MOVES}, printed="14.0", exact=True, key="singh1996", seen=SEEN
    ),
    Check(
        formula="machine_bound_cycle_s",
        inputs={"machining_s": 35.0, "gap_s": sum(MOVES)},
        printed="49",
        exact=True,
        key="singh1996",
        seen=SEEN,
    ),
    Check(
        formula="units_per_shift",
        inputs={"cycle_s": 49.0, "shift_h": 8.0, "availability_share": 0.85},
        printed="500",
        key="singh1996",
        seen=SEEN,
    ),
    Check(
        formula="units_per_shift",
        inputs={"cycle_s": 49.0, "shift_h": 8.0, "availability_share": 0.85},
        expected=24_480.0 / 49.0,
        key="own_computation",
        seen=OWN,
    ),
    Check(
        formula="machine_bound_cycle_s",
        inputs={"machining_s": 35.0, "gap_s": sum(MOVES)},
        printed="0.7142",
        expected=lambda: 35.0 / 49.0,
        pick=lambda cycle_s: 35.0 / cycle_s,
        key="singh1996",
        seen=SEEN,
        erratum="utilisation cut off after four digits; 35 / 49 = 0.714286 rounds to 0.7143",
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_single_machine_cell(check: Check) -> None:
    """Cycle and output of a shift come out as printed."""
    assert_holds(check)

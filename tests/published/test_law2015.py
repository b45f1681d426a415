"""law2015, ch. 9: the bank with ten replications; qcicre: tests without a failure."""

import pytest

from tests.checks import MEMORY, SEEN, Check, assert_holds

DELAYS = (1.53, 1.66, 1.24, 2.34, 2.00, 1.69, 2.69, 2.86, 1.70, 2.60)

CHECKS = [
    Check(
        formula="mean_half_width",
        inputs={"values": DELAYS, "confidence": 0.90},
        printed="0.3223",
        key="law2015",
        seen=MEMORY,
    ),
    Check(
        formula="zero_fault_runs",
        inputs={"reliability": 0.99, "confidence": 0.95},
        printed="298",
        expected=299.0,
        key="qcicre",
        seen=SEEN,
        erratum="printed rounded to the nearest; 298.07 runs are needed, so 299 whole ones",
    ),
    Check(
        formula="zero_fault_lower_share",
        inputs={"runs": 30, "confidence": 0.90},
        printed="0.926",
        key="qcicre",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_intervals_and_demonstration(check: Check) -> None:
    """Interval, number of runs and lower bound come out as printed."""
    assert_holds(check)

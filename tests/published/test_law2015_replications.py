"""law2015, sec. 9.4.1: how many replications of the bank bring the half width down, absolute and relative."""

import pytest

from millhand.solvers.output.precision import replications_needed
from tests.checks import MEMORY, OWN, Check, assert_holds
from tests.published.test_law2015 import DELAYS

CHECKS = [
    Check(  # n_a*(0.25) at 90 %
        formula="replications_for_half_width",
        inputs={"values": DELAYS, "half_width": 0.25, "confidence": 0.90},
        printed="16",
        exact=True,
        key="law2015",
        seen=MEMORY,
    ),
    Check(  # a relative error of 0.10 is asked as 0.09 of the estimate
        formula="adjusted_precision",
        inputs={"precision": 0.10},
        printed="0.09",
        key="law2015",
        seen=MEMORY,
    ),
    Check(
        formula="adjusted_precision",
        inputs={"precision": 0.10},
        expected=1.0 / 11.0,
        key="own_computation",
        seen=OWN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_replications_for_a_half_width(check: Check) -> None:
    """Numbers of replications come out as printed."""
    assert_holds(check)


def test_replications_for_a_relative_error_come_out_as_printed() -> None:
    """n_r*(0.10) of the bank's ten delays at 90 % is 27, n_a*(0.25) is 16 (from memory, not re-read)."""
    assert replications_needed(DELAYS, precision=0.10, relative=True, level=0.90) == 27
    assert replications_needed(DELAYS, precision=0.25, relative=False, level=0.90) == 16

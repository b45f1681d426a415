"""anderson2019, finite calling population: the mechanic's example with six machines."""

import pytest

from tests.checks import MEMORY, Check, assert_holds

HOURS = {"machines": 6, "attendants": 1, "run_s": 20.0, "service_s": 2.0}  # the book counts in hours; so may we

CHECKS = [
    Check(
        formula="state_shares",
        inputs=HOURS,
        printed="0.4845",
        pick=lambda shares: float(shares[0]),
        key="anderson2019",
        seen=MEMORY,
    ),
    Check(formula="machines_waiting", inputs=HOURS, printed="0.3297", key="anderson2019", seen=MEMORY),
    Check(
        formula="machines_running",
        inputs=HOURS,
        printed="0.8451",
        pick=lambda running: 6.0 - running,
        key="anderson2019",
        seen=MEMORY,
    ),
    Check(formula="waiting_time_s", inputs=HOURS, printed="1.279", key="anderson2019", seen=MEMORY),
    Check(
        formula="waiting_time_s",
        inputs=HOURS,
        printed="3.279",
        pick=lambda waiting: waiting + 2.0,
        key="anderson2019",
        seen=MEMORY,
    ),
    Check(formula="all_busy_share", inputs=HOURS, printed="0.5155", key="anderson2019", seen=MEMORY),
    Check(
        formula="probability_wait",
        inputs=HOURS,
        printed="0.5155",
        expected=0.43604782314459745,
        key="anderson2019",
        seen=MEMORY,
        erratum="printed as the chance that a unit waits; it is the share of time, an arriving unit meets less",
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_mechanic_of_six_machines(check: Check) -> None:
    """Each printed figure of the example comes out, the waiting chance as the erratum says."""
    assert_holds(check)

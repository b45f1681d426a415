"""heizer2017, module D: five printers, two technicians."""

import pytest

from tests.checks import SEEN, Check, assert_holds

PRINTERS = {"machines": 5, "attendants": 2, "run_s": 20.0, "service_s": 2.0}

CHECKS = [
    Check(formula="servicing_efficiency", inputs=PRINTERS, printed="0.998", key="heizer2017", seen=SEEN),
    Check(formula="machines_running", inputs=PRINTERS, printed="4.54", key="heizer2017", seen=SEEN),
    Check(
        formula="probability_wait",
        inputs=PRINTERS,
        printed="0.044",
        expected=0.04521584941689968,
        key="heizer2017",
        seen=SEEN,
        erratum="read off a table at the nearest service factor; the exact factor 2 / 22 gives the other value",
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_printers(check: Check) -> None:
    """The printed figures come out, the chance of waiting as the erratum says."""
    assert_holds(check)

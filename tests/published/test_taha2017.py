"""taha2017, machine servicing: 22 machines, productivity by number of repairmen."""

import pytest

from tests.checks import MEMORY, Check, assert_holds

PRINTED = {1: "45.44", 3: "88.79", 4: "90.45"}  # repairmen: machine productivity in percent, as printed

CHECKS = [
    Check(
        formula="machines_running",
        inputs={"machines": 22, "attendants": repairmen, "run_s": 2.0, "service_s": 0.2},
        printed=printed,
        pick=lambda running: running / 22.0 * 100.0,
        key="taha2017",
        seen=MEMORY,
    )
    for repairmen, printed in PRINTED.items()
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_machine_productivity(check: Check) -> None:
    """The productivity is reproduced to its last printed digit."""
    assert_holds(check)

"""iso22400 figures of one shift, and nakajima1988's example of overall effectiveness."""

import pytest

from tests.checks import MEMORY, Check, assert_holds

MINUTE = 60.0
RUN = {"planned_s_per_part": 1.0 * MINUTE, "produced_parts": 320, "production_s": 340 * MINUTE}

CHECKS = [
    Check(
        formula="availability",
        inputs={"production_s": 340 * MINUTE, "planned_busy_s": 420 * MINUTE},
        printed="0.8095238095",
        key="iso22400",
        seen=MEMORY,
    ),
    Check(formula="effectiveness", inputs=RUN, printed="0.9411764706", key="iso22400", seen=MEMORY),
    Check(
        formula="quality",
        inputs={"good_parts": 312, "produced_parts": 320},
        printed="0.975",
        key="iso22400",
        seen=MEMORY,
    ),
    Check(
        formula="oee",
        inputs={"availability_share": 340 / 420, "effectiveness_share": 320 / 340, "quality_share": 0.975},
        printed="0.7428571429",
        key="iso22400",
        seen=MEMORY,
    ),
    Check(
        formula="oee",
        inputs={"availability_share": 0.8696, "effectiveness_share": 0.5, "quality_share": 0.98},
        printed="0.4261",
        key="nakajima1988",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_key_figures(check: Check) -> None:
    """Each key figure comes out to its last digit."""
    assert_holds(check)

"""groover2008, ch. 14: a machining cell with a carousel of 25 parts, batch of 250."""

import pytest

from tests.checks import SEEN, Check, assert_holds

MINUTE = 60.0
BASE = {
    "machining_s": 3.25 * MINUTE,
    "handling_s": 33.0,
    "tool_change_s": 4.0 * MINUTE,
    "parts_per_tool": 20,
    "setup_s": (20 + 50 + 40) * MINUTE,
    "batch": 250,
}


def minutes(seconds: float) -> float:
    """Seconds as the book counts them."""
    return seconds / MINUTE


CHECKS = [
    Check(formula="time_per_part_s", inputs=BASE, printed="4.44", pick=minutes, key="groover2008", seen=SEEN),
    Check(  # double gripper in 15 s, set-up outside the machine's time
        formula="time_per_part_s",
        inputs=BASE | {"handling_s": 15.0, "setup_s": 0.0},
        printed="3.70",
        exact=True,
        pick=minutes,
        key="groover2008",
        seen=SEEN,
    ),
    Check(
        formula="autonomy_s",
        inputs={"pockets": 25, "time_per_part_s": (3.25 + 0.55 + 0.20) * MINUTE, "machines": 1},
        printed="100",
        exact=True,
        pick=minutes,
        key="groover2008",
        seen=SEEN,
    ),
    Check(
        formula="autonomy_s",
        inputs={"pockets": 25, "time_per_part_s": (3.25 + 0.25) * MINUTE, "machines": 1},
        printed="87.5",
        pick=minutes,
        key="groover2008",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_carousel_cell(check: Check) -> None:
    """Time of a part and time alone come out to the last printed digit."""
    assert_holds(check)

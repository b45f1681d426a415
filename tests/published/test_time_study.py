"""hie2001 and time_study_exercises: rating, and allowance in both conventions."""

import pytest

from tests.checks import OWN, SEEN, Check, assert_holds

FIFTEEN = {"normal_s": 1.0, "allowance_share": 0.15}
FIVE_ELEMENTS = {"normal_s": 83.93, "allowance_share": 0.15}

CHECKS = [
    Check(formula="standard_time_of_shift_s", inputs=FIFTEEN, printed="1.17647", key="hie2001", seen=OWN),
    Check(formula="standard_time_s", inputs=FIFTEEN, printed="1.15", exact=True, key="hie2001", seen=OWN),
    Check(  # the same standard time by the other convention
        formula="allowance_on_work",
        inputs={"allowance_of_day": 0.15},
        printed="1.17647",
        pick=lambda share: 1.0 + share,
        key="hie2001",
        seen=OWN,
    ),
    Check(
        formula="normal_time_s",
        inputs={"observed_s": 30.0, "rating": 1.25},
        printed="37.5",
        exact=True,
        key="time_study_exercises",
        seen=SEEN,
    ),
    Check(
        formula="standard_time_s",
        inputs={"normal_s": 37.5, "allowance_share": 0.2},
        printed="45",
        exact=True,
        key="time_study_exercises",
        seen=SEEN,
    ),
    Check(
        formula="normal_time_s",
        inputs={"observed_s": 76.3, "rating": 1.1},
        printed="83.93",
        key="time_study_exercises",
        seen=SEEN,
    ),
    Check(formula="standard_time_s", inputs=FIVE_ELEMENTS, printed="96.5195", key="time_study_exercises", seen=SEEN),
    Check(
        formula="standard_time_of_shift_s",
        inputs=FIVE_ELEMENTS,
        printed="98.7412",
        key="time_study_exercises",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_rating_and_allowance(check: Check) -> None:
    """Normal and standard times come out; the two conventions differ as printed."""
    assert_holds(check)

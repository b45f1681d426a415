"""tolerance_exercises: chains of dimensions, worst case and root sum of squares; rack_exercise: a mass that rolls."""

import pytest

from tests.checks import SEEN, Check, assert_holds

PARTS = (0.005, 0.003, 0.002)  # of a stack, then its housing
BORE = (0.10, 0.05, 0.03, 0.05)  # mm: bore, spacer, ring, shoulder
RACK = {"mass_kg": 500.0, "rolling": 0.02, "gravity_m_s2": 9.81}


def chain(formula: str, links: tuple[float, ...], printed: str) -> Check:
    """One printed chain, in its own unit of length."""
    return Check(formula=formula, inputs={"links_m": links}, printed=printed, key="tolerance_exercises", seen=SEEN)


CHECKS = [
    chain("worst_case_m", PARTS, "0.010"),
    chain("worst_case_m", (*PARTS, 0.005), "0.015"),
    chain("root_sum_square_m", PARTS, "0.00616"),
    chain("root_sum_square_m", (*PARTS, 0.005), "0.00794"),
    chain("worst_case_m", (0.1,) * 10, "1.0"),
    chain("root_sum_square_m", (0.1,) * 10, "0.316"),
    Check(
        formula="worst_case_m",
        inputs={"links_m": BORE},
        expected=0.23,
        key="tolerance_exercises",
        seen=SEEN,
    ),
    Check(formula="push_kept_n", inputs=RACK, printed="98.1", exact=True, key="rack_exercise", seen=SEEN),
    Check(
        formula="push_start_n",
        inputs=RACK | {"start": 1.0, "accel_m_s2": 2.0},
        printed="1098.1",
        exact=True,
        key="rack_exercise",
        seen=SEEN,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_exercises(check: Check) -> None:
    """Each comes out to its last printed digit."""
    assert_holds(check)

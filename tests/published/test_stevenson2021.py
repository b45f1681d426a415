"""stevenson2021: finite-source tables and examples (ch. 18), time study (ch. 7)."""

import pytest

from tests.checks import MEMORY, SEEN, Check, assert_holds

FIVE = {"machines": 5, "attendants": 1, "run_s": 70.0, "service_s": 10.0}
TEN_BY_TWO = {"machines": 10, "attendants": 2, "run_s": 86.0, "service_s": 14.0}
TEN_BY_THREE = {"machines": 10, "attendants": 3, "run_s": 86.0, "service_s": 14.0}
ROUNDED = "worked from factors rounded to three digits; the exact model gives the other value"

CHECKS = [
    Check(formula="servicing_efficiency", inputs=FIVE, printed="0.92", key="stevenson2021", seen=SEEN),
    Check(formula="machines_waiting", inputs=FIVE, printed="0.4", key="stevenson2021", seen=SEEN),
    Check(formula="all_busy_share", inputs=FIVE, printed="0.575", key="stevenson2021", seen=SEEN),
    Check(
        formula="probability_wait",
        inputs=FIVE,
        printed="0.575",
        expected=0.4726553920491983,
        key="stevenson2021",
        seen=SEEN,
        erratum="the table's D is the share of time; a machine that calls waits with the lesser chance",
    ),
    Check(
        formula="machines_running",
        inputs=FIVE,
        printed="4.025",
        expected=4.026963509552209,
        key="stevenson2021",
        seen=SEEN,
        erratum=ROUNDED,
    ),
    Check(
        formula="waiting_time_s",
        inputs=FIVE,
        printed="6.957",
        expected=6.914122556556115,
        key="stevenson2021",
        seen=SEEN,
        erratum=ROUNDED,
    ),
    Check(formula="servicing_efficiency", inputs=TEN_BY_TWO, printed="0.947", key="stevenson2021", seen=SEEN),
    Check(formula="machines_running", inputs=TEN_BY_TWO, printed="8.144", key="stevenson2021", seen=SEEN),
    Check(formula="servicing_efficiency", inputs=TEN_BY_THREE, printed="0.991", key="stevenson2021", seen=SEEN),
    Check(
        formula="machines_running",
        inputs=TEN_BY_THREE,
        printed="8.523",
        expected=8.526411980793364,
        key="stevenson2021",
        seen=SEEN,
        erratum=ROUNDED,
    ),
    # Deviation 2.1 min, mean 6.4 min, 95 %: within 10 % of the mean, and within half a minute.
    Check(
        formula="whole_readings", inputs={"needed": 41.361}, printed="42", exact=True, key="stevenson2021", seen=MEMORY
    ),
    Check(
        formula="whole_readings", inputs={"needed": 67.766}, printed="68", exact=True, key="stevenson2021", seen=MEMORY
    ),
    Check(
        formula="wanted_error_s",
        inputs={"mean_s": 6.4, "precision": 0.1},
        printed="0.64",
        exact=True,
        key="stevenson2021",
        seen=MEMORY,
    ),
    Check(
        formula="readings_needed",
        inputs={"deviation_s": 2.1, "error_s": 0.64, "quantile": 1.96},
        printed="41.36",
        key="stevenson2021",
        seen=MEMORY,
    ),
    Check(
        formula="readings_needed",
        inputs={"deviation_s": 2.1, "error_s": 0.5, "quantile": 1.96},
        printed="67.77",
        key="stevenson2021",
        seen=MEMORY,
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_finite_source_and_sample_size(check: Check) -> None:
    """Each printed figure comes out; where the book rounded on the way, the erratum says so."""
    assert_holds(check)

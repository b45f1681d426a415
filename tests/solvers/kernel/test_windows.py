"""Limited stays: from the end of place's hold to the start of the next pick's hold, the process included."""

import pytest

from tests.solvers.kernel.shop import Form, arm_cell, counts_of, run_of

TAIL_S = 10.0


def with_stay(stay_max_s: float, machines: int = 1) -> Form:
    """An arm and machines of 100 s; the door closes for 10 s after the part is in."""
    form = arm_cell(machines)
    form["parts"]["part"]["route"][1]["stay_max_s"] = stay_max_s
    form["handling"][2]["place"]["tail_s"] = TAIL_S
    return form


@pytest.mark.parametrize(("stay_max_s", "late"), [(110.0, False), (109.999, True)])
def test_a_part_that_stays_too_long_is_scrap_and_counted_late(stay_max_s: float, late: bool) -> None:
    """The arm waits at the machine, so each part stays its tail and its process: at the limit good, above it scrap."""
    counts = counts_of(run_of(with_stay(stay_max_s), 2.0))

    assert counts["parts"] > 40
    assert counts["late"] == (counts["picked"] - 1 if late else 0)
    assert counts["scrapped"] == (counts["parts"] if late else 0)
    assert counts["good"] == (0 if late else counts["parts"])


def test_late_parts_are_brought_out_like_others() -> None:
    """A part that is scrap since it stayed too long goes on to the outfeed: the pace is the same."""
    in_time, late = (counts_of(run_of(with_stay(limit), 2.0)) for limit in (110.0, 100.0))

    assert in_time["parts"] == late["parts"]
    assert in_time["picked"] == late["picked"]


def test_a_busy_arm_comes_too_late_for_some() -> None:
    """Four machines of 100 s keep an arm busy that needs 32 s a part: each part waits 128 - 110 s for it at least."""
    counts = counts_of(run_of(with_stay(115.0, machines=4), 2.0))

    assert counts["late"] > 0
    assert counts["scrapped"] <= counts["late"] <= counts["picked"]

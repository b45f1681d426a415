"""Limited stays: from the end of place's hold to the start of the next pick's hold, the process included."""

import pytest

from millhand.intake.cell import cell_from
from millhand.solvers.kernel.counts import counts_of as counted
from millhand.solvers.kernel.replications import Plan, simulate
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


def test_late_parts_are_told_for_the_machine_where_they_stayed() -> None:
    """Of two machines of 100 s one limits the stay to its process alone, tail included: all late parts are its own,
    in the books as in what is told, and an hour of them is what the total says."""
    form = with_stay(110.0, machines=2)
    route = form["parts"]["part"]["route"]
    route[1:2] = [route[1] | {"at": ["m1"], "stay_max_s": 109.999}, route[1] | {"at": ["m2"], "stay_max_s": 10_000.0}]
    run = run_of(form, 2.0)
    told = simulate(cell_from(form), hours=2.0, replications=2)

    assert counts_of(run)["late"] > 10
    assert dict(zip(run.c.station_names, counted(run).late, strict=True))["m1"] == counts_of(run)["late"]
    assert told.late_at["m1"] == told.counts["late"]
    assert told.late_at["m2"].mean == 0.0
    assert set(told.late_at) == {"m1", "m2"}


def test_what_is_cut_off_as_warm_up_is_not_late() -> None:
    """Late parts of each machine are those after the cut, like the total."""
    told = simulate(cell_from(with_stay(100.0)), hours=2.0, replications=1, plan=Plan(warm_up_hours=1.0))

    assert told.late_at["m1"].mean == told.counts["late"].mean > 0

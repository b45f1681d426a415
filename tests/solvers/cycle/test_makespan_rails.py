"""Lots served by two arms on one track: they keep their distance at every moment, and it costs what it costs."""

import json
from itertools import pairwise
from pathlib import Path

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.makespan import shortest_makespan
from tests.solvers.cycle.lots_proof import proof_gaps
from tests.solvers.kernel.shop import Form


def two_arms(size: int) -> Form:
    """The example with two arms on one track, as a lot."""
    form: Form = json.loads(Path("examples/cells/two_arms_on_a_track.json").read_text(encoding="utf-8"))
    form["goal"] = "makespan"
    form.pop("dispatch", None)
    for part in form["parts"].values():
        part.pop("share", None)
        part["lot"] = {"size": size}
    return form


def found_in(form: Form) -> Schedule:
    """The schedule that a short search finds, with all that has to hold for any."""
    found = shortest_makespan(cell_from(form), deadline=None, deterministic=1.0, workers=4, seed=1)

    assert proof_gaps(found) == []
    return found


def position_m(cell: Cell, found: Schedule, who: str, time: float) -> float:
    """Where an arm is: at even speed between a departure and the next arrival, at rest otherwise."""
    motions = [event for event in found.events if event.attendant == who and event.what in ("depart", "arrive")]
    here = cell.places[cell.attendants[who].home or ""].track_m or 0.0
    for start, end in pairwise(motions):
        if start.what != "depart" or time < start.at_steps:
            continue
        goal = cell.places[end.place or ""].track_m or 0.0
        begun = cell.places[start.place or ""].track_m or 0.0
        took = end.at_steps - start.at_steps
        here = goal if time >= end.at_steps or not took else begun + (goal - begun) * (time - start.at_steps) / took
    return here


@pytest.fixture(scope="module")
def two_parts() -> Schedule:
    """The best plan for two parts."""
    return shortest_makespan(cell_from(two_arms(2)), deadline=None, deterministic=4.0, workers=1, seed=1)


def test_two_arms_keep_their_distance_at_every_moment(two_parts: Schedule) -> None:
    """Positions are straight lines between events, so the least distance is at one of them."""
    cell, found = cell_from(two_arms(2)), two_parts
    times = {event.at_steps for event in found.events}
    apart = [position_m(cell, found, "right", time) - position_m(cell, found, "left", time) for time in sorted(times)]

    assert min(apart) >= cell.tracks["overhead"].keep_m - 1e-9


def test_both_arms_work_where_each_has_its_own_half() -> None:
    """A machine that only the right arm may fill and clear, beside one for the left: both carry parts."""
    form = two_arms(1)
    plain = next(iter(form["parts"].values()))["route"]
    form["stations"]["raw2"] = {"kind": "supply", "place": "p3", "capacity": None}
    form["handling"][0]["at"].append("raw2")
    form["stations"]["done1"] = {"kind": "sink", "place": "p1", "capacity": None}
    form["handling"][1]["at"].append("done1")
    form["parts"] = {
        "near": {"lot": {"size": 1}, "route": [plain[0], {"at": ["m1"], "time_s": 90}, {"at": ["done1"]}]},
        "far": {"lot": {"size": 1}, "route": [{"at": ["raw2"]}, {"at": ["m4"], "time_s": 90}, plain[-1]]},
    }
    found = found_in(form)

    assert {event.attendant for event in found.events if event.what == "lift"} == {"left", "right"}
    assert (
        min(
            position_m(cell_from(form), found, "right", event.at_steps)
            - position_m(cell_from(form), found, "left", event.at_steps)
            for event in found.events
        )
        >= 1.5
    )


def test_two_parts_are_proven_where_bands_touch(two_parts: Schedule) -> None:
    """146.7 s: arms that follow each other closely, and no order of visits that would be done sooner. Whole visits kept
    apart took longer; 139.9 s would do if each could go through the other."""
    assert proof_gaps(two_parts) == []
    assert two_parts.proven
    assert two_parts.period_steps == two_parts.least_steps == 1467


def test_where_orders_are_left_untried_the_answer_is_not_proven() -> None:
    """With next to no effort the bound stays below the plan, and the words say what was looked at."""
    found = shortest_makespan(cell_from(two_arms(2)), deadline=None, deterministic=0.02, workers=1, seed=1)

    assert not found.proven
    assert found.least_steps < found.period_steps
    assert "one stop aside between two visits" in found.how
    assert "none of these is shorter" not in found.how

"""Duties of arms that share a track with others, in the cycle."""

from dataclasses import replace

import pytest

from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.checking.validate import violations
from millhand.solvers.cycle.effort import Effort

ONE_SET = Effort(deterministic=0.1, most_sets=1)
AT_M = {"in": 0, "one": 1, "out": 2, "bench": 3}


def gauged(takes: list[str], puts: list[str]) -> Cell:
    """One machine between two arms on a track, 1 s a metre; the right one gauges each part beyond the sink."""
    both = ["left", "right"]
    ways = {"places": list(AT_M), "empty_s": [[abs(a - b) for b in AT_M.values()] for a in AT_M.values()]}
    left = {"kind": "arm", "home": "in", "moves": "line", "take_from": takes, "put_to": puts}
    right = {"kind": "arm", "home": "bench", "moves": "line", "take_from": ["m1"], "put_to": ["done"]}
    hold = {"hold_s": 1}
    at = ["raw", "m1", "done"]
    gauge = {"trigger": {"kind": "parts", "at": ["m1"], "every": 1}, "who": ["right"], "place": "bench"}
    return cell_from(
        {
            "format": "millhand-cell/1",
            "name": "a gauge at the end of a track",
            "grid_s": 1,
            "places": {name: {"track_m": at_m} for name, at_m in AT_M.items()},
            "tracks": {"rail": {"attendants": both, "keep_m": 1}},
            "stations": {
                "raw": {"kind": "supply", "place": "in", "capacity": None},
                "m1": {"kind": "process", "place": "one"},
                "done": {"kind": "sink", "place": "out", "capacity": None},
            },
            "attendants": {"left": left, "right": right},
            "moves": {"line": ways},
            "handling": [{"who": both, "at": at, "pick": hold, "place": hold}],
            "parts": {"part": {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 2}, {"at": ["done"]}]}},
            "duties": {"gauge": {**gauge, "takes": 5}},
        }
    )


@pytest.mark.parametrize(
    ("takes", "puts", "period_s"),
    [(["raw"], ["m1"], 11), (["raw", "m1"], ["m1", "done"], 10)],  # the right arm's round; the left one's alone
)
def test_an_arm_on_a_track_does_its_duty_in_the_cycle(takes: list[str], puts: list[str], period_s: int) -> None:
    """The right arm unloads and gauges in 1 + 1 + 1 + 1 + 5 + 2 s; the left one alone has a round of 10 s, in which
    the other one still has to gauge."""
    cell = gauged(takes, puts)
    found = best_cycle(cell, effort=ONE_SET)
    assert (found.period_steps, found.parts_per_period, found.proven) == (period_s, 1, True)
    assert [event.what for event in found.events if event.part == "gauge"].count("duty") == 1
    assert not violations(cell, found)


@pytest.mark.parametrize("place", ["one", None])
def test_two_arms_pass_each_other_beside_a_duty(place: str | None) -> None:
    """Gauged at the machine, which calls: 1 + 1 + 1 + 1 + 5 s. The left arm sets the next part down while the right one
    is at the sink, each going as the other goes."""
    cell = gauged(["raw"], ["m1"])
    near = replace(cell, duties={"gauge": replace(cell.duties["gauge"], place=place)})
    found = best_cycle(near, effort=ONE_SET)
    assert (found.period_steps, found.proven) == (9, True)
    assert not violations(near, found)


def test_a_duty_that_is_forgotten_is_found_out() -> None:
    """A cycle without the gauging, in a cell that calls for it, and nothing said about it."""
    cell = gauged(["raw"], ["m1"])
    found = best_cycle(replace(cell, duties={}), effort=ONE_SET)
    assert violations(cell, found) == ["gauge comes 0 times in a period, not 1 times"]

"""Cells at the very edge of a rule are taken: a check that is too strict shows here."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from

FILES = {"mills": "one_operator_two_mills", "arm": "one_arm_two_grippers", "hoist": "phillips_unger_1976"}

# What is at the edge: base, pointer, value.
EDGES: dict[str, tuple[str, str, Any]] = {
    "a level as high as the stock": ("arm", "/duties/refill/trigger/below", 96),
    "a stock that starts full": ("arm", "/stations/drawers/start", 96),
    "an interval up to the end of the period": ("mills", "/calendars/early/on/2", [45000, 86400]),
    "two intervals that touch": ("mills", "/calendars/early/on/1", [32400, 43200]),
    "no wait at a tank": ("hoist", "/parts/panel/route/1/stay_max_s", 150),
    "a duty for both hands": ("mills", "/duties/deburr/needs_hands", 2),
    "the last second of a week": ("arm", "/duties/refill/also/at_s", [0, 604799]),
    "the coarsest grid": ("hoist", "/grid_s", 60),
    "all parts bad": ("mills", "/parts/bracket/route/1/good", 0),
    "an id of 32 letters": ("mills", "/places/" + "p" * 32, {}),
    "a stop that stops everything": ("mills", "/stations/mill1/faults/0/stops", ["all"]),
    "elements that add up but for a step of the grid": ("mills", "/handling/1/elements/0/1", 3.001),
    "a row for one machine before the row of both": (
        "mills",
        "/handling",
        [
            {"who": ["operator1"], "at": ["raw", "done"], "pick": {"hold_s": 3}, "place": {"hold_s": 3}},
            {"who": ["operator1"], "at": ["mill1"], "pick": {"hold_s": 3}, "place": {"hold_s": 3}},
            {"who": ["operator1"], "at": ["mill1", "mill2"], "pick": {"hold_s": 3}, "place": {"hold_s": 3}},
        ],
    ),
    "a row for one part before the row of all": (
        "hoist",
        "/handling",
        [
            {"who": ["hoist"], "at": ["s1"], "part": "panel", "pick": {"hold_s": 1}, "place": {"hold_s": 1}},
            {"who": ["hoist"], "at": [f"s{i}" for i in range(13)], "pick": {"hold_s": 1}, "place": {"hold_s": 1}},
        ],
    ),
    "a mean that is rounded to the grid": (
        "mills",
        "/duties/deburr/takes",
        {"dist": "triangular", "mean_s": 23.333, "low_s": 10, "mode_s": 20, "high_s": 40},
    ),
    "two corners of a triangle in one": (
        "mills",
        "/duties/deburr/takes",
        {"dist": "triangular", "mean_s": 20, "low_s": 10, "mode_s": 10, "high_s": 40},
    ),
    "a geometric span of one try": ("mills", "/stations/mill1/faults/0/every", {"dist": "geometric", "mean_s": 1}),
    "no way that nobody needs": ("hoist", "/moves/hoist/empty_s/5/4", None),
    "a table with more places than needed": ("arm", "/places/corner", {"track_m": 9.0}),
}


@pytest.mark.parametrize("edge", EDGES)
def test_the_edge_of_a_rule_is_inside(edge: str) -> None:
    """Equal to a limit is within it."""
    base, pointer, value = EDGES[edge]
    data: Any = json.loads(Path(f"examples/cells/{FILES[base]}.json").read_text(encoding="utf-8"))
    *way, last = pointer[1:].split("/")
    inside = data
    for token in way:
        inside = inside[int(token)] if isinstance(inside, list) else inside[token]
    inside[int(last) if isinstance(inside, list) else last] = copy.deepcopy(value)

    cell_from(data)


def line(*, self_moving: tuple[str, ...]) -> dict[str, Any]:
    """Supply, two machines, sink, no attendant; the stations named move their parts on by themselves."""
    stations: dict[str, Any] = {
        "raw": {"kind": "supply", "capacity": None},
        "m1": {"kind": "process"},
        "m2": {"kind": "process"},
        "done": {"kind": "sink", "capacity": None},
    }
    for name in self_moving:
        stations[name]["self_out"] = True
    route = [{"at": ["raw"]}, {"at": ["m1"], "time_s": 5}, {"at": ["m2"], "time_s": 5}, {"at": ["done"]}]
    return {"format": "millhand-cell/1", "name": "line", "stations": stations, "parts": {"pin": {"route": route}}}


def test_a_line_needs_nobody_only_when_every_part_of_the_way_is_its_own() -> None:
    """One transfer that nobody makes is enough to need somebody."""
    assert cell_from(line(self_moving=("raw", "m1", "m2"))).attendants == {}

    with pytest.raises(InputErrors) as caught:
        cell_from(line(self_moving=("raw", "m1")))

    assert [str(error) for error in caught.value.errors] == [
        "/attendants: read 'nothing'; write who moves the parts, or self_in or self_out at the stations."
    ]

"""Two arms on one rail: they keep their distance at every moment, wait for each other, and move aside."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import read_cell
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import Finished, finished_run
from tests.solvers.kernel.shop import Form, books_of, counts_of, in_cell, run_of

KEEP_M = 1.0
METRES = {"park1": -2.0, "in": 0.0, "m1": 2.0, "m2": 4.0, "m3": 6.0, "m4": 8.0, "out": 10.0, "park2": 12.0}


def two_arms(*, speed_m_s: float = 1.0, hands: int = 1, **arms: Any) -> Form:
    """Four machines between raw parts at one end and the outfeed at the other, two arms that both may serve all."""
    names = ["m1", "m2", "m3", "m4"]
    row: Form = {"who": ["left", "right"], "at": names, "pick": {"hold_s": 3}, "place": {"hold_s": 4}}
    homes = {"left": "park1", "right": "park2"}
    axis = {"places": list(METRES), "speed_m_s": speed_m_s, "accel_m_s2": 2.0, "settle_s": 0.1}
    return {
        "format": "millhand-cell/1",
        "name": "two arms on one rail",
        "places": {place: {"track_m": at} for place, at in METRES.items()},
        "tracks": {"rail": {"attendants": ["left", "right"], "keep_m": KEEP_M}},
        "stations": {"raw": {"kind": "supply", "place": "in", "capacity": None}}
        | {name: {"kind": "process", "place": name} for name in names}
        | {"done": {"kind": "sink", "place": "out", "capacity": None}},
        "attendants": {
            name: {"kind": "arm", "hands": hands, "home": home, "moves": "ways"} | arms.get(name, {})
            for name, home in homes.items()
        },
        "moves": {"ways": {"axis": axis}},
        "handling": [
            {"who": ["left", "right"], "at": ["raw"], "pick": {"hold_s": 2}},
            {"who": ["left", "right"], "at": ["done"], "place": {"hold_s": 2}},
            row,
        ],
        "parts": {"part": {"route": [{"at": ["raw"]}, {"at": names, "time_s": 40}, {"at": ["done"]}]}},
        "duties": {},
        "dispatch": {name: {"rule": "longest_waiting"} for name in homes},
    }


def least_distance_m(run: Finished) -> float:
    """The least distance of the two arms: both move at even speed, so it lies where one of them sets out or stops."""
    motions: dict[str, list[tuple[float, float, float, float]]] = {"left": [], "right": []}
    place = {"left": METRES["park1"], "right": METRES["park2"]}
    for line in log_of(run):
        if line["what"] == "goes":
            who, to, at, takes = (
                str(line["who"]),
                METRES[str(line["where"])],
                float(line["t_s"]),
                float(line["takes_s"]),
            )
            motions[who].append((at, at + takes, place[who], to))
            place[who] = to
    times = sorted({time for each in motions.values() for start, end, _, _ in each for time in (start, end)})
    assert len(times) > 100
    return min(position_m(motions["right"], "park2", t) - position_m(motions["left"], "park1", t) for t in times)


def position_m(motions: list[tuple[float, float, float, float]], home: str, time: float) -> float:
    """Where an arm is."""
    here = METRES[home]
    for start, end, frm, to in motions:
        if time < start:
            break
        here = to if time >= end else frm + (to - frm) * (time - start) / (end - start)
    return here


@pytest.mark.parametrize("speed_m_s", [0.3, 1.0, 3.0])
@pytest.mark.parametrize("rules", [("longest_waiting", "longest_waiting"), ("nearest", "first_to_finish")])
def test_two_free_arms_keep_their_distance(speed_m_s: float, rules: tuple[str, str]) -> None:
    """Both serve every machine; at no moment are they nearer than is allowed, and parts go on coming."""
    form = two_arms(speed_m_s=speed_m_s)
    for name, rule in zip(("left", "right"), rules, strict=True):
        form["dispatch"][name] = {"rule": rule}
    run = run_of(form, 3.0)
    counts = counts_of(run)

    assert least_distance_m(run) >= KEEP_M - 1e-6
    assert counts["parts"] > 50
    assert counts["picked"] == counts["parts"] + in_cell(run)
    assert all(sum(book) == round(3.0 * 3600 / run.c.grid_s) for book in books_of(run))


def stands(run: Finished) -> dict[str, list[tuple[float, float, str]]]:
    """From when until when each arm stands at which place."""
    found = {"left": [(0.0, "park1")], "right": [(0.0, "park2")]}
    ends: dict[str, list[float]] = {"left": [], "right": []}
    for line in log_of(run):
        if line["what"] == "goes":
            ends[str(line["who"])].append(float(line["t_s"]))
            found[str(line["who"])].append((float(line["t_s"]) + float(line["takes_s"]), str(line["where"])))
    return {
        who: [(since, until, place) for (since, place), until in zip(each, [*ends[who], math.inf], strict=True)]
        for who, each in found.items()
    }


@pytest.mark.parametrize("rule", ["longest_waiting", "nearest"])
def test_where_places_count_no_two_stand_at_one(rule: str) -> None:
    """Without a distance to keep two may share a place only while one of them moves (rule 27)."""
    form = two_arms()
    form["tracks"]["rail"] |= {"keep_m": 0, "rule": "order"}
    form["dispatch"] = {name: {"rule": rule} for name in form["attendants"]}
    run = run_of(form, 3.0)
    stood = stands(run)
    together = [
        (one, other)
        for one in stood["left"]
        for other in stood["right"]
        if one[2] == other[2] and max(one[0], other[0]) < min(one[1], other[1])
    ]

    assert together == []
    assert counts_of(run)["parts"] > 50


def test_one_feeds_and_one_takes_out() -> None:
    """One arm only brings, the other only takes away; both wait for the rail at times, and that is told."""
    form = two_arms(
        left={"put_to": ["m1", "m2", "m3", "m4"]}, right={"take_from": ["m1", "m2", "m3", "m4"], "put_to": ["done"]}
    )
    form["attendants"]["left"]["take_from"] = ["raw"]
    run = run_of(form, 3.0)

    assert least_distance_m(run) >= KEEP_M - 1e-6
    assert counts_of(run)["parts"] > 100
    assert run.k.a_time[:2, 4].sum() > 0  # waiting_track


def test_an_idle_arm_moves_aside() -> None:
    """The right arm has no work and stands before the outfeed; it goes to its parking place when it is in the way."""
    form = two_arms(right={"home": "out", "take_from": [], "put_to": []})
    run = run_of(form, 1.0)

    went = [line for line in log_of(run) if line["what"] == "goes" and line["who"] == "right"]
    assert [line["where"] for line in went] == ["park2"]
    assert counts_of(run)["parts"] > 10


@pytest.mark.parametrize(("rule", "keep_m"), [("order", 0.0), ("order", 0.5), ("apart", 0.5)])
def test_ends_of_a_track_without_room_to_park_are_left_to_who_stands_there(
    rule: Literal["apart", "order"], keep_m: float
) -> None:
    """Of two hoists the first would wait at the last tank for ever, with a part for the sink behind the second."""
    cell = read_cell(Path("examples/cells/two_hoists_by_order_of_places.json"))
    tracks = {name: replace(track, rule=rule, keep_m=keep_m) for name, track in cell.tracks.items()}
    run = finished_run(compiled(replace(cell, tracks=tracks)), 36_000, seed=1, replication=0, logging=True)

    served = {(line["who"], line["where"]) for line in log_of(run) if line["what"] in ("pick", "place")}
    assert ("first", "unload") not in served
    assert ("second", "load") not in served
    assert counts_of(run)["parts"] > 300


def test_two_arms_who_want_to_pass_each_other_do_not_hang() -> None:
    """Without a place to move aside to, the outfeed is never reached: the run ends and says who waits for whom."""
    form = two_arms(right={"home": "out", "take_from": [], "put_to": []})
    del form["places"]["park2"]
    form["moves"]["ways"]["axis"]["places"].remove("park2")

    with pytest.raises(ToolError, match="left holds a part that waits for done and waits for the rail") as raised:
        run_of(form, 1.0)
    assert raised.value.code == "deadlock"

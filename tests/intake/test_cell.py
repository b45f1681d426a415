"""A cell file read: short forms written out, defaults by kind, durations on the grid."""

import copy
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from millhand.errors import InputErrors
from millhand.intake.cell import cell_from, read_cell
from millhand.intake.cell_check import check_cell
from millhand.model.canonical import canonical
from millhand.model.cell import Axis
from millhand.model.handling import Element
from millhand.model.span import Span
from millhand.model.written import as_written

EXAMPLES = Path("examples/cells")


def raw(name: str) -> dict[str, Any]:
    """One example as it stands in its file."""
    loaded: dict[str, Any] = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return loaded


def tiny(**more: Any) -> dict[str, Any]:
    """The smallest cell that says something: supply, machine, sink, one arm, no travel."""
    cell: dict[str, Any] = {
        "format": "millhand-cell/1",
        "name": "tiny",
        "stations": {
            "raw": {"kind": "supply", "capacity": None},
            "m1": {"kind": "process"},
            "done": {"kind": "sink", "capacity": None},
        },
        "attendants": {"arm": {"kind": "arm"}},
        "parts": {"pin": {"route": [{"at": ["raw"]}, {"at": ["m1"], "time_s": 10}, {"at": ["done"]}]}},
    }
    return copy.deepcopy(cell) | more


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_every_example_is_read_and_comes_back_the_same(path: Path) -> None:
    """Read, written, read again: one and the same cell; the checker has nothing to say."""
    cell = read_cell(path)

    assert check_cell(cell) == ()
    assert cell_from(as_written(cell)) == cell
    assert cell_from(json.loads(canonical(as_written(cell)))) == cell


def test_like_copies_the_other_station_and_own_fields_win() -> None:
    """m2 is m1 at another place; a chain of two is followed."""
    data = raw("one_arm_two_grippers")
    data["stations"]["m3"]["like"] = "m2"
    data["stations"]["m2"]["batch"] = 2

    stations = cell_from(data).stations

    assert (stations["m2"].place, stations["m2"].faults) == ("p2", stations["m1"].faults)
    assert (stations["m3"].place, stations["m3"].batch, stations["m3"].wear) == ("p3", 2, stations["m1"].wear)
    assert stations["m1"].batch == 1


def test_what_is_wrong_in_a_copied_field_is_said_once() -> None:
    """The error stands where the field is written, not at each copy."""
    data = raw("one_arm_two_grippers")
    data["stations"]["m1"]["wear"][0]["limit"] = -1

    with pytest.raises(InputErrors) as caught:
        cell_from(data)

    assert [error.where for error in caught.value.errors] == ["/stations/m1/wear/0/limit"]


def test_an_axis_becomes_a_square_of_travel_times() -> None:
    """1.5 m at 1.5 m/s and 1.5 m/s² takes 2 s and 0.3 s to settle; 0.5 m is a triangle, 2 √(0.5/1.5) s."""
    table = cell_from(raw("one_arm_two_grippers")).moves["arm_full"]

    assert table.axis is None
    assert table.places == ("p0", "p1", "p2", "p3", "park")
    assert table.empty_s[0] == (0.0, 2.3, 3.9, 5.5, 1.455)
    assert table.loaded_s is None


def test_two_places_at_one_spot_of_an_axis_are_no_way_apart() -> None:
    """No move, so no settling either."""
    data = raw("one_arm_two_grippers")
    data["places"]["park"]["track_m"] = 0.0

    table = cell_from(data).moves["arm_full"]

    assert (table.empty_s[0][4], table.empty_s[4][0]) == (0.0, 0.0)


def test_loaded_pairs_become_a_square_and_pairs_not_named_cannot_be_done() -> None:
    """31 s from s0 to s1, no way back with a load, 0 s from a place to itself."""
    table = cell_from(raw("phillips_unger_1976")).moves["hoist"]

    assert table.loaded_s is not None
    assert (table.loaded_s[0][1], table.loaded_s[1][0], table.loaded_s[1][1]) == (31.0, None, 0.0)
    assert table.empty_s[1][0] == 11.0


def test_one_table_or_two_for_an_attendant() -> None:
    """A name is the full table; {full, slow} are two."""
    attendants = cell_from(raw("one_arm_two_grippers")).attendants

    assert (attendants["arm1"].moves_full, attendants["arm1"].moves_slow) == ("arm_full", "arm_slow")
    assert (attendants["tender"].moves_full, attendants["tender"].moves_slow) == ("walk", None)


def test_names_that_differ_between_file_and_record() -> None:
    """A zone's `from`, a parts trigger's `every`, an element's list of three."""
    arm, mills = cell_from(raw("one_arm_two_grippers")), cell_from(raw("one_operator_two_mills"))

    assert arm.zones["front"].duties == ("refill", "clear")
    assert (mills.duties["gauge"].trigger.every_n, mills.duties["gauge"].trigger.every) == (10, None)
    assert mills.duties["called_away"].trigger.every == Span(dist="exponential", mean_s=5400.0)
    assert mills.handling[1].elements[1] == Element(name="blow off", time_s=6.0, side="outside")


def test_a_time_per_station_or_one_for_all() -> None:
    """An object of spans by station, a distribution, a bare number."""
    data = raw("one_operator_two_mills") | {"origins": {}}
    step = data["parts"]["bracket"]["route"][1]
    step["time_s"] = {"mill1": 380, "mill2": {"dist": "exponential", "mean_s": 400}}
    per_station = cell_from(data).parts["bracket"].route[1]
    step["time_s"] = {"dist": "lognormal", "mean_s": 380, "cv": 0.1}
    for_all = cell_from(data).parts["bracket"].route[1]

    assert per_station.time_s is None
    assert per_station.times_s == {"mill1": Span(mean_s=380.0), "mill2": Span(dist="exponential", mean_s=400.0)}
    assert (for_all.time_s, for_all.times_s) == (Span(dist="lognormal", mean_s=380.0, cv=0.1), None)


@pytest.mark.parametrize(
    ("written", "grid_s", "read"),
    [
        (10.0005, 0.001, 10.001),
        (10.0004999, 0.001, 10.0),
        (1.0005, 0.001, 1.001),
        (10.5, 1, 11.0),
        (10.49, 1, 10.0),
        (0.1 + 0.2, 0.1, 0.3),
    ],
)
def test_durations_are_rounded_half_up_to_the_grid_once(written: float, grid_s: float, read: float) -> None:
    """Halves are those of the written decimals, and what lies on the grid stays."""
    data = tiny(grid_s=grid_s)
    data["parts"]["pin"]["route"][1]["time_s"] = written
    cell = cell_from(data)

    assert cell.parts["pin"].route[1].time_s == Span(mean_s=read)
    assert cell_from(as_written(cell)) == cell


def test_what_is_no_duration_is_not_rounded() -> None:
    """Distances, shares, means of distributions, counts of loads and their limits stay; busy seconds are rounded."""
    data = tiny(grid_s=1, places={"p": {"track_m": 0.25}})
    data["stations"]["m1"] |= {
        "faults": [{"id": "chip", "on": "load", "every": 2.5, "self_s": 2.5}],
        "wear": [
            {"id": "pads", "unit": "loads", "limit": 2.5, "duty": "change"},
            {"id": "oil", "unit": "busy_s", "limit": 2.5, "duty": "change"},
        ],
    }
    data["duties"] = {
        "change": {"trigger": {"kind": "wear"}, "who": ["arm"], "takes": {"dist": "exponential", "mean_s": 2.5}}
    }
    cell = cell_from(data)
    (fault,), wear = cell.stations["m1"].faults, cell.stations["m1"].wear

    assert cell.places["p"].track_m == 0.25
    assert (fault.every, fault.self_s) == (Span(mean_s=2.5), Span(mean_s=3.0))
    assert [one.limit for one in wear] == [2.5, 3.0]
    assert cell.duties["change"].takes.mean_s == 2.5


def test_capacity_is_one_for_a_process_and_a_gate_and_written_for_stocks() -> None:
    """null is without limit; a supply, store or sink says what it holds."""
    cell = cell_from(tiny())

    assert (cell.stations["m1"].capacity, cell.stations["raw"].capacity) == (1, None)
    data = tiny()
    data["stations"]["m1"]["capacity"] = None
    assert cell_from(data).stations["m1"].capacity is None


def test_errors_carry_the_name_of_the_file(tmp_path: Path) -> None:
    """file#pointer, all errors of the file at once, form and references together."""
    data = tiny()
    data["stations"]["m1"]["plce"] = "x"
    data["attendants"]["arm"]["calendar"] = "early"
    data["parts"]["pin"]["route"][1]["at"] = ["m2"]
    path = tmp_path / "my.json"
    path.write_text(json.dumps(data), encoding="utf-8")

    with pytest.raises(InputErrors) as caught:
        read_cell(path)

    assert [error.where for error in caught.value.errors] == [
        "my.json#/stations/m1/plce",
        "my.json#/attendants/arm/calendar",
        "my.json#/parts/pin/route/1/at/0",
    ]


def test_maps_keep_the_order_of_the_file() -> None:
    """File order is the tie order."""
    stations = raw("phillips_unger_1976")["stations"]
    turned = raw("phillips_unger_1976") | {"stations": dict(reversed(stations.items()))}

    assert list(cell_from(turned).stations) == list(reversed(stations))


def test_a_cell_without_handling_needs_no_rows_and_one_with_self_moves_no_attendant() -> None:
    """Handling times are 0 then; parts that move by themselves need nobody."""
    alone = tiny(attendants={})
    alone["stations"]["m1"] |= {"self_in": True, "self_out": True}

    assert cell_from(tiny()).handling == ()
    assert cell_from(alone).attendants == {}


def test_a_cell_made_of_records_is_checked_too() -> None:
    """An axis left in a table, a number that is none, a negative distance: found without a file."""
    cell = cell_from(raw("one_arm_two_grippers"))
    axis = Axis(places=("p0",), speed_m_s=1.0, accel_m_s2=float("nan"))
    moves = {**cell.moves, "arm_full": replace(cell.moves["arm_full"], axis=axis)}
    tracks = {"floor": replace(cell.tracks["floor"], keep_m=-1.0)}

    errors = check_cell(replace(cell, moves=moves, tracks=tracks))

    assert [str(error) for error in errors] == [
        "/tracks/floor/keep_m: read '-1'; write a number of at least 0.",
        "/moves/arm_full/axis/accel_m_s2: read 'nan'; write a number; NaN and Infinity are none.",
        "/moves/arm_full/axis: read 'an axis'; write its expansion, places and empty_s.",
    ]

"""Numbers of a cell by pointer, and cells scaled by the facts behind their numbers."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell
from millhand.model.slots import pointer_get, scaled
from millhand.model.span import Span

HOIST = read_cell(Path("examples/cells/phillips_unger_1976.json"))
ARM = read_cell(Path("examples/cells/one_arm_two_grippers.json"))
MILLS = read_cell(Path("examples/cells/one_operator_two_mills.json"))


def with_origins(file: str, origins: Mapping[str, str]) -> Cell:
    """An example whose numbers come from these facts."""
    data: dict[str, Any] = json.loads(Path(f"examples/cells/{file}.json").read_text(encoding="utf-8"))
    return cell_from({**data, "origins": {pointer: {"fact": fact} for pointer, fact in origins.items()}})


@pytest.mark.parametrize(
    ("cell", "pointer", "value"),
    [
        (MILLS, "/parts/bracket/route/1/time_s", 380.0),
        (MILLS, "/handling/1/elements/1/1", 6.0),
        (MILLS, "/duties/gauge/trigger/every", 10),
        (MILLS, "/calendars/early/on/1/0", 33300.0),
        (MILLS, "/duties/clear/takes/cv", 0.8),
        (MILLS, "/duties/clear/takes", Span(dist="lognormal", mean_s=1200.0, cv=0.8)),
        (MILLS, "/stations/mill1/turnaround_s", 0.0),
        (ARM, "/stations/m3/wear/0/limit", 28800.0),
        (ARM, "/moves/arm_full/empty_s/0/1", 2.3),
        (HOIST, "/moves/hoist/loaded_s/s0 s1", 31.0),
        (HOIST, "/moves/hoist/loaded_s/0/1", 31.0),
    ],
)
def test_a_pointer_of_the_file_form_finds_its_number(cell: Cell, pointer: str, value: float | Span) -> None:
    """Renamed fields, short forms, copied fields, defaults that no file writes, pairs and squares."""
    assert pointer_get(cell, pointer) == value


@pytest.mark.parametrize(
    "pointer",
    ["", "parts", "/parts/bracket/route/9/time_s", "/parts/bracket", "/name", "/stations/mill1/attended", "/zones/x"],
)
def test_a_pointer_to_no_number_is_refused(pointer: str) -> None:
    """Nothing there, a record, a text, true or false."""
    with pytest.raises(LookupError):
        pointer_get(MILLS, pointer)


def test_each_number_is_multiplied_by_the_factor_of_its_own_fact() -> None:
    """380 s x 1.1 = 418 s and 60 s x 0.5 = 30 s; what has no origin stays."""
    cell = scaled(MILLS, {"parts.bracket.machining_time": 1.1, "today.elements.gauge.time": 0.5, "unknown": 7.0})

    assert pointer_get(cell, "/parts/bracket/route/1/time_s") == 418.0
    assert pointer_get(cell, "/duties/gauge/takes") == 30.0
    assert pointer_get(cell, "/duties/deburr/takes") == pointer_get(MILLS, "/duties/deburr/takes")
    assert cell.stations == MILLS.stations
    assert cell.origins == MILLS.origins


def test_a_scaled_duration_lies_on_the_grid_again() -> None:
    """150 s on a grid of 1 s, times 1.003, is 150.45 s and goes to 150 s; a half goes up."""
    cell = with_origins(
        "phillips_unger_1976", {"/parts/panel/route/1/time_s": "dip", "/moves/hoist/loaded_s/s0 s1": "lift"}
    )
    new = scaled(cell, {"dip": 1.003, "lift": 1.5})

    assert pointer_get(new, "/parts/panel/route/1/time_s") == 150.0
    assert pointer_get(new, "/moves/hoist/loaded_s/s0 s1") == 47.0
    assert pointer_get(new, "/moves/hoist/loaded_s/s1 s2") == 22.0
    assert new.moves["hoist"].empty_s == cell.moves["hoist"].empty_s


def test_a_distribution_scales_as_a_whole_and_keeps_its_shape() -> None:
    """Mean and edges alike, the spread relative to the mean unchanged."""
    data = json.loads(Path("examples/cells/one_operator_two_mills.json").read_text(encoding="utf-8"))
    data["duties"]["deburr"]["takes"] = {"dist": "uniform", "mean_s": 25, "low_s": 20, "high_s": 30}
    data["duties"]["gauge"]["takes"] = {"dist": "empirical", "mean_s": 50, "values_s": [40, 60]}
    names = ("clear", "deburr", "gauge")
    cell = cell_from({**data, "origins": {f"/duties/{name}/takes": {"fact": "all"} for name in names}})

    assert [duty.takes for name, duty in scaled(cell, {"all": 2.0}).duties.items() if name in names] == [
        Span(dist="uniform", mean_s=50.0, low_s=40.0, high_s=60.0),
        Span(dist="empirical", mean_s=100.0, values_s=(80.0, 120.0)),
        Span(dist="lognormal", mean_s=2400.0, cv=0.8),
    ]


def test_shares_and_counts_stay_what_they_are() -> None:
    """A share is cut at 1, a count is rounded half up and not below its limit."""
    pointers = {
        "/parts/flange/route/1/good": "yield",
        "/parts/flange/route/2/every": "gauging",
        "/stations/m1/wear/0/spares": "sisters",
        "/stations/m1/wear/1/limit": "chips",
    }
    cell = with_origins("one_arm_two_grippers", pointers)
    new = scaled(cell, {"yield": 1.02, "gauging": 0.01, "sisters": 1.5, "chips": 1.255})

    assert pointer_get(new, "/parts/flange/route/1/good") == 1.0
    assert pointer_get(new, "/parts/flange/route/2/every") == 1
    assert pointer_get(new, "/stations/m1/wear/0/spares") == 2
    assert pointer_get(new, "/stations/m1/wear/1/limit") == pytest.approx(376.5)


def test_one_fact_may_stand_behind_many_numbers() -> None:
    """All elements of one travel table move together."""
    pointers = {f"/moves/walk/empty_s/{i}/{j}": "walking" for i in range(5) for j in range(5)}
    cell = scaled(with_origins("one_operator_two_mills", pointers), {"walking": 2.0})

    doubled = tuple(tuple(None if s is None else 2 * s for s in row) for row in MILLS.moves["walk"].empty_s)
    assert cell.moves["walk"].empty_s == doubled


def test_nothing_to_scale_gives_the_same_cell() -> None:
    """No copy, no rounding."""
    assert scaled(MILLS, {}) is MILLS
    assert scaled(MILLS, {"today.elements.gauge.time": 1.0}) is MILLS

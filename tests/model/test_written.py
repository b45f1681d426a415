"""The file form of a cell: defaults left out, short forms used, numbers with an origin kept."""

from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import cell_from, read_cell
from millhand.model.cell import Cell, CellPart, MoveTable, Origin, Step
from millhand.model.gridded import gridded
from millhand.model.span import Span
from millhand.model.station import Fault, Station, WarmUp, Wear
from millhand.model.written import as_written

HOIST = read_cell(Path("examples/cells/phillips_unger_1976.json"))


def test_what_goes_without_saying_is_not_written() -> None:
    """Grid, goal, empty maps, a capacity of one part at a process: all left out; the format never."""
    written = as_written(Cell(name="bare", stations={"m1": Station(kind="process", place="p1")}))

    assert written == {
        "format": "millhand-cell/1",
        "name": "bare",
        "stations": {"m1": {"kind": "process", "place": "p1"}},
    }


@pytest.mark.parametrize(
    ("kind", "capacity", "written"),
    [
        ("process", 1, {}),
        ("process", 3, {"capacity": 3}),
        ("process", None, {"capacity": None}),
        ("gate", 1, {}),
        ("supply", 1, {"capacity": 1}),
        ("supply", None, {"capacity": None}),
        ("sink", 40, {"capacity": 40}),
        ("store", None, {"capacity": None}),
    ],
)
def test_capacity_is_written_unless_one_part_is_meant(kind: str, capacity: int | None, written: dict[str, int]) -> None:
    """Supply, store and sink always say it, null for without limit."""
    station = Station(kind=kind, capacity=capacity)  # type: ignore[arg-type]

    assert as_written(Cell(name="x", stations={"s": station}))["stations"]["s"] == {"kind": kind, **written}


def test_a_number_with_an_origin_is_written_even_at_its_default() -> None:
    """Otherwise the pointer would lead nowhere."""
    cell = Cell(
        name="x",
        parts={"pin": CellPart(route=(Step(at=("a",)),))},
        origins={"/parts/pin/route/0/good": Origin(fact="yield")},
    )

    assert as_written(cell)["parts"]["pin"]["route"] == [{"at": ["a"], "good": 1}]


def test_a_constant_span_is_a_number_and_a_distribution_says_its_own_parameters() -> None:
    """Whole numbers are written without a point."""
    step = Step(at=("a", "b"), times_s={"a": Span(mean_s=3.0), "b": Span(dist="lognormal", mean_s=2.5, cv=0.2)})
    route = as_written(Cell(name="x", parts={"pin": CellPart(route=(step,))}))["parts"]["pin"]["route"]

    assert route[0]["time_s"] == {"a": 3, "b": {"dist": "lognormal", "mean_s": 2.5, "cv": 0.2}}
    assert isinstance(route[0]["time_s"]["a"], int)


def test_few_loaded_moves_are_written_as_pairs_and_many_as_a_square() -> None:
    """A place to itself is 0 in pairs; where it is not possible at all, only a square can say so."""
    few = MoveTable(places=("a", "b"), empty_s=((0.0, 1.0), (1.0, 0.0)), loaded_s=((0.0, 2.0), (None, 0.0)))
    many = replace(few, loaded_s=((0.0, 2.0), (2.0, 0.0)))
    never = replace(few, loaded_s=((None, 2.0), (None, 0.0)))
    written = as_written(Cell(name="x", moves={"few": few, "many": many, "never": never}))["moves"]

    assert written["few"]["loaded_s"] == {"a b": 2}
    assert written["many"]["loaded_s"] == [[0, 2], [2, 0]]
    assert written["never"]["loaded_s"] == [[None, 2], [None, 0]]
    assert as_written(HOIST)["moves"]["hoist"]["loaded_s"]["s9 s10"] == 47


def test_the_written_form_is_the_file_form() -> None:
    """The published line comes back as it was typed, but for what goes without saying."""
    written = as_written(HOIST)

    assert cell_from(written) == HOIST
    assert written["stations"]["s0"] == {"kind": "gate", "place": "s0", "turnaround_s": 120}
    assert written["attendants"]["hoist"] == {"kind": "arm", "home": "s0", "moves": "hoist"}
    assert written["parts"]["panel"]["route"][1] == {"at": ["s1"], "time_s": 150, "stay_max_s": 200}


def test_only_durations_go_to_the_grid() -> None:
    """Seconds wherever they stand; means of distributions, loads and metres stay."""
    station = Station(
        kind="process",
        turnaround_s=0.6,
        warm_up=WarmUp(after_s=10.4, takes_s=10.5),
        faults=(Fault(id="a", on="load", every=Span(mean_s=2.5), self_s=Span(mean_s=2.5)),),
        wear=(Wear(id="b", unit="loads", limit=2.5), Wear(id="c", unit="busy_s", limit=2.5)),
    )
    new = gridded(Cell(name="x", grid_s=1.0, stations={"m": station})).stations["m"]

    assert (new.turnaround_s, new.warm_up) == (1.0, WarmUp(after_s=10.0, takes_s=11.0))
    assert (new.faults[0].every, new.faults[0].self_s) == (Span(mean_s=2.5), Span(mean_s=3.0))
    assert [wear.limit for wear in new.wear] == [2.5, 3.0]

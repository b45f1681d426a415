"""What is kept of a simulation, and what becomes of it when it cannot be read."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from millhand.intake.cell import read_cell
from millhand.road import Desk, outputs, with_cycles
from millhand.run import LocalRunner
from tests.stages.jobs import Planned, job, plan_of


@pytest.fixture(autouse=True)
def short(monkeypatch: pytest.MonkeyPatch) -> None:
    """A day, once, instead of a week, six times: enough to be kept."""
    monkeypatch.setattr("millhand.road.HOURS", 24.0)
    monkeypatch.setattr("millhand.road.REPLICATIONS", 2)


@pytest.fixture(scope="module")
def made() -> Planned:
    """Today's plan of a small job."""
    return plan_of(job("one_mill"), "today")


def desk(made: Planned, folder: Path) -> Desk:
    """A desk that keeps results in a folder."""
    return replace(made.desk, runner=LocalRunner(cache=folder))


def test_what_was_kept_is_read_back_to_the_last_digit(made: Planned, tmp_path: Path) -> None:
    """Simulated, kept in one file, and the same from the file; the very same without any cache."""
    assert made.plan.cell is not None
    cells = [made.plan.cell]

    first = list(outputs(desk(made, tmp_path), cells))
    (file,) = tmp_path.iterdir()
    written = file.stat().st_mtime_ns

    assert list(outputs(desk(made, tmp_path), cells)) == first
    assert file.stat().st_mtime_ns == written
    assert list(outputs(made.desk, cells)) == first


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text[: len(text) // 2],
        lambda text: b"",
        lambda text: b"null",
        lambda text: b"[]",
        lambda text: b'{"seed": 1}',
        lambda text: b"\xff\xfe",
        lambda text: text.replace(b'"mean"', b'"middle"'),
    ],
)
def test_what_cannot_be_read_is_simulated_again(made: Planned, tmp_path: Path, spoil: Callable[[bytes], bytes]) -> None:
    """A file cut short, of another version or of another kind costs time, never the answer."""
    assert made.plan.cell is not None
    first = list(outputs(desk(made, tmp_path), [made.plan.cell]))
    (file,) = tmp_path.iterdir()
    file.write_bytes(spoil(file.read_bytes()))

    assert list(outputs(desk(made, tmp_path), [made.plan.cell])) == first


def test_cells_come_in_their_order_whether_kept_or_made(made: Planned, tmp_path: Path) -> None:
    """The second of three is kept already."""
    assert made.plan.cell is not None
    cells = [replace(made.plan.cell, name=name) for name in ("a", "b", "c")]
    list(outputs(desk(made, tmp_path), cells[1:2]))

    assert [each.cell for each in outputs(desk(made, tmp_path), cells)] == [
        each.cell for each in outputs(made.desk, cells)
    ]


def test_a_cell_that_no_simple_cycle_covers_is_searched(made: Planned) -> None:
    """The furnace has no simple cycle that keeps its windows; what is settled already is not searched again."""
    furnace = replace(made.plan, cell=read_cell(Path("examples/cells/furnace_and_press.json")), schedule=None)

    settled, searched = with_cycles(made.desk, (made.plan, furnace))

    assert settled == made.plan
    assert searched.schedule is not None
    assert (searched.schedule.period_steps * searched.schedule.grid_s, searched.schedule.proven) == (59.5, True)

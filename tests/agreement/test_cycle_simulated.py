"""Rule `cycle` against the schedule: with nothing left to chance the simulation makes what the schedule promises."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest

from millhand.errors import ToolError
from millhand.intake.cell import read_cell
from millhand.model.cell import AttendantFault, Cell
from millhand.model.mix import part_set
from millhand.model.schedule import Schedule
from millhand.model.span import Span
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.bounds import cycle_bound_steps
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import Finished, finished_run, run_on
from tests.agreement.nothing_left_to_chance import certain
from tests.agreement.random_small import small_cell
from tests.agreement.test_two_arms import random_two
from tests.solvers.kernel.shop import attendant_s, counts_of, in_cell

CELLS = sorted(Path("examples/cells").glob("*.json"))
PUBLISHED = sorted(Path("examples/cells").glob("published_*.json"))
PERIODS = 60  # looked at, after as many in which the line fills
QUICK = Effort(deterministic=0.1)  # any valid cycle will do here, the best or not
WITHOUT = {
    "job_shop_6_by_6": "goal makespan",
    "lots_on_two_pallets": "goal makespan",
    "job_shop_two_vehicles": "goal makespan",
    "two_lots_finished_early": "goal makespan",
}  # example cells that have no schedule of this kind, and why
SMALL, TWO = 40, 24  # random cells


@cache
def scheduled(path: Path) -> tuple[Cell, Schedule | None]:
    """An example cell with nothing left to chance, and its cycle where there is one."""
    return with_cycle(certain(read_cell(path)))


@cache
def two(number: int) -> tuple[Cell, Schedule | None]:
    """A random cell of two arms on one track with nothing left to chance, and its cycle."""
    return with_cycle(certain(random_two(number)))


def with_cycle(cell: Cell) -> tuple[Cell, Schedule | None]:
    """A cell and its cycle, None where none is found."""
    try:
        return cell, best_cycle(cell, effort=QUICK) if cell.goal == "rate" else None
    except ToolError:
        return cell, None


def outs_of(cell: Cell, best: Schedule, *, periods: int = 2 * PERIODS) -> list[int]:
    """When parts come out, in grid steps."""
    run = finished_run(compiled(cell, schedule=best), periods * best.period_steps, seed=1, replication=0, logging=True)
    return [round(line["t_s"] / cell.grid_s) for line in log_of(run) if line["what"] == "out"]


def keeps_the_period(cell: Cell, best: Schedule) -> bool:
    """True where, once the line is full, each part comes exactly one period after the one that is as many before as
    the schedule makes in a period, for as many periods as it had to fill."""
    outs = outs_of(cell, best)
    late = [at for at in outs if at >= PERIODS * best.period_steps]
    assert len(late) >= (PERIODS - 2) * best.parts_per_period
    pairs = zip(late, late[best.parts_per_period :], strict=False)
    return all(after - before == best.period_steps for before, after in pairs)


@pytest.mark.parametrize("path", CELLS, ids=lambda path: path.stem)
def test_the_simulation_keeps_the_period_of_the_schedule(path: Path) -> None:
    """Every example cell that has a cycle, one arm or two on a track, keeps it to the grid step; no other has none."""
    cell, best = scheduled(path)
    assert (best is None) == (path.stem in WITHOUT)
    if best is not None:
        assert not [words for words in compiled(cell, schedule=best).left_out if "cycle" in words]
        assert keeps_the_period(cell, best)


@pytest.mark.parametrize("number", range(SMALL))
def test_random_cells_of_one_arm_keep_the_period(number: int) -> None:
    """One or two hands, windows, gates, exchanges, leads and tails; and no part comes sooner than the loads allow."""
    cell, best = with_cycle(certain(small_cell(number)))
    if best is not None:
        assert keeps_the_period(cell, best)
        sets = best.parts_per_period / sum(part_set(cell.parts).values())
        assert best.period_steps >= cycle_bound_steps(cell) * sets - 1e-6


@pytest.mark.parametrize("number", range(TWO))
def test_random_cells_of_two_arms_keep_the_period(number: int) -> None:
    """On one track, and without a track; on the track they keep their distance all the time."""
    for cell, best in (two(number), with_cycle(certain(replace(random_two(number), tracks={})))):
        if best is not None:
            assert keeps_the_period(cell, best)
            assert nearest(cell, best, seed=1) >= -1e-6


@pytest.mark.parametrize("number", range(0, TWO, 3))
def test_arms_keep_their_distance_whatever_the_chances(number: int) -> None:
    """Handling that takes now shorter, now longer; or a schedule that lets arms set out too early: nobody does."""
    cell, best = two(number)
    if best is None:
        return
    spread = replace(cell, handling=tuple(spread_out(cell)))
    assert nearest(spread, best, seed=number) >= -1e-6
    assert nearest(cell, eager(best), seed=number) >= -1e-6


def eager(best: Schedule) -> Schedule:
    """The same schedule, but its arcs let motions of different arms begin long before the ones that they come after."""
    departs = {event.id: event.attendant for event in best.events if event.what == "depart"}
    return replace(best, arcs=tuple(
        replace(arc, lag_steps=-50)
        if arc.before in departs and arc.after in departs and departs[arc.before] != departs[arc.after]
        else arc
        for arc in best.arcs
    ))  # fmt: skip


def spread_out(cell: Cell) -> Iterator[object]:
    """All rows of handling with holds of any length around their mean."""
    for row in cell.handling:
        hold = Span(dist="exponential", mean_s=2.0)
        yield replace(row, pick=row.pick and replace(row.pick, hold_s=hold),
                      place=row.place and replace(row.place, hold_s=hold), swap=None)  # fmt: skip


def nearest(cell: Cell, best: Schedule, *, seed: int) -> float:
    """The least distance of two arms on a track beyond what they have to keep, at the ends of all motions; by the order
    of places only the places count."""
    worst = 1e9
    for track in cell.tracks.values():
        c = compiled(cell, schedule=best)
        run = finished_run(c, 40 * best.period_steps, seed=seed, replication=0, logging=True)
        ways = {who: way_of(cell, run, who) for who in track.attendants}
        times = sorted({at for way in ways.values() for leg in way for at in leg[:2]})
        for (i, one), (j, other) in combinations(enumerate(track.attendants), 2):
            for at in times:
                if track.rule == "order":
                    worst = min(worst, min(ends(ways[other], at)) - max(ends(ways[one], at)))
                else:
                    worst = min(worst, where(ways[other], at) - where(ways[one], at) - track.keep_m * (j - i))
    return worst


Leg = tuple[float, float, float, float]  # from when until when, from where to where


def way_of(cell: Cell, run: Finished, who: str) -> list[Leg]:
    """All motions of an arm along its track."""
    here = cell.places[cell.attendants[who].home or ""].track_m or 0.0
    legs: list[Leg] = [(0.0, 0.0, here, here)]
    for line in log_of(run):
        if line["what"] == "goes" and line["who"] == who:
            there = cell.places[line["where"]].track_m or 0.0
            legs.append((line["t_s"], line["t_s"] + line["takes_s"], legs[-1][3], there))
    return legs


def where(way: list[Leg], at: float) -> float:
    """Where an arm is."""
    start, end, here, there = [leg for leg in way if leg[0] <= at][-1]
    return there if at >= end else here + (there - here) * (at - start) / (end - start)


def ends(way: list[Leg], at: float) -> tuple[float, float]:
    """The places that count at a time: where an arm stands, or those that it leaves and goes to."""
    _, end, here, there = [leg for leg in way if leg[0] <= at][-1]
    return (there, there) if at >= end else (here, there)


@pytest.mark.parametrize("path", PUBLISHED, ids=lambda path: path.stem)
def test_the_period_comes_back_after_a_stop(path: Path) -> None:
    """The arm stands for more than three periods; later the pace is the schedule's again, and no part was lost."""
    cell, best = scheduled(path)
    assert best is not None
    period_s = best.period_steps * cell.grid_s
    jam = AttendantFault(
        id="jam", on="clock", every=Span(mean_s=(PERIODS + 0.4) * period_s), self_s=Span(mean_s=3.3 * period_s)
    )
    name, attendant = next(iter(cell.attendants.items()))
    stopped = compiled(replace(cell, attendants={name: replace(attendant, faults=(jam,))}), schedule=best)
    run = finished_run(stopped, round(1.4 * PERIODS) * best.period_steps, seed=1, replication=0)
    before = counts_of(run)["parts"]
    run_on(run, 2 * PERIODS * best.period_steps)
    counts = counts_of(run)

    assert attendant_s(run, name)["failed"] == pytest.approx(3.3 * period_s, abs=cell.grid_s)
    assert counts["parts"] - before == (2 * PERIODS - round(1.4 * PERIODS)) * best.parts_per_period
    assert counts["picked"] == counts["good"] + counts["escaped"] + counts["scrapped"] + in_cell(run)
    assert counts["scrapped"] == 0

"""Where the warm-up of a cell's runs ends: pilot replications cut into slices, and MSER on their averages.

A slice is as long as the longest calendar of the cell, so that shifts and breaks do not look like a transient. Such a
slice holds a day's or a week's parts and is a batch by itself: in fives, series of 50 weeks with nothing to cut were
cut by 5 to 25 weeks. Where there is no calendar a slice is an hour, and five make a batch (MSER-5). The rule itself,
its sources and its limits are in warm_up.py.
"""

from dataclasses import dataclass
from itertools import pairwise

from millhand.model.cell import Cell
from millhand.run import LocalRunner, Nobody, watched
from millhand.solvers.kernel.codes import C_GOOD
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.running import finished_run, run_on
from millhand.solvers.output.runs import Run
from millhand.solvers.output.warm_up import BATCH, LEFT, averaged, warm_up

REPLICATIONS = 10
LEAST_SLICES = (
    4 * LEFT * BATCH
)  # with half of it the rule leaves five batches and no cut could lie beyond the first half
HOUR_S = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slices:
    """One pilot replication to do."""

    cell: Compiled
    steps: int  # of one slice
    slices: int
    seed: int
    replication: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Pilot:
    """What the pilot found: hours to cut off, and whether it was long enough to trust them."""

    cut_h: float  # nothing where the pilot was too short
    long_enough: bool  # False: the best cut lies beyond the first half, so it is no warm-up
    by_chance: bool  # False: all replications were alike; the rule is for series with chance, and was not used
    batch: int  # slices that make a batch of the rule
    slice_h: float
    slices: int
    replications: int


def pilot(cell: Cell, *, run: Run) -> Pilot:
    """Run a pilot as long as the run, or as the rule needs, from replication 0 on, and find the cut."""
    c = compiled(cell)
    steps = round(slice_s(cell) / c.grid_s)
    slices = max(LEAST_SLICES, int(run.hours * HOUR_S / (steps * c.grid_s)))
    pieces = [
        Slices(cell=c, steps=steps, slices=slices, seed=run.seed, replication=number) for number in range(REPLICATIONS)
    ]
    runner, watch = run.plan.runner or LocalRunner(), run.plan.watch or Nobody()
    series = list(watched(watch, "warm-up", runner.map(good_by_slice, pieces), total=len(pieces)))
    batch = 1 if cell.calendars else BATCH
    found = warm_up(averaged(series), batch=batch)
    by_chance = any(each != series[0] for each in series)
    slice_h = steps * c.grid_s / HOUR_S
    return Pilot(
        cut_h=found.cut * slice_h if found.long_enough and by_chance else 0.0,
        long_enough=found.long_enough or not by_chance,
        by_chance=by_chance,
        batch=batch,
        slice_h=slice_h,
        slices=slices,
        replications=len(pieces),
    )


def slice_s(cell: Cell) -> float:
    """The longest period of the cell's calendars; an hour where it has none."""
    return max((calendar.period_s for calendar in cell.calendars.values()), default=HOUR_S)


def good_by_slice(piece: Slices) -> tuple[float, ...]:
    """Good parts of each slice of one replication."""
    run = finished_run(piece.cell, piece.steps, seed=piece.seed, replication=piece.replication)
    totals = [0, counts_of(run).counted[C_GOOD]]
    for number in range(2, piece.slices + 1):
        run_on(run, number * piece.steps)
        totals.append(counts_of(run).counted[C_GOOD])
    return tuple(float(after - before) for before, after in pairwise(totals))

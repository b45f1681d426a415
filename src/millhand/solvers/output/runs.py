"""Replications of one cell that are kept one by one, so that more can follow until the answer is sure enough."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from millhand.model.cell import Cell
from millhand.model.performance import Output
from millhand.run import LocalRunner, Nobody, watched
from millhand.solvers.kernel.codes import C_GOOD
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.replications import NO_WARM_UP, Piece, Plan, counted, output_of
from millhand.solvers.output.interval import half_width
from millhand.solvers.output.precision import replications_needed, until_precise

USUAL = 0.01  # the precision that is told where none was asked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How each replication is run: how long, with which chance, where, and what is cut off."""

    hours: float
    seed: int = 1
    plan: Plan = field(default_factory=Plan)


@dataclass(slots=True, kw_only=True)
class Runs:
    """Replications of one cell from number 0 on; more may be put behind them."""

    cell: Compiled
    run: Run
    each: list[Counts] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sureness:
    """How sure the good parts an hour are, and what a precision took or would take."""

    precision: float  # asked for, or the usual one: half of the interval as a share of the true mean
    asked: bool
    met: bool  # the half width is at most the adjusted share precision / (1 + precision) of the mean
    half_width_share: float | None  # of the mean; None of one replication, and of a mean of nothing
    needed: int | None  # replications in all, if mean and spread stay as they are; None: cannot be said, or none would
    most: int | None  # where it would have been given up, when asked for


def no_runs(cell: Cell, *, run: Run) -> Runs:
    """A cell ready to be run."""
    return Runs(cell=compiled(cell), run=run)


def more(runs: Runs, count: int) -> list[float]:
    """Do the next `count` replications; good parts an hour of each."""
    c, plan, first = runs.cell, runs.run.plan, len(runs.each)
    horizon, cut = (_steps(c, hours) for hours in (runs.run.hours, plan.warm_up_hours))
    pieces = [
        Piece(cell=c, horizon=horizon, warm_up=cut, seed=runs.run.seed, replication=number)
        for number in range(first, first + count)
    ]
    runner, watch = plan.runner or LocalRunner(), plan.watch or Nobody()
    runs.each += watched(watch, "simulation", runner.map(counted, pieces), total=count)
    return good_per_h(runs)[first:]


def good_per_h(runs: Runs) -> list[float]:
    """Good parts an hour of each replication."""
    hours = counted_steps(runs) * runs.cell.grid_s / 3600
    return [counts.counted[C_GOOD] / hours for counts in runs.each]


def counted_steps(runs: Runs) -> int:
    """Grid steps of a replication that are counted."""
    return _steps(runs.cell, runs.run.hours) - _steps(runs.cell, runs.run.plan.warm_up_hours)


def output_so_far(runs: Runs, *, settled: bool = False) -> Output:
    """What all replications say together, as `simulate` says it; `settled`: a cut of nothing was found, not assumed."""
    output = output_of(runs.cell, runs.each, seed=runs.run.seed, steps=counted_steps(runs))
    if settled or _steps(runs.cell, runs.run.plan.warm_up_hours):
        return output
    return replace(output, left_out=(*output.left_out, NO_WARM_UP))


def run_until_precise(runs: Runs, *, precision: float, least: int, most: int) -> Sureness:
    """Replications until the good parts an hour are known to a relative precision, or until there are `most`."""
    until_precise(lambda _, count: more(runs, count), precision=precision, least=least, most=most)
    return sureness(good_per_h(runs), precision=precision, most=most)


def sureness(values: Sequence[float], *, precision: float = USUAL, most: int | None = None) -> Sureness:
    """How sure the mean of these replications is; with `most`, as the answer to a precision that was asked for."""
    mean = sum(values) / len(values)
    known = len(values) > 1
    needed = replications_needed(values, precision=precision, relative=True) if known else None
    return Sureness(
        precision=precision,
        asked=most is not None,
        met=needed == len(values),
        half_width_share=half_width(values) / mean if known and mean > 0.0 else None,
        needed=needed,
        most=most,
    )


def _steps(c: Compiled, hours: float) -> int:
    """Hours as whole grid steps."""
    return round(hours * 3600 / c.grid_s)

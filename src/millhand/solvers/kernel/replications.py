"""Many replications of one cell, and what they say together: means with their intervals."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.cell import Cell
from millhand.model.performance import Figure, Output
from millhand.run import LocalRunner, Nobody, Runner, Watch, watched
from millhand.solvers.kernel.codes import ATTENDANT_STATES, COUNTS, PROCESS, STATION_STATES
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counted, Counts, counted_after, counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.log import log_of
from millhand.solvers.kernel.running import finished_run, ready, run_on
from millhand.solvers.kernel.telling import (
    alone_of,
    by_part,
    cycles_of,
    effectiveness_of,
    finished_s,
    late_at,
    levels_of,
    quantiles,
)

LEVEL = 0.975  # two-sided 95 %
NO_WARM_UP = "no warm-up is cut off: each replication starts with empty machines, full presenters and people at home"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One replication to do: all that a process needs to know."""

    cell: Compiled
    horizon: int
    warm_up: int
    seed: int
    replication: int


def counted(piece: Piece) -> Counts:
    """Simulate one replication; what happened up to the end of the warm-up is taken away."""
    if piece.warm_up <= 0:
        return counts_of(finished_run(piece.cell, piece.horizon, seed=piece.seed, replication=piece.replication))
    run = finished_run(piece.cell, piece.warm_up, seed=piece.seed, replication=piece.replication)
    start = counts_of(run)
    run_on(run, piece.horizon)
    return counted_after(start, counts_of(run))


def simulate(
    cell: Cell,
    *,
    hours: float,
    replications: int = 10,
    seed: int = 1,
    first: int = 0,
    plan: "Plan | None" = None,
) -> Output:
    """What the cell puts out, from `replications` runs of `hours`, numbered from `first`; means with 95 % intervals."""
    plan = plan or Plan()
    c = compiled(cell)
    horizon = round(hours * 3600 / cell.grid_s)
    warm_up = round(plan.warm_up_hours * 3600 / cell.grid_s)
    pieces = [
        Piece(cell=c, horizon=horizon, warm_up=warm_up, seed=seed, replication=number)
        for number in range(first, first + replications)
    ]
    ready(c)  # compiled here and once, before several processes would each do it
    runner, watch = plan.runner or LocalRunner(), plan.watch or Nobody()
    each = list(watched(watch, "simulation", runner.map(counted, pieces), total=len(pieces)))
    output = output_of(c, each, seed=seed, steps=horizon - warm_up)
    return output if warm_up else replace(output, left_out=(*output.left_out, NO_WARM_UP))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Where replications are done, who looks on, and what is cut off at the start."""

    runner: Runner | None = None
    watch: Watch | None = None
    warm_up_hours: float = 0.0


def output_of(c: Compiled, each: Sequence[Counts], *, seed: int, steps: int) -> Output:
    """Means and intervals of what the replications counted."""
    hours = steps * c.grid_s / 3600
    per_hour = {
        name: interval([counts.counted[at] / hours for counts in each])
        for at, name in enumerate(COUNTS)
        if name not in ("parts", "good")
    }
    figures = {at: interval([counts.counted[at] / hours for counts in each]) for at in (0, 1)}
    return Output(
        cell=c.cell,
        seed=seed,
        replications=len(each),
        horizon_s=steps * c.grid_s,
        parts_per_h=figures[0],
        good_per_h=figures[1],
        states=_states(c, each, steps),
        duties=_per_duty(c, lambda d: [counts.duty_ended[d] / hours for counts in each]),
        duty_share=_per_duty(c, lambda d: [counts.duty_steps[d] / steps for counts in each]),
        counts=per_hour,
        attended_share=sum(counts.attended_steps for counts in each) / (steps * len(each)),
        alone_s=alone_s(c, each),
        alone=alone_of(c, each),
        levels=levels_of(c, each, steps),
        cycles=cycles_of(c, each),
        effectiveness=effectiveness_of(c, each, steps),
        by_part=by_part(c, each, hours),
        finished_s=finished_s(c, each),
        late_at=late_at(c, each, hours),
        left_out=c.left_out,
    )


def _per_duty(c: Compiled, values: Callable[[int], list[float]]) -> Mapping[str, Figure]:
    """One interval a duty."""
    return {name: interval(values(d)) for d, name in enumerate(c.duty_names)}


def _states(c: Compiled, each: Sequence[Counts], steps: int) -> Mapping[str, Mapping[str, float]]:
    """Mean shares of the horizon; only process stations have states, and only states that occur are named."""
    whole = steps * len(each)
    found: dict[str, Mapping[str, float]] = {}
    for s, name in enumerate(c.station_names):
        if c.stations.kind[s] == PROCESS:
            found[name] = _shares(STATION_STATES, [counts.stations for counts in each], s, whole)
    for a, name in enumerate(c.attendant_names):
        found[name] = _shares(ATTENDANT_STATES, [counts.attendants for counts in each], a, whole)
    return found


def _shares(states: tuple[str, ...], books: list[Counted], owner: int, whole: int) -> Mapping[str, float]:
    """Shares of one owner's states."""
    base = owner * len(states)
    totals = {state: sum(book[base + at] for book in books) for at, state in enumerate(states)}
    return {state: total / whole for state, total in totals.items() if total}


def alone_s(c: Compiled, each: Sequence[Counts]) -> Mapping[str, float]:
    """How long the cell ran in absences of all people until something needed one: quantiles over the absences [s].

    An absence in which nothing needed anybody counts as longer than any other, so a quantile may be missing.
    """
    absences = [steps for counts in each for steps in counts.alone]
    stopped = sorted(steps for steps in absences if steps >= 0)
    known = quantiles([steps * c.grid_s for steps in stopped], of=len(absences))
    return {"absences": float(len(absences)), "stopped": float(len(stopped)), **known}


def interval(values: Sequence[float]) -> Figure:
    """Mean and 95 % interval (Student's t); of one value the interval is the value itself.

    What is never below nothing has no interval that reaches there.
    """
    from scipy.special import stdtrit

    count = len(values)
    mean = math.fsum(values) / count
    if count < 2:
        return Figure(mean=mean, low=mean, high=mean)
    variance = math.fsum((value - mean) ** 2 for value in values) / (count - 1)
    half = float(stdtrit(count - 1, LEVEL)) * math.sqrt(variance / count)
    least = 0.0 if min(values) >= 0.0 else -math.inf
    return Figure(mean=mean, low=max(least, mean - half), high=mean + half)


def log_lines(cell: Cell, *, hours: float, seed: int = 1, replication: int = 0) -> list[dict[str, float | str]]:
    """Every event of one replication: when, what, who, where."""
    c = compiled(cell)
    return log_of(finished_run(c, round(hours * 3600 / cell.grid_s), seed=seed, replication=replication, logging=True))

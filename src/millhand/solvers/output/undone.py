"""Duties that somebody does not get through: parts leave all the same, and calls are left undone ever more often."""

from millhand.model.cell import Cell
from millhand.model.mix import part_set
from millhand.model.performance import Output
from millhand.solvers.cycle.bounds import calendar_loads, long_run_load, per_hour
from millhand.solvers.cycle.loads.burdens import clock_share, count_calls
from millhand.solvers.cycle.loads.sharing import Shared

ROUND = 1e-3  # share of calls that may be left: how often a step by sample comes is a mean
FEW = 10  # calls that may wait at the end of a run which keeps up with them


def undone(cell: Cell, output: Output) -> tuple[str, ...]:
    """The duties of which more calls come with the parts of a run than are answered, so that more and more wait; none
    in a plan of lots, which ends.

    Only such calls add up: of a clock or a stock one waits at most. Of somebody with hours those of the closed hours of
    one period may wait without being left for ever.
    """
    if cell.goal == "makespan":
        return ()
    load, hours = long_run_load(cell), output.horizon_s / 3600.0
    sets_per_h = output.parts_per_h.low / sum(part_set(cell.parts).values())
    found = []
    for name, times in count_calls(load.cell, load.flow).items():
        called = times * sets_per_h
        done = output.duties[name].high if name in output.duties else 0.0
        closed = max((closed_s(cell, who) for who in cell.duties[name].who), default=0.0) / output.horizon_s
        if called - done > (ROUND + closed) * called + FEW / hours:
            found.append(name)
    return tuple(found)


def passed_over(cell: Cell, output: Output) -> tuple[str, ...]:
    """The duties that are done more seldom than their clock rings: a ring while a call waits calls nobody."""
    found = []
    for name, duty in cell.duties.items():
        if duty.trigger.kind == "clock" and name in output.duties:
            rings = 3600.0 * clock_share(duty.trigger, 1.0)
            if rings - output.duties[name].high > ROUND * rings + FEW * 3600.0 / output.horizon_s:
                found.append(name)
    return tuple(found)


def closed_s(cell: Cell, who: str) -> float:
    """How much of one period of its hours somebody is not there."""
    hours = cell.calendars.get(cell.attendants[who].calendar or "")
    return 0.0 if hours is None else hours.period_s - sum(end - start for start, end in hours.on)


def too_much(cell: Cell, output: Output) -> tuple[Shared, float] | None:
    """Whoever has more work than time at this output, and the parts an hour of all hours that can be kept up; None
    where there is time enough."""
    found = calendar_loads(cell)
    most = per_hour(cell, found)
    if output.parts_per_h.low <= most * (1.0 + ROUND):
        return None
    return max(found, key=lambda each: each.time), most

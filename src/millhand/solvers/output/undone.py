"""Duties that somebody does not get through: parts leave all the same, and calls are left undone ever more often."""

from millhand.model.cell import Cell
from millhand.model.duty import Duty
from millhand.model.performance import Output
from millhand.solvers.cycle.bounds import long_run_loads

ROUND = 1e-3  # by how much a rate may lie above its bound: a run begins with work at hand that it does not end with


def undone(cell: Cell, output: Output, bound_per_h: float) -> tuple[str, ...]:
    """The duties for which the busiest has no time at this output; none where it can be kept up. `bound_per_h`: the
    parts an hour that can be, good and bad together."""
    busiest = max(long_run_loads(cell), key=lambda each: each.time, default=None)
    if busiest is None or output.parts_per_h.low <= bound_per_h * (1 + ROUND):
        return ()
    return tuple(
        name for name, duty in cell.duties.items() if set(duty.who) <= set(busiest.resources) and holds_up_nothing(duty)
    )


def holds_up_nothing(duty: Duty) -> bool:
    """Whether parts go on where the duty is not done: it comes with the parts or by the clock, and fills nothing."""
    return duty.trigger.kind in ("parts", "clock") and duty.holds == "nothing" and not duty.restores

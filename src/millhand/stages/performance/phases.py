"""Phases of a lot one after the other, beside the mean of them: what they make of what a cell of the mean would claim.

The load bound is that of the mean, times the share of it that the bounds of the phases leave. The best cycle is that of
the phases in turn, and what was simulated was simulated in each of them.
"""

from millhand.model.fact import Fact
from millhand.model.phases import PhaseCell, PhasePace, Phases
from millhand.solvers.cycle.bounds import rate_bound_per_h
from millhand.solvers.cycle.in_turn import by_cycles, by_loads, load_s
from millhand.solvers.cycle.setters import pace_of
from millhand.stages.performance.shared import SHARE, Scope, bound_of, called, pace_setters


def bound_in_phases(scope: Scope) -> Fact:
    """Loads an hour that the cell could make at most: of all phases of a lot where it has several."""
    return in_phases(scope, bound_of(scope), "phases.bound_loads_per_h")


def in_phases(scope: Scope, loads_per_h: Fact, name: str) -> Fact:
    """What the phases make of so many loads an hour of the mean; as it was where parts come to the machines once."""
    if not scope.phases:
        return loads_per_h
    own = [each.cell for each in scope.phases]
    words, cells = "load bounds of the phases beside that", (scope.cell, *own)
    told = scope.solved(SHARE, by_loads(scope.cell, own), "1", words, cells=cells)
    return scope.apply("loads_in_phases_per_h", name, mean_per_h=loads_per_h, share=told)


def phases(scope: Scope) -> Phases | None:
    """Each phase and their mean, for the reader; None where parts come to the machines once."""
    if not scope.phases:
        return None
    mean_s = left = None
    if scope.schedule is not None:
        mean_s = scope.solved("phases.mean_cycle_s", load_s(scope.schedule), "s", scope.schedule.how).id
        known = [each.schedule for each in scope.phases if each.schedule is not None]
        if len(known) == len(scope.phases):
            cells, words = (scope.cell, *(each.cell for each in scope.phases)), "best cycles of the phases beside that"
            left = scope.solved("phases.left", by_cycles(scope.schedule, known), "1", words, cells=cells).id
    return Phases(
        each=tuple(_pace(scope, each) for each in scope.phases),
        mean_bound=scope.id("bound_loads_per_h"), mean_cycle=mean_s,
        share=scope.id(SHARE),
        left=left,
    )  # fmt: skip


def _pace(scope: Scope, phase: PhaseCell) -> PhasePace:
    """Bound, cycle and pace-setter of one phase."""
    name, cells, cycle = f"phases.{phase.operation}", (phase.cell,), None
    bound = scope.solved(f"{name}.bound_loads_per_h", rate_bound_per_h(phase.cell), "1/h", "load bound", cells=cells)
    if phase.schedule is not None:
        cycle = scope.solved(f"{name}.cycle_s", load_s(phase.schedule), "s", phase.schedule.how, cells=cells).id
    return PhasePace(operation=phase.operation, bound=bound.id, cycle=cycle, pace_setters=setters_of(phase))


def setters_of(phase: PhaseCell) -> tuple[str, ...]:
    """Which resources set the pace of a phase: of its best cycle, or of its loads where there is none."""
    pace = pace_of(phase.cell, phase.schedule) if phase.schedule is not None else None
    return (
        pace_setters(phase.cell) if pace is None else tuple(called(phase.cell, each.name) for each in pace.setters[:2])
    )


def cycle_of(scope: Scope) -> str | None:
    """Parts an hour of the best cycle of the means, of all phases of a lot where it has several; None where no cycle
    covers a cell."""
    loads = _cycle_loads(scope)
    if loads is None:
        return None
    return scope.apply(
        "parts_of_loads_per_h", "cycle_parts_per_h", loads_per_h=loads, parts_per_load=scope.parts_per_load
    ).id


def _cycle_loads(scope: Scope) -> Fact | None:
    """Loads an hour: of the mean, or of the phases one after the other where they take longer."""
    cycle = scope.schedule
    if cycle is None:
        return None
    seconds = cycle.period_steps * cycle.grid_s
    loads = scope.solved("cycle_loads_per_h", 3600.0 * cycle.parts_per_period / seconds, "1/h", cycle.how)
    if not scope.phases:
        return loads
    left = scope.id("phases.left")
    if left not in scope.sheet:
        return None
    if scope.sheet.value(left) == 1.0:
        return loads
    turns = tuple(scope.of(scope.id(f"phases.{each.operation}.cycle_s")) for each in scope.phases)
    return scope.apply("loads_in_turn_per_h", "phases.cycle_loads_per_h", loads_s=turns)

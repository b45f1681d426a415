"""Who sets the pace of a schedule, in words, and how far it is from its load bound."""

from collections.abc import Iterator
from itertools import groupby, pairwise

from millhand.model.schedule import Arc, Bound, Schedule

LONGEST = 14  # steps of a circuit told one by one


def pace_setters(bounds: tuple[Bound, ...]) -> tuple[Bound, Bound | None]:
    """The resource with the largest load and the one after it."""
    return bounds[0], bounds[1] if len(bounds) > 1 else None


def gap(schedule: Schedule, set_size: int) -> float:
    """By which share the period is longer than the load bound of the same cycle."""
    least = max((bound.cycle_steps for bound in schedule.bounds), default=0.0) * schedule.parts_per_period / set_size
    return schedule.period_steps / least - 1 if least > 0 else 0.0


def circuit_arcs(schedule: Schedule) -> Iterator[Arc]:
    """The arcs of the critical circuit, of lots that end of the path; the least slack where several join two events."""
    events = schedule.critical
    around = events[:1] if schedule.goal == "rate" else ()
    for before, after in pairwise((*events, *around)):
        arcs = [arc for arc in schedule.arcs if (arc.before, arc.after) == (before, after)]
        yield max(arcs, key=lambda arc: arc.lag_steps - arc.laps * schedule.period_steps)


def circuit_words(schedule: Schedule) -> str:
    """The critical circuit as who takes how long after whom: 'm2 380 s, operator1 49 s'."""
    told = []
    for why, arcs in groupby(circuit_arcs(schedule), key=lambda arc: arc.why):
        seconds = sum(arc.lag_steps for arc in arcs) * schedule.grid_s
        if seconds:
            told.append(f"{why} {f'{seconds:.3f}'.rstrip('0').rstrip('.')} s")
    laps = sum(arc.laps for arc in circuit_arcs(schedule))
    rest = [f"and {len(told) - LONGEST} more"] if len(told) > LONGEST else []
    over = f", over {laps} periods" if laps > 1 else ""
    return ", ".join([*told[:LONGEST], *rest]) + over

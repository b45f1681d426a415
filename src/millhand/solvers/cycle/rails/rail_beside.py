"""Attendants on a shared track with machines of their own: each runs its own simple tour, and the tours are fitted past
each other, one begun later than the other."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.deadline import Deadline, is_over
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_cycle import Placed, asked_of, cycle_with_motions
from millhand.solvers.cycle.rails.rail_motions import Allowance
from millhand.solvers.cycle.rails.rail_search import motions
from millhand.solvers.cycle.simple import Found, best_for
from millhand.solvers.cycle.tours.shape import check_shape, zones
from millhand.solvers.cycle.tours.stay import first_event
from millhand.solvers.cycle.tours.tour import Cycle, cycle_of, name_of
from millhand.solvers.cycle.view import Steady

MOST = 6  # beginnings of the second tour that are tried: judged, each takes some seconds
WORK = 0.5  # of the solver's own units for the motions of each


def beside(
    cell: Cell, view: Steady, rail: Rail, deadline: Deadline | None, *, below: float | None
) -> tuple[Cycle, int] | None:
    """The best such cycle of two attendants and the parts of one period; None where there is none, or none whose steps
    a part are `below`."""
    try:
        free = check_shape(replace(cell, tracks={}))
        own = zones(free) if len(rail.arms) == 2 and set(free.movers) == set(rail.arms) else []
        found = [best_for(cell, zone, floor=0.0) for zone in own]
    except NotYet:
        return None
    if not found:
        return None
    best, parts = None, sum(each.parts for each in found)
    for placed in begun(free, found):
        if is_over(deadline):
            break
        most = best.period_steps if best is not None else None if below is None else int(below * parts)
        asked = asked_of(view, rail, placed)
        timed = motions(asked, Allowance(work=WORK, deadline=deadline), below=most)
        if timed is not None:
            best = cycle_with_motions(view, placed, asked, timed)
    return None if best is None else (best, parts)


def begun(view: Steady, found: list[Found]) -> Iterator[Placed]:
    """The two tours at one period, the second one begun with each of its visits."""
    first, second = (each.tour for each in found)
    for turn in range(0, len(second), -(-len(second) // MOST)):
        tour = first + second[turn:] + second[:turn]
        cycle = cycle_of(view, tour)
        if cycle is None or cycle.period_steps < 1:
            continue  # the windows allow none, or nothing takes any time
        at = {event.id: event.at_steps for event in cycle.events}
        starts = [at[name_of(index, visit, first_event(visit))] for index, visit in enumerate(tour)]
        order = sorted(range(len(tour)), key=lambda index: (starts[index], index))
        yield Placed(
            tour=tuple(tour[index] for index in order), starts=tuple(starts[index] for index in order),
            period_steps=cycle.period_steps, inside={},
        )  # fmt: skip

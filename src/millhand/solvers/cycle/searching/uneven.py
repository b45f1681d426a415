"""Cycles in which like machines are not loaded equally often: where an attendant sets the pace, the nearest one may do
more of the work than the others, or all of it."""

from math import ceil

from millhand.solvers.cycle.searching.jobs import dealt_step, rounds
from millhand.solvers.cycle.view import Steady


def may_be_uneven(view: Steady) -> bool:
    """Whether the search by rounds passes over cycles that load the machines of a step unequally."""
    return rounds(view) > 1 and not (view.loads or view.duties or view.orders)


def dealt(view: Steady, sets: int) -> bool:
    """Whether a search with so many part sets, not asked to be free, deals the machines of a step out in turn."""
    step = None if len(view.routes) > 1 else dealt_step(view, next(iter(view.routes)))
    if step is None:
        return False
    (part,) = view.routes
    return view.part_set[part] * sets % len(view.routes[part][step].stations) == 0


def uneven_steps(view: Steady, sets: int) -> int:
    """The least period in which the dealt machines have unequal numbers of so many sets: one of them has one more than
    its share, and each of its slots works and is loaded for all of its own. 0 where nothing can be said."""
    step = None if len(view.routes) > 1 else dealt_step(view, next(iter(view.routes)))
    if step is None:
        return 0
    (part,) = view.routes
    stop = view.routes[part][step]
    name, time = stop.stations[0], min(stop.times_steps)
    slots = view.slots[name]
    if not slots:
        return 0
    holds = {
        kind: [phase.hold_steps for key, phase in view.phases.items() if key[1:] == (name, part, kind)]
        for kind in ("pick", "place", "swap")
    }
    apart = min(holds["pick"], default=0) + min(holds["place"], default=0)
    one = time + min(apart, *holds["swap"]) if holds["swap"] else time + apart
    most = view.part_set[part] * sets // len(stop.stations) + 1
    return ceil(most / slots) * one

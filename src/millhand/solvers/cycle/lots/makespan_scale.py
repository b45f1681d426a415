"""The same lots in larger steps: all durations divided by what divides them all, so that there is less to count."""

from collections.abc import Iterator
from dataclasses import replace
from math import gcd

from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_plan import Plan
from millhand.solvers.cycle.view import Mover, Phase, Stop

Table = tuple[tuple[int | None, ...], ...]


def coarse(lots: Lots) -> tuple[Lots, int]:
    """The lots in the largest steps in which every duration is a whole number, and how many grid steps one is.

    Nothing is lost: the earliest times of any plan are sums of durations.
    """
    by = gcd(*durations(lots)) or 1
    if by == 1:
        return lots, 1
    view = replace(
        lots.view,
        routes={part: tuple(shorter_stop(stop, by) for stop in route) for part, route in lots.view.routes.items()},
        movers={who: shorter_mover(mover, by) for who, mover in lots.view.movers.items()},
        phases={key: shorter_phase(phase, by) for key, phase in lots.view.phases.items()},
    )
    set_ups = {
        key: replace(each, takes_steps=each.takes_steps // by, response_steps=each.response_steps // by)
        for key, each in lots.set_ups.items()
    }
    turns = {name: steps // by for name, steps in lots.turnaround_steps.items()}
    return replace(lots, view=view, set_ups=set_ups, turnaround_steps=turns), by


def with_set_ups(plan: Plan, by: int) -> Plan:
    """A plan in larger steps with its changeovers in those of the grid; its times follow from its arcs."""
    changes = tuple(
        replace(
            each,
            set_up=replace(
                each.set_up,
                takes_steps=each.set_up.takes_steps * by,
                response_steps=each.set_up.response_steps * by,
            ),
        )
        for each in plan.changes
    )
    return replace(plan, changes=changes)


def durations(lots: Lots) -> Iterator[int]:
    """Every duration of the lots."""
    for route in lots.view.routes.values():
        for stop in route:
            yield from stop.times_steps
            yield stop.stay_max_steps or 0
    for mover in lots.view.movers.values():
        yield mover.turn_steps
        for table in (mover.empty_steps, mover.loaded_steps):
            yield from (way or 0 for row in table for way in row)
    for phase in lots.view.phases.values():
        yield from (phase.lead_steps, phase.hold_steps, phase.tail_steps)
    for each in lots.set_ups.values():
        yield from (each.takes_steps, each.response_steps)
    yield from lots.turnaround_steps.values()


def shorter_stop(stop: Stop, by: int) -> Stop:
    """A step of a route in larger steps."""
    longest = stop.stay_max_steps
    return replace(
        stop,
        times_steps=tuple(time // by for time in stop.times_steps),
        stay_max_steps=None if longest is None else longest // by,
    )


def shorter_mover(mover: Mover, by: int) -> Mover:
    """An attendant in larger steps."""

    def shorter(table: Table) -> Table:
        return tuple(tuple(None if way is None else way // by for way in row) for row in table)

    return replace(
        mover,
        turn_steps=mover.turn_steps // by,
        empty_steps=shorter(mover.empty_steps),
        loaded_steps=shorter(mover.loaded_steps),
    )


def shorter_phase(phase: Phase, by: int) -> Phase:
    """A visit in larger steps."""
    return replace(
        phase,
        lead_steps=phase.lead_steps // by,
        hold_steps=phase.hold_steps // by,
        tail_steps=phase.tail_steps // by,
    )

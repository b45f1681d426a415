"""The view of a cell as the search for visits on a shared track sees it: what any motions need at least."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.rails.rail import Rail, rail_of, shortest_way_steps, way_of_one_stop_steps
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.view import Mover, Steady


def shared_rail(cell: Cell, view: Steady) -> Rail | None:
    """The tracks that somebody at work shares with others, if there are any."""
    rail = rail_of(cell, steady(cell).movers, view.movers)
    if rail is None:
        return None
    for arm in rail.arms:
        off = next((place for place in [*rail.movers[arm].rows, *rail.places(arm)] if place not in rail.at_m), None)
        if off is not None:
            raise NotYet(f"a cycle of {arm} on a shared track and at {off} beside it", where="/tracks")
    return rail


def with_shortest_ways(view: Steady, rail: Rail) -> Steady:
    """The same with the shortest ways over any stops for those on the track, who may wait loaded on them."""
    return with_ways(view, rail, partial(shortest_way_steps, rail))


def with_ways_of_one_stop(view: Steady, rail: Rail) -> Steady:
    """The same with ways over one stop at most, where there are any: as many as motions have between two visits.

    In a table in which stops save time a shortest way may have many.
    """
    return with_ways(view, rail, partial(way_of_one_stop_steps, rail))


def with_ways(view: Steady, rail: Rail, way_steps: Callable[..., int | None]) -> Steady:
    """The same with other ways for those on the track."""
    movers = {who: going(rail, mover, way_steps) if who in rail.arms else mover for who, mover in view.movers.items()}
    return replace(view, movers=movers, railed=frozenset(rail.arms))


def going(rail: Rail, mover: Mover, way_steps: Callable[..., int | None]) -> Mover:
    """An attendant with other ways in its tables."""

    def table(*, loaded: bool) -> tuple[tuple[int | None, ...], ...]:
        return tuple(
            tuple(way_steps(mover.id, (start, goal), loaded=loaded) for goal in mover.rows) for start in mover.rows
        )

    return replace(mover, empty_steps=table(loaded=False), loaded_steps=table(loaded=True))

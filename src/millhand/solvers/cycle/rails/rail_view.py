"""The view of a cell as the search for visits on a shared track sees it: what any motions need at least."""

from collections.abc import Mapping
from dataclasses import replace

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.rails.rail import Rail, rail_of, shortest_way_steps
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
    movers: Mapping[str, Mover] = {
        who: with_ways(rail, mover) if who in rail.arms else mover for who, mover in view.movers.items()
    }
    return replace(view, movers=movers, railed=frozenset(rail.arms))


def with_ways(rail: Rail, mover: Mover) -> Mover:
    """An attendant with the shortest ways in its tables."""

    def table(*, loaded: bool) -> tuple[tuple[int | None, ...], ...]:
        return tuple(
            tuple(shortest_way_steps(rail, mover.id, (start, goal), loaded=loaded) for goal in mover.rows)
            for start in mover.rows
        )

    return replace(mover, empty_steps=table(loaded=False), loaded_steps=table(loaded=True))

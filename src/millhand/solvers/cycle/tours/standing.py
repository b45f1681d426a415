"""Events of a cycle that are none of the cell, left out: each path of waits through one of them becomes one arc.

Where a machine has fewer places than others of its step, a part stands in it from one step of the written-out route to
the next: a move that is none.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from millhand.model.schedule import Arc
from millhand.solvers.cycle.tours.stay import Stay, name_of


def standing(tour: Sequence[Stay]) -> Iterator[str]:
    """The events of parts that go on to their next step where they are."""
    for (lift, old), (down, new) in pairwise(enumerate(tour)):
        if not (old.who or new.who) and (old.kind, new.kind, old.station) == ("pick", "place", new.station):
            yield from (name_of(lift, old, what) for what in ("lift", "lifted"))
            yield from (name_of(down, new, what) for what in ("set", "placed", "start", "finish"))


def without(arcs: tuple[Arc, ...], gone: str) -> tuple[Arc, ...]:
    """The arcs without an event, each path through it as one arc; of arcs between the same events the longest."""
    comes = [arc for arc in arcs if arc.after == gone and arc.before != gone]
    leaves = [arc for arc in arcs if arc.before == gone and arc.after != gone]
    through = [
        Arc(
            before=one.before,
            after=other.after,
            lag_steps=one.lag_steps + other.lag_steps,
            laps=one.laps + other.laps,
            why=other.why,
        )
        for one in comes
        for other in leaves
        if one.before != other.after
    ]
    found: dict[tuple[str, str, int], Arc] = {}
    for arc in (*(arc for arc in arcs if gone not in (arc.before, arc.after)), *through):
        key = (arc.before, arc.after, arc.laps)
        if key not in found or found[key].lag_steps < arc.lag_steps:
            found[key] = arc
    return tuple(found.values())

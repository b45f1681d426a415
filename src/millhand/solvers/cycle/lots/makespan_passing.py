"""What two attendants on one track owe each other: of each two pieces of their ways, which may come first and by how
much, exactly.

A piece is a motion at even speed or a rest. Two pieces that would bring the two too near have two ways out, one before
the other or the other before the one, each with the least time between two moments. Positions run straight between
departures and arrivals, so what holds there holds always.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_plan import Moment
from millhand.solvers.cycle.rails.rail import Rail, rail_of

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr

Known = dict[tuple[object, ...], tuple[int, int] | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A motion from place to place that takes so long, or a rest at one; `made` are the questions that it hangs on.

    `ends` counts for a rest alone: None where it has no end. `first` and `last` name its moments for the plan.
    """

    who: str
    places: tuple[str, str]
    begins: "LinearExpr | int"
    steps: int | None = None  # None: a rest
    ends: "LinearExpr | int | None" = None
    made: "tuple[IntVar, ...]" = ()
    first: Moment | None = None
    last: Moment | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """The second moment comes at least so long after the first."""

    before: "LinearExpr | int"
    after: "LinearExpr | int"
    lag: int
    moments: tuple[Moment | None, Moment | None]


def lots_rail(lots: Lots) -> Rail | None:
    """The tracks on which those run who carry parts of the lots beside each other."""
    return rail_of(lots.cell, lots.view.movers, lots.sharing) if lots.sharing else None


def ways_out(rail: Rail, low: Piece, high: Piece, known: Known) -> tuple[WayOut, ...] | None:
    """How two pieces of two attendants are kept apart, the lower attendant's first; None where they never meet. Many
    pieces are alike, so what two of them need is kept in `known`."""
    key = (low.who, low.places, low.steps, high.who, high.places, high.steps)
    if key not in known:
        known[key] = window_of(rail, low, high)
    window = known[key]
    if window is None:
        return None
    if low.steps is None and high.steps is None:
        return (*after_rest(low, high, 0), *after_rest(high, low, 0))
    if rail.track(low.who).rule == "order":
        return tuple(whole_ways(low, high))
    if low.steps is None or high.steps is None:
        rest, motion = (low, high) if low.steps is None else (high, low)
        return (*after_rest(rest, motion, -window[0]), *before_rest(motion, rest, window[1]))
    return (
        WayOut(before=low.begins, after=high.begins, lag=window[1], moments=(low.first, high.first)),
        WayOut(before=high.begins, after=low.begins, lag=-window[0], moments=(high.first, low.first)),
    )


def whole_ways(low: Piece, high: Piece) -> Iterator[WayOut]:
    """Where only places count one piece is over before the other begins. It is over with its arrival: what happens at
    that moment comes after it, or is over before the other one sets out."""
    for one, other in ((low, high), (high, low)):
        ends, last = (one.ends, one.last) if one.steps is None else (one.begins + one.steps, arrival(one.first))
        if ends is not None and (other.steps is not None or other.first is not None):
            yield WayOut(before=ends, after=other.begins, lag=0, moments=(last, other.first))


def arrival(departs: Moment | None) -> Moment | None:
    """The end of the motion that begins with a departure."""
    return None if departs is None else replace(departs, what="arrive")


def window_of(rail: Rail, low: Piece, high: Piece) -> tuple[int, int] | None:
    """When two pieces are too near: of two motions between which departures, the higher one's counted from the lower
    one's; of a motion and a rest from when to when since its departure; None where they never are."""
    if low.steps is None and high.steps is None:
        return (0, 0) if rail.near((low.who, low.places[0]), (high.who, high.places[0])) else None
    if rail.track(low.who).rule == "order":
        return by_order(rail, low, high)
    if low.steps is not None and high.steps is not None:
        return both_moving(rail, low, high)
    rest, motion = (low, high) if low.steps is None else (high, low)
    return span_near(rail, motion, (rest.who, rest.places[0]))


def after_rest(rest: Piece, other: Piece, lag: int) -> tuple[WayOut, ...]:
    """The other comes after a rest, where that ends at all."""
    if rest.ends is None:
        return ()
    return (WayOut(before=rest.ends, after=other.begins, lag=lag, moments=(rest.last, other.first)),)


def before_rest(motion: Piece, rest: Piece, lag: int) -> tuple[WayOut, ...]:
    """The motion comes before a rest, where that is not there from the start."""
    if rest.first is None:
        return ()
    return (WayOut(before=motion.begins, after=rest.begins, lag=lag, moments=(motion.first, rest.first)),)


def span_near(rail: Rail, motion: Piece, spot: tuple[str, str]) -> tuple[int, int] | None:
    """From when to when since its departure a motion is too near to somebody at a place; None where it never is."""
    who, steps = motion.who, motion.steps or 0
    start, goal = (rail.near((who, place), spot) for place in motion.places)
    if not (start or goal):
        return None
    enters = 0 if start else rail.enters(who, motion.places, steps, spot)
    return enters, steps if goal else rail.leaves(who, motion.places, steps, spot)


def by_order(rail: Rail, low: Piece, high: Piece) -> tuple[int, int] | None:
    """The whole of a motion where only places count and those of the two are out of order; however near they are, one
    may stand while the other moves."""
    ends = [(rail.at_m[low.places[i]], rail.at_m[high.places[i]]) for i in (0, 1)]
    return (-(high.steps or 0), low.steps or 0) if any(above < below for below, above in ends) else None


def both_moving(rail: Rail, low: Piece, high: Piece) -> tuple[int, int] | None:
    """Between which departures, counted from the lower one's, the higher attendant's motion would come too near.

    Too near they are at a departure or an arrival of one of them, if at all.
    """
    one, other = low.steps or 0, high.steps or 0
    found: list[tuple[int, int]] = []
    for place, shift in zip(high.places, (0, other), strict=True):
        span = span_near(rail, low, (high.who, place))
        found += [] if span is None else [(span[0] - shift, span[1] - shift)]
    for place, shift in zip(low.places, (0, one), strict=True):
        span = span_near(rail, high, (low.who, place))
        found += [] if span is None else [(shift - span[1], shift - span[0])]
    return (min(early for early, _ in found), max(late for _, late in found)) if found else None


def pairs_of(rail: Rail, own: Mapping[str, Sequence[Piece]]) -> list[tuple[Piece, Piece]]:
    """Every two pieces of two attendants of one track, the lower attendant's first."""
    return [
        (one, other)
        for track in rail.tracks
        for index, low in enumerate(track.arms)
        for high in track.arms[index + 1 :]
        for one in own.get(low, ())
        for other in own.get(high, ())
    ]

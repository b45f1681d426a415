"""A cell with nothing left to chance: means instead of spreads, no faults, wear, duties or hours, every part alike."""

from dataclasses import replace

from millhand.model.cell import Cell, CellPart, Dispatch, Step
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.model.station import Station


def certain(cell: Cell) -> Cell:
    """The same cell as its cycle sees it, all attendants under the rule `cycle`; stocks have no end."""
    return replace(
        cell,
        stations={name: station(each) for name, each in cell.stations.items()},
        attendants={name: replace(each, faults=(), wear=(), calendar=None) for name, each in cell.attendants.items()},
        handling=tuple(row(each) for each in cell.handling),
        parts={name: part(each) for name, each in cell.parts.items()},
        duties={},
        zones={},
        changeovers=(),
        dispatch={name: Dispatch(rule="cycle") for name in cell.attendants},
    )


def mean(span: Span) -> Span:
    """A span without spread."""
    return Span(mean_s=span.mean_s)


def visit(each: Visit | None) -> Visit | None:
    """A visit without spread."""
    return each and replace(each, lead_s=mean(each.lead_s), hold_s=mean(each.hold_s), tail_s=mean(each.tail_s))


def row(each: Handling) -> Handling:
    """A row of handling that never misses."""
    return replace(each, pick=visit(each.pick), place=visit(each.place), swap=visit(each.swap), miss=None)


def station(each: Station) -> Station:
    """A station that never stops; supplies and sinks without end."""
    endless = each.kind in ("supply", "sink")
    capacity = None if endless else each.capacity
    return replace(each, faults=(), wear=(), calendar=None, warm_up=None, refill=None, capacity=capacity)


def part(each: CellPart) -> CellPart:
    """A part that is always good and goes only where every part goes."""
    return replace(each, route=tuple(step(one) for one in each.route if one.every == 1))


def step(each: Step) -> Step:
    """A step without spread."""
    return replace(
        each,
        time_s=each.time_s and mean(each.time_s),
        times_s=each.times_s and {name: mean(span) for name, span in each.times_s.items()},
        good=1.0,
        on_bad=None,
    )

"""Endless slots in the simulation: as many as can be in use at once, so that one is always free.

How many that is follows from how long a part is there and how soon the next one can come. That is a generous guess: a
run in which the last free slot is taken stops with an error, so none counts what endless slots would not.

Own buffers of such a machine hold no part that could not go on. So each slot is served as they are: a tail binds
nobody, a lead begins when somebody arrives, and nothing is exchanged. Of these and of loads of several parts more slots
are spare: a schedule may keep parts waiting in buffers, and some loads begun and some half emptied.
"""

from collections.abc import Iterator
from dataclasses import replace
from math import ceil

from millhand.model.cell import Cell
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.solvers.cycle.closed import with_open_machines
from millhand.solvers.cycle.pieces import stores_of_pieces
from millhand.solvers.cycle.slots import is_told_in_full
from millhand.solvers.cycle.trays import with_trays
from millhand.solvers.kernel.expanded import Expanded, expanded
from millhand.solvers.kernel.kept_clear import kept_clear

MOST_SLOTS = 24  # that stand for endless ones: each is a station of the run
SPARE = 3  # slots beside those in use: one is filled, one is emptied, one is free
LATE = 1.5  # so many times their work parts may be there: until somebody comes, and where the work varies


def simulated(cell: Cell) -> Expanded:
    """The cell written out as the simulation has it."""
    cell = with_pieces(with_trays(with_open_machines(kept_clear(cell))))
    endless = [name for name, each in cell.stations.items() if each.kind == "process" and each.capacity is None]
    if not endless:
        return expanded(cell)
    slots = {
        name: replace(cell.stations[name], capacity=slots_for(cell, name), in_queue=0, out_queue=0) for name in endless
    }
    rows = tuple(each for row in cell.handling for each in (*as_buffers(row, cell, endless), row))
    whole = expanded(replace(cell, stations={**cell.stations, **slots}, handling=rows))
    return replace(whole, endless=tuple(endless), in_full=is_told_in_full(cell))


def with_pieces(cell: Cell) -> Cell:
    """The cell whose stores that no part passes are supplies of pieces; without a limit one holds what it begins
    with."""
    found = stores_of_pieces(cell)
    if not found:
        return cell
    supplies = {
        name: replace(each, kind="supply", capacity=each.start if each.capacity is None else each.capacity)
        for name, each in cell.stations.items()
        if name in found
    }
    return replace(cell, stations={**cell.stations, **supplies})


def as_buffers(row: Handling, cell: Cell, endless: list[str]) -> Iterator[Handling]:
    """A row of handling for those of its stations whose buffers are left out, each before the row itself."""
    for name in (each for each in row.at if each in endless):
        station = cell.stations[name]
        if station.in_queue != 0 or station.out_queue != 0:
            pick = open_visit(row.pick) if station.out_queue != 0 else row.pick
            place = open_visit(row.place) if station.in_queue != 0 else row.place
            yield replace(row, at=(name,), pick=pick, place=place, swap=None, elements=())


def open_visit(visit: Visit | None) -> Visit | None:
    """A visit where nothing closes or is done."""
    return visit and replace(visit, tail_s=Span(mean_s=0.0), lead_on="arrival")


def slots_for(cell: Cell, station: str) -> int:
    """How many slots stand for endless ones."""
    steps = [step for part in cell.parts.values() for step in part.route if station in step.at]
    spans = [(step.times_s or {}).get(station) or step.time_s for step in steps]
    longest = max((span.mean_s for span in spans if span is not None), default=0.0)
    own = cell.stations[station]
    between = interval_s(cell, station) * own.batch
    if between <= 0:
        return MOST_SLOTS
    spare = SPARE if own.batch == 1 and own.in_queue == own.out_queue == 0 else 2 * SPARE
    return min(MOST_SLOTS, ceil(LATE * longest / between) + spare)


def interval_s(cell: Cell, station: str) -> float:
    """The least time between two parts set down at a station: each is lifted and set down by somebody."""
    rates = []
    for who in cell.attendants:
        here = [row.place or row.swap for row in cell.handling if who in row.who and station in row.at]
        lifts = [row.pick or row.swap for row in cell.handling if who in row.who]
        holds = [least_s([each.hold_s for each in visits if each is not None]) for visits in (here, lifts)]
        if any(here):
            rates.append(1.0 / sum(holds) if sum(holds) > 0 else float("inf"))
    return 1.0 / sum(rates) if rates else 0.0


def least_s(spans: list[Span]) -> float:
    """The least mean of several spans."""
    return min((span.mean_s for span in spans), default=0.0)

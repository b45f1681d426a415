"""Loads of several parts of a lot: which parts may be in one, and how many loads of which sizes make up a lot.

Parts of one type are alike, so they can be numbered in such a way that the parts of each load follow each other. Where
all machines of a step take loads of one size the loads then lie fixed; where the sizes are unlike, as where one machine
takes two parts at once and another one, a load may begin with any part.
"""

from collections.abc import Collection, Iterable, Mapping

from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots
from millhand.solvers.cycle.lots.makespan_plan import Carried, Plan


def alike(lots: Lots, j: int) -> range:
    """All parts of the type of a part."""
    first = j - (lots.pieces[j].number - 1)
    lot = lots.cell.parts[lots.pieces[j].part].lot
    return range(first, first + (lot.size * lot.count if lot else 1))


def firsts(lots: Lots, spot: tuple[int, int, str]) -> Iterable[int]:
    """The parts with which the load may begin in which a part is at a step and station."""
    j, step, station = spot
    size, own = lots.batch(station), alike(lots, j)
    if len(lots.sizes(j, step)) == 1:
        return (even_load(lots, j, size)[0],)
    return range(max(own.start, j - size + 1), min(j, own.stop - size) + 1)


def members(lots: Lots, spot: tuple[int, int, str]) -> list[tuple[int, int, str]]:
    """The parts of the load that a part is the first of."""
    j, step, station = spot
    return [(each, step, station) for each in range(j, j + lots.batch(station))]


def even_load(lots: Lots, j: int, size: int) -> range:
    """The parts of the load that a part is in where all loads have one size."""
    first = j - (j - alike(lots, j).start) % size
    return range(first, first + size)


def fills_loads(count: int, sizes: Collection[int]) -> bool:
    """Whether so many parts make up whole loads of these sizes."""
    reached = {0}
    for each in range(1, count + 1):
        if any(each - size in reached for size in sizes):
            reached.add(each)
    return count in reached


def load_in(lots: Lots, carried: Mapping[Hop, Carried], hop: Hop) -> tuple[int, ...]:
    """The parts of the load that a transfer of a plan brings a part to."""
    (j, h), station = hop, carried[hop].way.goal
    if lots.batch(station) == 1:
        return (j,)
    if len(lots.sizes(j, h + 1)) == 1:
        return tuple(even_load(lots, j, lots.batch(station)))
    first = alike(lots, j).start
    while (size := lots.batch(carried[first, h].way.goal)) <= j - first:
        first += size
    return tuple(range(first, first + lots.batch(station)))


def completes(lots: Lots, plan: Plan, hop: Hop) -> bool:
    """Whether a transfer of a plan brings the last part of a load."""
    carried = plan.carried
    load = [(j, hop[1]) for j in load_in(lots, carried, hop)]
    return hop == max(load, key=lambda each: (carried[each].set, carried[each].placed, plan.rank(each, "in"), each))

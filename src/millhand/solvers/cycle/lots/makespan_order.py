"""In which order the parts of lots are lifted: as their supplies give them, and alike ones as they are numbered."""

from collections.abc import Iterator

from millhand.solvers.cycle.deadline import ask
from millhand.solvers.cycle.lots.makespan_loads import alike
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_model import Draft


def add_order(draft: Draft) -> None:
    """A supply gives its lots in their order; alike parts are numbered in the order in which they are lifted."""
    lots = draft.lots
    for supply in dict.fromkeys(name for j in range(len(lots.pieces)) for name in lots.supplies(j)):
        add_turns(draft, supply, [j for j in range(len(lots.pieces)) if supply in lots.supplies(j)])
    for one in range(len(lots.pieces)):
        for other in (each for each in alike(lots, one) if is_numbered(lots, (one, each))):
            draft.model.add(draft.time[(one, 0), "lift"] <= draft.time[(other, 0), "lift"])
    add_order_of_loads(draft)


def add_turns(draft: Draft, supply: str, given: list[int]) -> None:
    """No part comes out of a supply before one of an earlier lot that comes out of it; where all its parts come from
    nowhere else only lots that follow each other are asked about."""
    lots = draft.lots
    rank = {turn: number for number, turn in enumerate(sorted({lots.pieces[j].turn for j in given}))}
    only = all(lots.supplies(j) == (supply,) for j in given)
    for one in given:
        ask(draft.deadline)
        for other in given:
            ahead = rank[lots.pieces[other].turn] - rank[lots.pieces[one].turn]
            if ahead == 1 or (ahead > 1 and not only):
                later = draft.model.add(draft.time[(one, 0), "lift"] <= draft.time[(other, 0), "lift"])
                later.only_enforce_if([] if only else [draft.at[one, 0, supply], draft.at[other, 0, supply]])


def is_numbered(lots: Lots, pair: tuple[int, int]) -> bool:
    """Whether of two alike parts of one lot the first is lifted before the other; only neighbours are asked about.

    Alike parts that are worked on in loads of several are numbered by their loads, and in order within each.
    """
    a, b = (lots.pieces[j] for j in pair)
    steps = range(len(lots.route(pair[0])))
    if a.turn != b.turn or any(len(lots.sizes(pair[0], step)) > 1 for step in steps):
        return False
    size = max(max(lots.sizes(pair[0], step)) for step in steps)
    if size == 1:
        return b.number == a.number + 1
    first_a, first_b = (a.number - 1) % size == 0, (b.number - 1) % size == 0
    same = (a.number - 1) // size == (b.number - 1) // size
    return (same and b.number == a.number + 1) or (first_a and first_b and b.number == a.number + size)


def add_order_of_loads(draft: Draft) -> None:
    """Where loads of a step have several sizes: alike parts of one lot that are in loads at this step only are numbered
    load after load, and in order within each."""
    lots = draft.lots
    for j, step, station in uneven(draft):
        own, size = alike(lots, j), lots.batch(station)
        begins = draft.at[j, step, station] if size == 1 else draft.loads.first.get((j, step, station))
        pairs = [*((each, each + 1) for each in range(j, j + size - 1)), (j, j + size)]
        for one, other in pairs if begins is not None else ():
            if other in own and lots.pieces[one].turn == lots.pieces[own.stop - 1].turn == lots.pieces[own.start].turn:
                later = draft.model.add(draft.time[(one, 0), "lift"] <= draft.time[(other, 0), "lift"])
                later.only_enforce_if(begins)


def uneven(draft: Draft) -> Iterator[tuple[int, int, str]]:
    """Every part at every machine of the only step at which it comes into loads, where these have several sizes."""
    lots = draft.lots
    for j, step, station in draft.at:
        several = [each for each in range(len(lots.route(j))) if max(lots.sizes(j, each)) > 1]
        if lots.works(station) and several == [step] and len(lots.sizes(j, step)) > 1:
            yield j, step, station

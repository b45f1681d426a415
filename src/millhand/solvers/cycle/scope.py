"""Which cells the search for the best cycle covers: what is beyond them is refused by name."""

from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.gates import with_plain_gates
from millhand.solvers.cycle.left_out import left_out_words
from millhand.solvers.cycle.own_buffers import long_stays
from millhand.solvers.cycle.parts_duties import is_always_there_for_duties, with_duties
from millhand.solvers.cycle.pieces import refuse_pieces
from millhand.solvers.cycle.searching.search import durations
from millhand.solvers.cycle.slots import with_slots
from millhand.solvers.cycle.steady import steady
from millhand.solvers.cycle.view import Special, Steady, Stop
from millhand.solvers.cycle.written import machines_of, only_ways, with_buffers


def scope(cell: Cell) -> Steady:
    """The steady view of a cell that the search covers, steps by sample taken out."""
    left_out, cell = left_out_words(cell), with_plain_gates(with_slots(cell))
    view = steady(with_buffers(cell), left_out=left_out)
    if cell.goal == "makespan":
        raise NotYet("the shortest makespan of lots", where="/goal")
    refuse_pieces(cell)
    refuse_to_itself(cell)
    ways = only_ways(cell)
    routes = {part: long_stays(kept(part, route), ways) for part, route in view.routes.items()}
    moving = {who for transfer in view.transfers for who in transfer.who}
    special = Special(loads=loads_of(cell), only_to=ways, alone=alone_at(cell), machines=machines_of(cell))
    view = replace(view, orders=orders_of(cell, routes), special=special)
    view = replace(view, slots={name: parts_in(view, name) for name in view.slots})
    movers = {
        who: mover for who, mover in view.movers.items() if who in moving or is_always_there_for_duties(cell, who)
    }
    view = with_duties(cell, replace(view, routes=routes, movers=movers))
    busy = {who for who, _, _, _ in view.phases}
    view = replace(view, movers={who: view.movers[who] for who in view.movers if who in moving or who in busy})
    if not any(durations(view)):
        raise NotYet("a cycle in which nothing takes any time")
    return view


def refuse_to_itself(cell: Cell) -> None:
    """Refuse parts that go by themselves from a machine into the same one for their next step."""
    alone = {name for name, each in cell.stations.items() if each.self_in or each.self_out}
    for part, each in cell.parts.items():
        for index, (step, then) in enumerate(pairwise(each.route), start=1):
            for name in alone.intersection(step.at, then.at):
                raise NotYet(
                    f"a cycle in which parts go by themselves from {name} into {name}",
                    where=f"/parts/{part}/route/{index}",
                    cure="both steps as one, with their times added up",
                )


def loads_of(cell: Cell) -> dict[str, int]:
    """The stations with loads of several parts; each load is of one kind, at one step."""
    return {name: each.batch for name, each in cell.stations.items() if each.kind == "process" and each.batch > 1}


def alone_at(cell: Cell) -> frozenset[str]:
    """The stations where two attendants at once are too many, apart from those that hold one part of a route."""
    return frozenset(
        name
        for name, each in cell.stations.items()
        if each.capacity == 1 and (each.kind in ("supply", "sink", "gate") or each.batch > 1)
    )


def parts_in(view: Steady, station: str) -> int | None:
    """How many parts a station holds."""
    slots = view.slots[station]
    return None if slots is None else slots * view.loads.get(station, 1)


def orders_of(cell: Cell, routes: Mapping[str, tuple[Stop, ...]]) -> dict[str, tuple[str, ...]]:
    """The orders of stations that bind one hand: those that name each station it lifts from once."""
    starts = sorted(name for route in routes.values() for stop in route[:-1] for name in stop.stations)
    found = {}
    for who, rule in cell.dispatch.items():
        taken = cell.attendants[who].take_from
        mine = [name for name in starts if taken is None or name in taken]
        if rule.rule == "order" and cell.attendants[who].hands == 1 and sorted(rule.order) == mine:
            found[who] = rule.order
    return found


def kept(part: str, route: tuple[Stop, ...]) -> tuple[Stop, ...]:
    """The steps that every part visits."""
    found = tuple(stop for stop in route if stop.every == 1)
    if len(found) < 2:
        raise NotYet("a cycle for a route of fewer than two steps", where=f"/parts/{part}/route")
    return found

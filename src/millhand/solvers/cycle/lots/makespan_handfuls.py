"""What an attendant with several hands needs for all lots at least, over all ways of filling and emptying its hands.

As for a cycle (`handfuls`), but as a walk that begins at home with empty hands and ends anywhere with empty hands, in
which every transfer of every part is made once. It leaves out the order of the parts and all waiting but that for a
part just set down in the same machine, so no plan takes less.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import ceil, gcd
from typing import Any

from millhand.model.schedule import Bound
from millhand.solvers.cycle.loads.handfuls import MOST_WAYS, NEAR, Hand, Visit, visits_with, ways_of, without
from millhand.solvers.cycle.lots.makespan_bounds import head_steps, tail_steps, told
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.searching.jobs import Move, Option
from millhand.solvers.cycle.tours.tour import Group, Stay, hold_steps, process_steps
from millhand.solvers.cycle.view import Mover


def handful_bounds(lots: Lots) -> Iterator[Bound]:
    """The bound of the only attendant, if it has several hands and no part moves by itself."""
    movers = [mover for who, mover in lots.view.movers.items() if who in used(lots)]
    alone = all(way.who is not None for ways in lots.ways.values() for way in ways)
    if len(movers) != 1 or movers[0].hands < 2 or not alone or lots.set_ups:
        return
    steps = least_walk(lots, movers[0])
    if steps:
        yield told(lots, movers[0].id, steps, f"{movers[0].id} makes every transfer, with all its hands in at least")


def used(lots: Lots) -> set[str]:
    """Everybody who may bring a part somewhere."""
    return {way.who for ways in lots.ways.values() for way in ways if way.who is not None}


def moves_of(lots: Lots) -> list[Move]:
    """One transfer of each kind."""
    return [
        Move(
            number=number, part=part, job=0, step=step,
            options=tuple(Option(who=way.who or "", start=way.start, goal=way.goal) for way in ways),
        )
        for number, ((part, step), ways) in enumerate(sorted(lots.ways.items()))
    ]  # fmt: skip


def visits_of(lots: Lots, mover: Mover) -> list[Visit]:
    """Every visit with every handful that allows it: one hand stays free of parts from a supply where it exchanges."""
    moves = moves_of(lots)
    exchanges = any((who, kind) == (mover.id, "swap") for who, _, _, kind in lots.view.phases)
    most = mover.hands - 1 if exchanges else mover.hands
    kinds = sorted((move.part, move.step) for move in moves)
    hands = [hand for size in range(mover.hands + 1) for hand in combinations_with_replacement(kinds, size)]
    hands = [hand for hand in hands if sum(step == 0 for _, step in hand) <= most]
    found: list[Visit] = []
    for move in moves:
        stays = [move.pick(mover.id, option.start) for option in move.options]
        stays += [move.place(mover.id, option.goal) for option in move.options]
        for stay in dict.fromkeys(stays):
            found += visits_with(lots.view, stay, hands, mover.hands)
    return [*found, *swaps_of(lots, mover, (moves, hands))]


def swaps_of(lots: Lots, mover: Mover, known: tuple[list[Move], list[Hand]]) -> Iterator[Visit]:
    """Every exchange with every handful that allows it; it has the row of the part that comes in."""
    moves, hands = known
    for lifting in moves:
        for setting in moves:
            both = {o.start for o in lifting.options} & {o.goal for o in setting.options}
            for station in sorted(both):
                if (mover.id, station, setting.part, "swap") not in lots.view.phases:
                    continue
                new, old = (setting.part, setting.step), (lifting.part, lifting.step)
                stay = Stay(
                    who=mover.id, kind="swap", station=station, part=lifting.part, step=lifting.step,
                    sets=(setting.part, setting.step + 1),
                )  # fmt: skip
                for hand in hands:
                    if new in hand and len(hand) < mover.hands:
                        yield Visit(stay=stay, before=hand, after=tuple(sorted((*without(hand, new), old))))


def least_walk(lots: Lots, mover: Mover) -> int:
    """The least time of a flow from home through all transfers; 0 where there is none or it is not worth its time."""
    visits = visits_of(lots, mover)
    ways = ways_of(lots.view, mover, visits)
    if not ways or len(ways) > MOST_WAYS:
        return 0
    home, places = lots.home[mover.id], lots.view.places
    for number, visit in enumerate(visits):
        way = mover.travel_steps(home, places[visit.stay.station], loaded=False)
        if visit.before == () and way is not None:
            ways.append((len(visits), number, way + hold_steps(lots.view, visit.stay)))
        if visit.after == ():
            ways.append((number, len(visits), 0))
    return ceil(Walk(lots=lots, visits=visits, ways=ways).least_steps() - NEAR)


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """The visits, and the ways between them with their times; home counts as one visit more, the last."""

    lots: Lots
    visits: list[Visit]
    ways: list[tuple[int, int, int]]

    def least_steps(self) -> float:
        """The least makespan over all flows: the attendant makes every way, each machine all work that is brought."""
        import numpy as np
        from scipy.optimize import linprog
        from scipy.sparse import csr_array

        def table(rows: list[dict[int, float]]) -> Any:
            entries = [(row, col, value) for row, each in enumerate(rows) for col, value in each.items()]
            at, cols, data = zip(*entries, strict=True)
            return csr_array((data, (at, cols)), shape=(len(rows), len(self.ways) + 1))

        unit = gcd(*(takes for _, _, takes in self.ways)) or 1
        equal, asked = zip(*self.balances(), strict=True)
        limits, most = zip(*self.loads(unit), strict=True)
        found = linprog(
            np.array([0.0] * len(self.ways) + [1.0]),
            A_eq=table(list(equal)), b_eq=np.array(asked), A_ub=table(list(limits)), b_ub=np.array(most),
            method="highs",
        )  # fmt: skip
        return max(0.0, float(found.fun) - NEAR) * unit if found.success and found.fun is not None else 0.0

    def balances(self) -> Iterator[tuple[dict[int, float], float]]:
        """Each visit is left as often as it is come to, home once; each transfer is made for every part; what is set
        down at a station is lifted there."""
        nodes: list[dict[int, float]] = [{} for _ in range(len(self.visits) + 1)]
        lifts: dict[Group, dict[int, float]] = {transfer: {} for transfer in self.lots.ways}
        inner: dict[tuple[str, Group], dict[int, float]] = {}
        for col, (one, other, _) in enumerate(self.ways):
            nodes[one][col] = nodes[one].get(col, 0) + 1
            nodes[other][col] = nodes[other].get(col, 0) - 1
            if other == len(self.visits):
                continue
            stay = self.visits[other].stay
            if stay.kind != "place":
                lifts[stay.lifted][col] = 1
            for group, sign in inner_groups(self.lots, stay):
                row = inner.setdefault((stay.station, group), {})
                row[col] = row.get(col, 0) + sign
        yield from ((row, 0.0) for row in (*nodes, *inner.values()) if row)
        yield {col: 1.0 for col, (one, _, _) in enumerate(self.ways) if one == len(self.visits)}, 1.0
        for (part, _), row in lifts.items():
            yield row, float(sum(piece.part == part for piece in self.lots.pieces))

    def loads(self, unit: int) -> Iterator[tuple[dict[int, float], float]]:
        """The makespan is no shorter than the walk, nor than what fills each machine between first and last part."""
        end = len(self.ways)
        yield {**{col: takes / unit for col, (_, _, takes) in enumerate(self.ways) if takes}, end: -1.0}, 0.0
        for station in filled_alone(self.lots):
            row = {end: -1.0}
            for col, (_, other, _) in enumerate(self.ways):
                stay = self.visits[other].stay if other < len(self.visits) else None
                if stay is not None and stay.station == station:
                    works = process_steps(self.lots.view, stay) if stay.kind != "pick" else 0
                    row[col] = (hold_steps(self.lots.view, stay) + (works or 0)) / unit
            yield row, -ends_steps(self.lots, station) / unit


def filled_alone(lots: Lots) -> Iterator[str]:
    """The machines that one part fills, and that are no end of any route."""
    for name in sorted(lots.view.working):
        if lots.holds_one_load(name) and lots.batch(name) == 1 and name not in lots.view.attended:
            yield name


def ends_steps(lots: Lots, station: str) -> int:
    """The least before the first set-down and after the last lift of those parts that may come to a machine."""
    visits = {
        (piece.part, step): (j, step)
        for j, piece in enumerate(lots.pieces)
        for step in range(1, len(lots.route(j)) - 1)
        if station in lots.route(j)[step].stations
    }
    heads = [head_steps(lots, *visit) for visit in visits.values()]
    tails = [tail_steps(lots, *visit) for visit in visits.values()]
    return min(heads, default=0) + min(tails, default=0)


def inner_groups(lots: Lots, stay: Stay) -> Iterator[tuple[Group, float]]:
    """What a visit lifts (-1) or sets down (1) between supply and sink."""
    if stay.kind != "place" and stay.step > 0:
        yield stay.lifted, -1.0
    if stay.kind != "pick" and stay.set_down[1] < len(lots.view.routes[stay.set_down[0]]) - 1:
        yield stay.set_down, 1.0

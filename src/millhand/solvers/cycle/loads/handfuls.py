"""What several hands save at most: the least time of one attendant over all ways of filling and emptying its hands.

Each visit changes what is in the hands, and each way joins two visits. All ways together form circuits through pairs of
(visit, what is in hand after it), in which every transfer occurs as often as the part set asks for. The cheapest such
flow is a linear program; it leaves out the order and all waiting, so no cycle takes less.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import gcd
from typing import Any

from millhand.solvers.cycle.searching.jobs import Move, jobs_of
from millhand.solvers.cycle.searching.raw import is_raw, raw_limit
from millhand.solvers.cycle.tours.tour import Group, Stay, hold_steps, process_steps
from millhand.solvers.cycle.view import Mover, Steady

MOST_WAYS = 60_000  # a larger program is not worth its time
NEAR = 1e-6  # by which share of the unit of time the solver may be off

Hand = tuple[Group, ...]  # part type and step of what is held, sorted


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A visit and what is in hand before and after it."""

    stay: Stay
    before: Hand
    after: Hand


def handful_steps(view: Steady) -> float:
    """The least time that the only attendant, with several hands, needs for one part set; 0 where that is not asked."""
    movers = [view.movers[who] for who in view.movers]
    if len(movers) != 1 or movers[0].hands < 2 or view.self_in or view.self_out:
        return 0.0
    moves = [move for move in jobs_of(view, 1).moves if move.job == 0]
    visits = list(visits_of(view, movers[0], moves))
    ways = ways_of(view, movers[0], visits)
    if not ways or len(ways) > MOST_WAYS:
        return 0.0
    return least_flow(view, visits, ways)


def visits_of(view: Steady, mover: Mover, moves: list[Move]) -> Iterator[Visit]:
    """Every visit with every handful that allows it."""
    kinds = [(move.part, move.step) for move in moves]
    hands = [hand for size in range(mover.hands + 1) for hand in combinations_with_replacement(sorted(kinds), size)]
    full = [hand for hand in hands if is_full(view, mover, hand)]
    hands = [hand for hand in hands if hand not in full]
    for move in moves:
        for option in move.options:
            yield from visits_with(view, move.pick(mover.id, option.start), hands, mover.hands)
            yield from visits_with(view, move.place(mover.id, option.goal), [*hands, *full], mover.hands)
    for lifting in moves:
        for setting in moves:
            both = {o.start for o in lifting.options} & {o.goal for o in setting.options}
            for station in sorted(both):
                if (mover.id, station, lifting.part, "swap") in view.phases:
                    swap = lifting.pick(mover.id, station, "swap")
                    down = (setting.part, setting.step + 1)
                    for hand in hands:
                        if (down[0], down[1] - 1) in hand and len(hand) < mover.hands:
                            after = without(hand, (down[0], down[1] - 1))
                            stay = Stay(
                                who=mover.id, kind="swap", station=station, part=swap.part, step=swap.step, sets=down
                            )
                            yield Visit(stay=stay, before=hand, after=tuple(sorted((*after, swap.lifted))))


def is_full(view: Steady, mover: Mover, hand: Hand) -> bool:
    """Whether there are more raw parts in hand than may be between two visits: within one, from taking out a part to
    putting in the next one, all hands may hold some."""
    return sum(is_raw(view, mover, each) for each in hand) > raw_limit(view, mover)


def visits_with(view: Steady, stay: Stay, hands: list[Hand], most: int) -> Iterator[Visit]:
    """A lift or a set-down with every handful that allows it; nothing where it is not done alone."""
    if (stay.who, stay.station, stay.part, stay.kind) not in view.phases:
        return
    for hand in hands:
        if stay.kind == "pick" and len(hand) < most:
            yield Visit(stay=stay, before=hand, after=tuple(sorted((*hand, stay.lifted))))
        if stay.kind == "place" and (stay.part, stay.step - 1) in hand:
            yield Visit(stay=stay, before=hand, after=without(hand, (stay.part, stay.step - 1)))


def without(hand: Hand, group: Group) -> Hand:
    """The handful without one part."""
    left = list(hand)
    left.remove(group)
    return tuple(left)


def ways_of(view: Steady, mover: Mover, visits: list[Visit]) -> list[tuple[int, int, int]]:
    """From each visit to each that its handful allows: the time from the end of the one to the end of the other."""
    starting: dict[Hand, list[int]] = {}
    for number, visit in enumerate(visits):
        starting.setdefault(visit.before, []).append(number)
    found = []
    for number, visit in enumerate(visits):
        for following in starting.get(visit.after, ()):
            takes = between(view, mover, visit, visits[following])
            if takes is not None:
                found.append((number, following, takes))
    return found


def between(view: Steady, mover: Mover, one: Visit, other: Visit) -> int | None:
    """The least time from the end of one visit to the end of the next; None where that cannot be.

    A station for one part alone is filled and emptied in turn, and between the two lies the process.
    """
    here, there = (view.places[each.stay.station] for each in (one, other))
    way = mover.travel_steps(here, there, loaded=bool(one.after))
    if way is None or (is_full(view, mover, one.after) and not puts_in_next(one.stay, other.stay)):
        return None
    if one.stay.station == other.stay.station:
        filled, fills = one.stay.kind != "pick", other.stay.kind == "place"
        if puts_in_next(one.stay, other.stay):
            way += mover.turn_steps
        works = process_steps(view, one.stay) if filled else 0
        if works is not None and alternates(view, one.stay, other.stay):
            if filled == fills:
                return None
            way += works
    return way + hold_steps(view, other.stay)


def puts_in_next(one: Stay, other: Stay) -> bool:
    """Whether a part is set down where another one was just lifted."""
    return one.station == other.station and (one.kind, other.kind) == ("pick", "place")


def alternates(view: Steady, *stays: Stay) -> bool:
    """Whether two visits are made to a station that one part fills, and that is no end of their routes."""
    ends = [group for stay in stays for group in (stay.lifted, stay.set_down)]
    inner = all(0 < step < len(view.routes[part]) - 1 for part, step in ends)
    return inner and view.slots[stays[0].station] == 1


def least_flow(view: Steady, visits: list[Visit], ways: list[tuple[int, int, int]]) -> float:
    """The cheapest flow in which every transfer is lifted and set down as often as the part set asks for."""
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    unit = gcd(*(takes for _, _, takes in ways)) or 1
    transfers = sorted({(part, step) for part, route in view.routes.items() for step in range(len(route) - 1)})
    stations = sorted({(v.stay.station, g) for v in visits for g in (v.stay.lifted, v.stay.set_down)})
    rows, cols, data = [], [], []

    def add(row: int, col: int, value: int) -> None:
        rows.append(row)
        cols.append(col)
        data.append(value)

    for col, (one, other, _) in enumerate(ways):
        add(one, col, 1)
        add(other, col, -1)
        stay = visits[other].stay
        if stay.kind != "place":
            add(len(visits) + transfers.index(stay.lifted), col, 1)
            if stay.step > 0:
                add(len(visits) + len(transfers) + stations.index((stay.station, stay.lifted)), col, -1)
        if stay.kind != "pick":
            part, step = stay.set_down
            if step < len(view.routes[part]) - 1:
                add(len(visits) + len(transfers) + stations.index((stay.station, (part, step))), col, 1)
    size = len(visits) + len(transfers) + len(stations)
    asked = [0.0] * size
    for number, (part, _) in enumerate(transfers):
        asked[len(visits) + number] = float(view.part_set[part])
    flow: Any = csr_array((data, (rows, cols)), shape=(size, len(ways)))
    found = linprog(np.array([takes / unit for _, _, takes in ways]), A_eq=flow, b_eq=np.array(asked), method="highs")
    return max(0.0, float(found.fun) - NEAR) * unit if found.success and found.fun is not None else 0.0

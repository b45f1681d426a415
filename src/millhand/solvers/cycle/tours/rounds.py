"""Rounds: tours in which every machine of every step is served in turn.

Where a step has m machines side by side, round u serves machine u mod m; after as many rounds as the least common
multiple all stand as before. A capacity of several parts is as many slots at one place.
"""

from collections.abc import Iterator, Sequence
from itertools import islice, permutations
from math import lcm

from millhand.errors import NotYet
from millhand.solvers.cycle.tours.orders import Carry
from millhand.solvers.cycle.tours.tour import Stay
from millhand.solvers.cycle.view import Steady

MOST_SLOTS = 64
MOST_ROUNDS = 60
ORDERS_TRIED = 720  # every order of up to 7 machines side by side, the first fixed

Slot = tuple[str, int]  # station, number of the slot


def slots_of(view: Steady) -> list[list[Slot]]:
    """The slots of each step of the route; a store or an unlimited station is one slot."""
    (route,) = view.routes.values()
    found: list[list[Slot]] = []
    for stop in route:
        slots = [(name, number) for name in stop.stations for number in range(slot_count(view, name))]
        working = 0 < len(found) < len(route) - 1
        found.append(slots[:MOST_SLOTS] if working else slots[:1])
    return found


def slot_count(view: Steady, station: str) -> int:
    """The slots that are served in turn: those of a working station; a store is passed through."""
    return (view.slots[station] or 1) if station in view.working else 1


def rounds_of(slots: Sequence[Sequence[Slot]]) -> int:
    """How many rounds make a period."""
    count = lcm(*(len(each) for each in slots))
    if count > MOST_ROUNDS:
        raise NotYet(f"a cycle of {count} parts a period")
    return count


def carry_rounds(view: Steady) -> list[Carry] | None:
    """One hand: in each round the last step is emptied first, then filled from the one before, and so on.

    None where some station can only be emptied by an exchange. The first carry brings a part in.
    """
    ((part, route),), (who,) = view.routes.items(), view.movers
    slots = slots_of(view)
    carries = []
    for turn in range(rounds_of(slots)):
        for step in range(len(route) - 2, -1, -1):
            start, goal = (slots[index][turn % len(slots[index])] for index in (step, step + 1))
            lifts, drops = (who, start[0], part, "pick"), (who, goal[0], part, "place")
            if lifts not in view.phases or drops not in view.phases:
                return None
            carries.append(
                Carry(
                    pick=Stay(who=who, kind="pick", station=start[0], slot=start[1], part=part, step=step),
                    place=Stay(who=who, kind="place", station=goal[0], slot=goal[1], part=part, step=step + 1),
                )
            )
    first = next(index for index, carry in enumerate(carries) if carry.pick.step == 0)
    return carries[first:] + carries[:first]


def in_order(carries: Sequence[Carry], order: tuple[str, ...]) -> list[Carry] | None:
    """The carries in the order of the stations that they start from; None where the order does not name each once."""
    if sorted(carry.pick.station for carry in carries) != sorted(order):
        return None
    return sorted(carries, key=lambda carry: order.index(carry.pick.station))


def exchange_rounds(view: Steady) -> Iterator[tuple[tuple[Stay, ...], int]]:
    """Two hands: each round takes a part in, exchanges it at each step, and puts one out. Every order of machines side
    by side where only one step has several, at most 720; nothing where an exchange is not possible."""
    slots = slots_of(view)
    count = rounds_of(slots)
    several = [index for index, each in enumerate(slots) if len(each) > 1]
    if len(several) != 1 or count > 7:
        orders: Iterator[tuple[int, ...]] = iter([tuple(range(count))])
    else:
        orders = ((0, *rest) for rest in permutations(range(1, count)))
    for turns in islice(orders, ORDERS_TRIED):
        tour = exchange_tour(view, slots, turns)
        if tour is not None:
            yield tour, count


def exchange_tour(view: Steady, slots: Sequence[Sequence[Slot]], turns: Sequence[int]) -> tuple[Stay, ...] | None:
    """One period of exchanges; None where an attendant cannot exchange at some station."""
    tour: list[Stay] = []
    for turn in turns:
        for step, each in enumerate(slots):
            visits = visits_at(view, step, each[turn % len(each)])
            if visits is None:
                return None
            tour += visits
    return tuple(tour)


def visits_at(view: Steady, step: int, slot: Slot) -> list[Stay] | None:
    """What is done at one step of the tour: taken in, exchanged, put out; at an attended station set down and waited
    for; where no exchange is described, the finished part is lifted with the other hand first."""
    ((part, route),), (who,) = view.routes.items(), view.movers
    last = len(route) - 1
    can = {kind for kind in ("pick", "place", "swap") if (who, slot[0], part, kind) in view.phases}
    if step in (0, last):
        kinds = ["pick" if step == 0 else "place"]
    elif slot[0] in view.attended:
        kinds = ["place", "pick"]
    else:
        kinds = ["swap"] if "swap" in can else ["pick", "place"]
    if not can.issuperset(kinds):
        return None
    return [
        Stay(who=who, kind=kind, station=slot[0], slot=slot[1], part=part, step=step)  # type: ignore[arg-type]
        for kind in kinds
    ]

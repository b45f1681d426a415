"""The best order of the carries of one hand: every order is looked at, or shown to be no better.

A carry is one lift, the way with the part, and the set-down, rigid as a whole. Orders are built carry by carry; as soon
as one end of a station's stay stands in the order it is known whether the part stays past the end of the period, so an
unfinished order already bounds the period. What cannot beat the best order so far is cut off.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil

from millhand.solvers.cycle.tours.graph import Lag, least_period
from millhand.solvers.cycle.tours.tour import NoWayError, Stay, hold_steps, phase_of, process_steps, way_steps
from millhand.solvers.cycle.view import Steady

FAR = 10**15  # a way that cannot be gone


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """One part from one slot to another by one hand."""

    pick: Stay
    place: Stay

    @property
    def visits(self) -> tuple[Stay, Stay]:
        """Its two visits, in order."""
        return (self.pick, self.place)


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A stay between two carries: set down by `first`, lifted by `last`; the least stay, the longest, and how long
    after the lift began the next set-down may begin."""

    first: int
    last: int
    least: int
    longest: int | None
    clears: int | None  # None: there is room beside the part


@dataclass(frozen=True, slots=True, kw_only=True)
class Carries:
    """The carries of one period as numbers: how long each takes, the way from each to each, the stays between."""

    durations: tuple[int, ...]
    sets_at: tuple[int, ...]  # from the lift to the set-down
    ways: tuple[tuple[int, ...], ...]  # from the end of one to the lift of another
    short_ways: tuple[tuple[int, ...], ...]  # the same, over any places between
    links: tuple[Link, ...]

    @property
    def count(self) -> int:
        """How many carries."""
        return len(self.durations)


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The best order found, its period, and whether every other order was shown to be no better."""

    order: tuple[int, ...] | None
    period_steps: int
    complete: bool
    looked_at: int


def carries_of(view: Steady, carries: Sequence[Carry]) -> Carries:
    """The carries as numbers."""
    ways = [[leave_steps(view, a, b) for b in carries] for a in carries]
    sets_at = [carry_steps(view, c) for c in carries]
    return Carries(
        durations=tuple(at + hold_steps(view, c.place) for at, c in zip(sets_at, carries, strict=True)),
        sets_at=tuple(sets_at),
        ways=tuple(map(tuple, ways)),
        short_ways=shortened(ways, [at + hold_steps(view, c.place) for at, c in zip(sets_at, carries, strict=True)]),
        links=tuple(links_of(view, carries)),
    )


def carry_steps(view: Steady, carry: Carry) -> int:
    """From the beginning of a lift to the beginning of the set-down."""
    try:
        return hold_steps(view, carry.pick) + way_steps(view, carry.pick, carry.place, loaded=True)
    except NoWayError:
        return FAR


def leave_steps(view: Steady, done: Carry, following: Carry) -> int:
    """From the set-down of one carry to the lift of another, staying through an attended process."""
    stays = 0
    works = process_steps(view, done.place)
    if done.place.station in view.attended and works is not None:
        stays = phase_of(view, done.place).tail_steps + works
    try:
        return stays + way_steps(view, done.place, following.pick, loaded=False)
    except NoWayError:
        return FAR


def shortened(ways: list[list[int]], durations: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """The least time from the end of one carry to the lift of another, other carries between them or not."""
    short = [row[:] for row in ways]
    for between, duration in enumerate(durations):
        for row in short:
            for end, onward in enumerate(short[between]):
                row[end] = min(row[end], row[between] + duration + onward)
    return tuple(map(tuple, short))


def links_of(view: Steady, carries: Sequence[Carry]) -> list[Link]:
    """The stay at each slot that some carry fills and some carry empties; at a gate every lift after every set-down."""
    empties = {(c.pick.station, c.pick.slot): number for number, c in enumerate(carries)}
    found = []
    for number, carry in enumerate(carries):
        if process_steps(view, carry.place) is None:
            lifts = [other for other, each in enumerate(carries) if each.pick.station == carry.place.station]
            found += [link_of(view, carries, number, other) for other in lifts]
            continue
        last = empties.get((carry.place.station, carry.place.slot))
        if last is not None:
            found.append(link_of(view, carries, number, last))
    return found


def link_of(view: Steady, carries: Sequence[Carry], first: int, last: int) -> Link:
    """One stay: the tail, the process and the next lead; at a gate the turnaround."""
    visit, lift = carries[first].place, carries[last].pick
    works, tail, lead = process_steps(view, visit), phase_of(view, visit).tail_steps, phase_of(view, lift).lead_steps
    if works is None:
        least, longest = max(tail, view.turnaround_steps.get(visit.station, 0)) + lead, None
    else:
        least, longest = tail + works + lead, view.routes[visit.part][visit.step].stay_max_steps
    roomy = works is None or (visit.station not in view.working and view.slots[visit.station] != 1)
    clears = hold_steps(view, lift) + phase_of(view, lift).tail_steps + phase_of(view, visit).lead_steps
    return Link(first=first, last=last, least=least, longest=longest, clears=None if roomy else clears)


def link_arcs(model: Carries, link: Link, laps: int) -> list[Lag]:
    """The arcs of one stay that ends in the same period (laps 0) or the next (1)."""
    first, last = link.first, link.last
    placed = model.durations[first]
    arcs = [(first, last, placed + link.least, laps)]
    if link.clears is not None:
        arcs.append((last, first, link.clears - model.sets_at[first], 1 - laps))
    if link.longest is not None:
        arcs.append((last, first, -placed - link.longest, -laps))
    return arcs


def order_arcs(model: Carries, order: Sequence[int]) -> list[Lag]:
    """All arcs of a whole order."""
    position = {carry: index for index, carry in enumerate(order)}
    arcs = [(a, b, model.durations[a] + model.ways[a][b], 0) for a, b in pairwise(order)]
    arcs.append((order[-1], order[0], model.durations[order[-1]] + model.ways[order[-1]][order[0]], 1))
    for link in model.links:
        arcs += link_arcs(model, link, 0 if position[link.first] < position[link.last] else 1)
    return arcs


def order_period(model: Carries, order: Sequence[int]) -> int | None:
    """The least period of an order in whole grid steps; None where a window forbids every one."""
    arcs = order_arcs(model, order)
    value = least_period(model.count, arcs).value
    if value is None or value.denominator == 1:
        return None if value is None else int(value)
    whole = ceil(value)
    return whole if least_period(model.count, arcs, floor=Fraction(whole)).value == whole else None


def best_order(model: Carries, *, floor_steps: int, limit: int, below: int = FAR) -> Best:
    """The order of least period below `below`, the first carry first; `complete` when no other order can be better.

    `limit` is the number of unfinished orders looked at before giving up; `floor_steps` a proven lower bound.
    """
    search = Search(model=model, floor_steps=floor_steps, limit=limit, best=below)
    for order in (range(model.count), (0, *range(model.count - 1, 0, -1))):
        search.offer(tuple(order))
    if search.best > floor_steps:
        search.extend([0], Fraction(floor_steps), [])
    return Best(
        order=search.order,
        period_steps=search.best,
        complete=search.looked_at < limit or search.best <= floor_steps,
        looked_at=search.looked_at,
    )


@dataclass(slots=True, kw_only=True)
class Search:
    """The state of one search: the best order so far."""

    model: Carries
    floor_steps: int
    limit: int
    best: int = FAR
    order: tuple[int, ...] | None = None
    looked_at: int = 0

    def offer(self, order: tuple[int, ...]) -> None:
        """Keep a whole order when it is better."""
        period = order_period(self.model, order)
        if period is not None and period < self.best and period < FAR:
            self.best, self.order = period, order

    def extend(self, order: list[int], least: Fraction, arcs: list[Lag]) -> None:
        """Look at every way on from an unfinished order that can still beat the best."""
        if len(order) == self.model.count:
            self.offer(tuple(order))
            return
        ways = []
        for carry in range(self.model.count):
            if carry not in order:
                added = arcs + self.arcs_with(order, carry)
                period = self.period_so_far([*order, carry], added, least)
                if period is not None:
                    ways.append((period, carry, added))
        for period, carry, added in sorted(ways):
            if self.looked_at >= self.limit or self.best <= self.floor_steps:
                return
            if ceil(period) < self.best:
                self.looked_at += 1
                self.extend([*order, carry], period, added)

    def arcs_with(self, order: list[int], carry: int) -> list[Lag]:
        """What is known once `carry` comes next: the way to it, and which stays pass the period's end."""
        model, last = self.model, order[-1]
        arcs: list[Lag] = [(last, carry, model.durations[last] + model.ways[last][carry], 0)]
        placed = set(order)
        for link in model.links:
            if carry in (link.first, link.last) and not placed & {link.first, link.last}:
                arcs += link_arcs(model, link, 0 if link.first == carry else 1)
            elif len(order) == 1 and order[0] in (link.first, link.last):
                arcs += link_arcs(model, link, 0 if link.first == order[0] else 1)
        return arcs

    def period_so_far(self, order: list[int], arcs: list[Lag], least: Fraction) -> Fraction | None:
        """The least period that an unfinished order leaves possible; None when it cannot beat the best."""
        model, last = self.model, order[-1]
        if self.shortest_round(order) >= self.best:
            return None
        ahead = [carry for carry in range(model.count) if carry not in order]
        end = model.durations[last]
        known = arcs + [(last, carry, end + model.short_ways[last][carry], 0) for carry in ahead]
        known += [(carry, 0, model.durations[carry] + model.short_ways[carry][0], 1) for carry in ahead]
        if not ahead:
            known.append((last, 0, end + model.ways[last][0], 1))
        value = least_period(model.count, known, floor=least).value
        return None if value is None or ceil(value) >= self.best else value

    def shortest_round(self, order: list[int]) -> int:
        """All carries, the ways known so far, the shortest way to each carry still to come, and back to the first."""
        model = self.model
        ways = sum(model.ways[a][b] for a, b in pairwise(order))
        ahead = [carry for carry in range(model.count) if carry not in order]
        from_here = [order[-1], *ahead]
        for carry in ahead:
            ways += min(model.ways[other][carry] for other in from_here if other != carry)
        ways += min(model.ways[other][order[0]] for other in (ahead or [order[-1]]))
        return sum(model.durations) + ways

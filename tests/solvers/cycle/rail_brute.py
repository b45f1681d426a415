"""The shortest period of a tiny line with two arms on one track, found by trying everything.

All times of all visits on the grid, all assignments of transfers to arms, and, for each of these, whether both arms can
move from second to second so that they are where they have to be and keep their distance. Nothing is shared with the
search that it judges. One hand each, one part a period, the same travel loaded and empty, holds of at least one second.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product

State = tuple[int, int, int]  # from place, to place, seconds since the departure; at rest both places are one
Need = dict[int, int]  # second of the period: 1 + number of the place where the arm has to be at rest, < 0: must not


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tiny:
    """Places with their metres, the way between each two, stations at the first places in the order of the route."""

    at_m: Sequence[Fraction]
    ways_s: Sequence[Sequence[int]]
    times_s: Sequence[int]
    hold_s: int
    keep_m: Fraction

    @property
    def transfers(self) -> int:
        """How often a part is carried."""
        return len(self.times_s) + 1


def at(tiny: Tiny, state: State) -> Fraction:
    """Where an arm is."""
    start, goal, since = state
    share = Fraction(since, tiny.ways_s[start][goal]) if start != goal else Fraction(0)
    return tiny.at_m[start] + (tiny.at_m[goal] - tiny.at_m[start]) * share


def states(tiny: Tiny) -> list[State]:
    """All that an arm can be doing at a whole second."""
    count = range(len(tiny.at_m))
    moving = [(a, b, since) for a in count for b in count if a != b for since in range(1, tiny.ways_s[a][b])]
    return [(a, a, 0) for a in count] + moving


def following(tiny: Tiny, state: State) -> list[State]:
    """What an arm can be doing a second later."""
    start, goal, since = state
    if start != goal:
        return [(start, goal, since + 1) if since + 1 < tiny.ways_s[start][goal] else (goal, goal, 0)]
    found = [state]
    for other in range(len(tiny.at_m)):
        if other != start:
            found.append((start, other, 1) if tiny.ways_s[start][other] > 1 else (other, other, 0))
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Graph:
    """Which two states may be held at once, and which may follow."""

    every: list[State]
    after: dict[State, list[State]]
    together: set[tuple[State, State]]


def graph_of(tiny: Tiny) -> Graph:
    """Positions change evenly, so the distance is least at whole seconds."""
    every = states(tiny)
    metres = {state: at(tiny, state) for state in every}
    together = {(a, b) for a in every for b in every if metres[a] + tiny.keep_m <= metres[b]}
    return Graph(every=every, after={state: following(tiny, state) for state in every}, together=together)


def can_move(graph: Graph, needs: tuple[Need, Need], period: int) -> bool:
    """Whether both arms can do all this in a circle."""

    def fits(pair: tuple[State, State], second: int) -> bool:
        return pair in graph.together and all(
            second not in need or (state == (abs(need[second]) - 1, abs(need[second]) - 1, 0)) == (need[second] > 0)
            for state, need in zip(pair, needs, strict=True)
        )

    for start in product(graph.every, graph.every):
        if not fits(start, 0):
            continue
        held = {start}
        for second in range(1, period + 1):
            held = {
                pair for a, b in held for pair in product(graph.after[a], graph.after[b]) if fits(pair, second % period)
            }
        if start in held:
            return True
    return False


@lru_cache
def shortest_s(tiny: Tiny) -> list[list[int]]:
    """The least travel over any stops."""
    ways = [list(row) for row in tiny.ways_s]
    count = range(len(ways))
    for by, a, b in product(count, count, count):
        ways[a][b] = min(ways[a][b], ways[a][by] + ways[by][b])
    return ways


def timings(tiny: Tiny, period: int) -> Iterator[list[tuple[int, int]]]:
    """Lift and set-down of each transfer, so that every process has its time and every station is empty in time."""

    def more(found: list[tuple[int, int]]) -> Iterator[list[tuple[int, int]]]:
        index = len(found)
        if index == tiny.transfers:
            yield found
            return
        for lift in range(period) if index else range(1):
            if index:
                stay = (lift - found[-1][1] - tiny.hold_s) % period
                if stay < tiny.times_s[index - 1] or stay + 2 * tiny.hold_s > period:
                    continue
            least = lift + tiny.hold_s + shortest_s(tiny)[index][index + 1]
            for drop in range(least, lift + period - tiny.hold_s + 1):
                yield from more([*found, (lift, drop)])

    yield from more([])


def needs_of(tiny: Tiny, timing: list[tuple[int, int]], own: list[int], period: int) -> Need | None:
    """Where an arm has to be for its transfers; None where it would have to be at two places, or have two hands."""
    need: Need = {}
    busy: set[int] = set()
    for index in own:
        lift, drop = timing[index]
        carrying = {second % period for second in range(lift, drop + tiny.hold_s)}
        if busy & carrying:
            return None
        busy |= carrying
        for place, begin in ((index, lift), (index + 1, drop)):
            for second in range(begin, begin + tiny.hold_s + 1):
                if need.setdefault(second % period, 1 + place) != 1 + place:
                    return None
    for index in own:
        need.setdefault((timing[index][1] - 1) % period, -2 - index)  # it does not wait there with the part
    return need


def possible(tiny: Tiny, graph: Graph, period: int) -> bool:
    """Whether there is any cycle of this period."""
    for timing in timings(tiny, period):
        for who in product((0, 1), repeat=tiny.transfers):
            needs = [needs_of(tiny, timing, [t for t, arm in enumerate(who) if arm == each], period) for each in (0, 1)]
            if needs[0] is not None and needs[1] is not None and can_move(graph, (needs[0], needs[1]), period):
                return True
    return False


def least_period_s(tiny: Tiny) -> int:
    """The shortest period of all."""
    graph, period = graph_of(tiny), 1
    while not possible(tiny, graph, period):
        period += 1
    return period

"""The least period of an event graph: the largest (sum of lags / sum of laps) over its circuits, in exact fractions.

An arc (before, after, lag, laps) says t(after) >= t(before) + lag - laps x period. A period is possible when no circuit
has a positive sum of lag - laps x period. Circuits with laps above zero bound the period from below, those with laps
below zero (windows) from above, those without laps must not be positive. The search climbs from circuit to circuit, as
in Howard's policy iteration: each positive circuit found gives the next, larger period to try, until none is left.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from millhand.model.schedule import Arc

Lag = tuple[int, int, int, int]  # before, after, lag in grid steps, laps


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """The least period, the earliest times of all nodes at it (from the first node), and a circuit that sets it.

    `value` is None where no period is possible; `circuit` then is one that forbids it.
    """

    value: Fraction | None
    times: tuple[Fraction, ...] = ()
    circuit: tuple[int, ...] = ()


def least_period(count: int, arcs: Sequence[Lag], *, floor: Fraction = Fraction(0)) -> Period:
    """The least period of a graph of `count` nodes, not below `floor`."""
    value = floor
    setting: tuple[int, ...] = ()
    while True:
        times, circuit = longest_times(count, arcs, value)
        if not circuit:
            exact = tuple(Fraction(each, value.denominator) for each in times)
            return Period(value=value, times=exact, circuit=setting or tight_circuit(arcs, exact, value))
        lag, laps = sum(arc[2] for arc in circuit), sum(arc[3] for arc in circuit)
        nodes = tuple(arc[0] for arc in circuit)
        if laps <= 0:
            return Period(value=None, circuit=nodes)
        value, setting = Fraction(lag, laps), nodes


def longest_times(count: int, arcs: Sequence[Lag], period: Fraction) -> tuple[list[int], list[Lag]]:
    """Earliest times, scaled by the period's denominator, or a circuit that is positive at this period.

    All nodes start at 0, so the graph need not hang together.
    """
    scaled = [(before, after, lag * period.denominator - laps * period.numerator) for before, after, lag, laps in arcs]
    times, through = [0] * count, [-1] * count
    for turn in range(count + 1):
        changed = False
        for index, (before, after, weight) in enumerate(scaled):
            if times[before] + weight > times[after]:
                times[after], through[after], changed = times[before] + weight, index, True
        if not changed:
            return times, []
        if turn % 4 == 3 or turn == count:
            circuit = circuit_of(through, arcs)
            if circuit:
                return times, circuit
    raise AssertionError("a graph that does not settle has a circuit")


def circuit_of(through: Sequence[int], arcs: Sequence[Lag]) -> list[Lag]:
    """A circuit among the arcs through which the nodes got their times; such a circuit is positive."""
    seen = [-1] * len(through)
    for start in range(len(through)):
        node = start
        while seen[node] == -1 and through[node] >= 0:
            seen[node] = start
            node = arcs[through[node]][0]
        if seen[node] == start and through[node] >= 0:
            return walked_back(node, through, arcs)
        seen[node] = start
    return []


def walked_back(node: int, through: Sequence[int], arcs: Sequence[Lag]) -> list[Lag]:
    """The arcs of the circuit through a node, in their own direction."""
    found = [arcs[through[node]]]
    while found[-1][0] != node:
        found.append(arcs[through[found[-1][0]]])
    return found[::-1]


def comes_before_itself(arcs: Sequence[Lag], times: Sequence[int], period: int) -> bool:
    """Whether of several events at one moment each has to come before the next, all round: no order keeps these arcs.

    Two that wait for each other, with an arc each way, are one.
    """
    at_once = {(a, b) for a, b, lag, laps in arcs if lag == 0 and times[b] == times[a] - laps * period}
    one = list(range(len(times)))

    def same(node: int) -> int:
        while one[node] != node:
            node = one[node]
        return node

    for a, b in at_once:
        if (b, a) in at_once:
            one[same(a)] = same(b)
    after: dict[int, set[int]] = {}
    for a, b in at_once:
        if same(a) != same(b):
            after.setdefault(same(a), set()).add(same(b))
    while free := {a for a, later in after.items() if not later & after.keys()}:
        after = {a: later for a, later in after.items() if a not in free}
    return bool(after)


def tight_circuit(arcs: Sequence[Lag], times: Sequence[Fraction], period: Fraction) -> tuple[int, ...]:
    """A circuit of arcs without slack that spans at least one period; empty where the period was given, not needed."""
    tight = [arc for arc in arcs if times[arc[1]] == times[arc[0]] + arc[2] - arc[3] * period]
    after: dict[int, list[Lag]] = {}
    for arc in tight:
        after.setdefault(arc[0], []).append(arc)
    for start in [arc for arc in tight if arc[3] > 0]:
        path = path_between(start[1], start[0], after)
        if path is not None:
            return (start[0], *path)
    return ()


def path_between(start: int, goal: int, after: dict[int, list[Lag]]) -> tuple[int, ...] | None:
    """The nodes of a path from start up to, but without, the goal."""
    if start == goal:
        return ()
    came: dict[int, int] = {start: -1}
    queue = [start]
    for node in queue:
        for arc in after.get(node, ()):
            if arc[1] not in came:
                came[arc[1]] = node
                queue.append(arc[1])
    if goal not in came:
        return None
    path, node = [], came[goal]
    while node != -1:
        path.append(node)
        node = came[node]
    return tuple(path[::-1])


def numbered(arcs: Sequence[Arc], ids: Sequence[str]) -> list[Lag]:
    """Arcs between event ids as arcs between numbers."""
    number = {name: index for index, name in enumerate(ids)}
    return [(number[arc.before], number[arc.after], arc.lag_steps, arc.laps) for arc in arcs]

"""The least travel that one attendant's own transfers of a part set cost it, whatever the order.

One hand: each transfer's end is followed by the start of another; the cheapest such assignment bounds every order from
below. Waiting at a station for the part just set down counts as a way of that length. Several hands: each hand's
own carries form such a chain, so the same sum is shared by as many hands as may hold parts still to be loaded.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from millhand.solvers.cycle.loads.assignment import FAR, assignment_prices
from millhand.solvers.cycle.loads.flows import Hop
from millhand.solvers.cycle.searching.raw import is_raw, raw_limit
from millhand.solvers.cycle.view import Mover, Steady


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """The transfers that only this attendant can do, with how often each is done per part set.

    `busy_else`: it has other work too, which it may do instead of waiting. `closed`: stations that one part fills and
    that only this attendant fills and empties.
    """

    mover: Mover
    hops: Mapping[Hop, float]
    busy_else: bool
    closed: frozenset[str]


def least_travel_steps(view: Steady, own: Own) -> float:
    """The least travel (and unavoidable waiting) per part set in grid steps."""
    if not own.hops or not own.mover.rows:
        return least_wait_steps(view, own) if own.hops and own.mover.hands == 1 else 0.0
    if own.mover.hands == 1:
        return one_hand_steps(view, own)
    return several_hands_steps(view, own)


def ends(view: Steady, hop: Hop) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The stations where a hop starts and where it ends."""
    route = view.routes[hop[0]]
    return route[hop[1]].stations, route[hop[2]].stations


def loaded_steps(view: Steady, mover: Mover, hop: Hop) -> float:
    """The shortest way of one hop with the part in hand."""
    starts, goals = ends(view, hop)
    ways = [mover.travel_steps(view.places[a], view.places[b], loaded=True) for a in starts for b in goals]
    return min((way for way in ways if way is not None), default=0)


def one_hand_steps(view: Steady, own: Own) -> float:
    """Loaded ways and the cheapest empty ways between them."""
    loaded = sum(times * loaded_steps(view, own.mover, hop) for hop, times in own.hops.items())
    return loaded + chained(view, own)


def least_wait_steps(view: Steady, own: Own) -> float:
    """Where nobody moves at all, only the waiting at stations remains."""
    return chained(view, own)


def chained(view: Steady, own: Own) -> float:
    """The cheapest way to let each hop be followed by another."""
    hops = list(own.hops)
    table = shortest(own.mover) if own.busy_else else None
    cost = [[following_steps(view, own, (one, other), table) for other in hops] for one in hops]
    return priced(cost, [own.hops[hop] for hop in hops])


def priced(cost: Sequence[Sequence[float]], times: Sequence[float]) -> float:
    """The proven least cost of a flow with these row and column sums.

    Prices are taken from the hops that all parts make; what only some parts do gets the highest prices that still fit.
    """
    often = [index for index, count in enumerate(times) if count > max(times) / 2]
    rows, columns = [0.0] * len(cost), [0.0] * len(cost)
    for prices, own in zip(
        (rows, columns), assignment_prices([[cost[i][j] for j in often] for i in often]), strict=True
    ):
        for index, price in zip(often, own, strict=True):
            prices[index] = price
    seldom = [index for index in range(len(cost)) if index not in often]
    for index in seldom:
        rows[index] = min(cost[index][j] - columns[j] for j in often)
    for index in seldom:
        columns[index] = min(cost[i][index] - rows[i] for i in range(len(cost)))
    total = sum(count * (row + column) for count, row, column in zip(times, rows, columns, strict=True))
    by_rows = sum(count * min(row) for count, row in zip(times, cost, strict=True))
    by_columns = sum(count * min(column) for count, column in zip(times, zip(*cost, strict=True), strict=True))
    return max([0.0, *(each for each in (total, by_rows, by_columns) if each < FAR / 2)])


def following_steps(view: Steady, own: Own, pair: tuple[Hop, Hop], table: NDArray[np.float64] | None) -> float:
    """The least time from the end of one hop to the start of another, by one hand."""
    (one, other), mover = pair, own.mover
    goals, starts = ends(view, one)[1], ends(view, other)[0]
    if one == other and not own.busy_else and any(is_one_of(view, own, each) for each in ends(view, one)):
        return FAR  # the slot just filled cannot take the next part, the one just emptied has none to give
    least = FAR
    for goal in goals:
        for start in starts:
            if goal == start and goal in own.closed and continues(view, one, other):
                way = 0.0 if own.busy_else or goal in view.attended else wait_steps(view, one, goal)
            elif table is not None:
                way = table_steps(view, mover, table, (goal, start))
            else:
                travel = mover.travel_steps(view.places[goal], view.places[start], loaded=False)
                way = FAR if travel is None else float(travel)
            least = min(least, way)
    return least


def is_one_of(view: Steady, own: Own, stations: tuple[str, ...]) -> bool:
    """Whether there is one station only, no gate, and this attendant alone fills and empties it part by part."""
    return len(stations) == 1 and stations[0] in own.closed and stations[0] not in view.turnaround_steps


def continues(view: Steady, one: Hop, other: Hop) -> bool:
    """Whether the second hop takes away what the first one brought (or, at a gate, what was exchanged for it)."""
    at_gate = one[2] == len(view.routes[one[0]]) - 1 and other[1] == 0
    return (one[0] == other[0] and one[2] == other[1]) or at_gate


def wait_steps(view: Steady, hop: Hop, station: str) -> float:
    """How long the hand stands by until the part it just set down can be lifted again."""
    if hop[2] == len(view.routes[hop[0]]) - 1:
        return float(view.turnaround_steps.get(station, 0))
    return float(view.routes[hop[0]][hop[2]].time_steps(station))


def shortest(mover: Mover) -> NDArray[np.float64]:
    """The least travel between any two places, over others and with or without a part."""

    def filled(table: tuple[tuple[int | None, ...], ...]) -> NDArray[np.float64]:
        return np.array([[FAR if each is None else each for each in row] for row in table], dtype=np.float64)

    ways = np.minimum(filled(mover.empty_steps), filled(mover.loaded_steps))
    for between in range(len(ways)):
        ways = np.minimum(ways, ways[:, between, None] + ways[None, between, :])
    return ways


def table_steps(view: Steady, mover: Mover, table: NDArray[np.float64], pair: tuple[str, str]) -> float:
    """The least travel between two stations."""
    start, end = (view.places[name] for name in pair)
    if start is None or end is None:
        return 0.0
    return float(table[mover.rows[start], mover.rows[end]]) if start in mover.rows and end in mover.rows else FAR


def several_hands_steps(view: Steady, own: Own) -> float:
    """Chains of the carries to working stations, shared by the hands that may hold parts still to be loaded; and the
    visits to where finished parts go, at most a part a hand each."""
    table = shortest(own.mover)
    raw_hands, mover = raw_limit(view, own.mover), own.mover
    loads = {hop: times for hop, times in own.hops.items() if hop[2] < len(view.routes[hop[0]]) - 1}
    exchanged = {hop: times for hop, times in loads.items() if is_raw(view, mover, (hop[0], hop[2] - 1))}
    raw = loads if raw_hands == mover.hands else exchanged
    every = chain_steps(view, own, table, own.hops) / own.mover.hands
    if not raw:
        return every
    out = [hop for hop in own.hops if hop not in raw]
    detour = sum(own.hops[hop] * detour_steps(view, own.mover, table, hop) for hop in out) / own.mover.hands
    return max(every, chain_steps(view, own, table, raw) / raw_hands + detour)


def chain_steps(view: Steady, own: Own, table: NDArray[np.float64], hops: Mapping[Hop, float]) -> float:
    """The cheapest chain through these carries on the shortest ways."""
    names = list(hops)
    loaded = sum(times * least_way(view, own.mover, table, ends(view, hop)) for hop, times in hops.items())
    cost = [[least_way(view, own.mover, table, (ends(view, a)[1], ends(view, b)[0])) for b in names] for a in names]
    return loaded + priced(cost, [hops[name] for name in names])


def least_way(
    view: Steady, mover: Mover, table: NDArray[np.float64], pair: tuple[tuple[str, ...], tuple[str, ...]]
) -> float:
    """The shortest way between any of these stations and any of those."""
    return min(table_steps(view, mover, table, (a, b)) for a in pair[0] for b in pair[1])


def detour_steps(view: Steady, mover: Mover, table: NDArray[np.float64], hop: Hop) -> float:
    """The least that a visit to the end of the route adds to any way between other places; nothing where the parts
    also come from there, as at a gate."""
    ending = ends(view, hop)[1]
    goals = {view.places[name] for name in ending}
    starts = {name for route in view.routes.values() for name in route[0].stations}
    others = {view.places[name] for name in view.places if name not in ending or name in starts}
    rows, stops = (
        [mover.rows[place] for place in places if place is not None and place in mover.rows]
        for places in (goals, others)
    )
    if goals & others or not rows or not stops:
        return 0.0
    ways = table[np.ix_(stops, stops)]
    return min(float(np.min(table[stops, row][:, None] + table[row, stops][None, :] - ways)) for row in rows)

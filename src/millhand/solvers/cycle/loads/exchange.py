"""How long the exchange of a finished part for the next one binds a station, at least."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from millhand.solvers.cycle.loads.assignment import FAR, assignment_prices
from millhand.solvers.cycle.loads.flows import Hop
from millhand.solvers.cycle.loads.travel import shortest, table_steps
from millhand.solvers.cycle.view import Mover, Phase, Steady

Kind = tuple[str, int]  # a part type and a step of its route
Here = tuple[tuple[Kind, Kind], str]  # which part goes and which comes next, and at which station


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """Where the parts of each station come from and go to: pairs of part and stations."""

    before: Mapping[tuple[str, int], tuple[tuple[str, int], ...]] = field(default_factory=dict)
    behind: Mapping[tuple[str, int], tuple[tuple[str, int], ...]] = field(default_factory=dict)


def around(hops: Mapping[Hop, float]) -> Around:
    """The steps before and behind each step."""
    before: dict[tuple[str, int], list[tuple[str, int]]] = {}
    behind: dict[tuple[str, int], list[tuple[str, int]]] = {}
    for part, start, end in hops:
        before.setdefault((part, end), []).append((part, start))
        behind.setdefault((part, start), []).append((part, end))
    return Around(
        before={key: tuple(value) for key, value in before.items()},
        behind={key: tuple(value) for key, value in behind.items()},
    )


def exchange_steps(view: Steady, near: Around, step: Kind, station: str) -> float:
    """What one part binds a station for beside its work, at least: leads, holds and tails of its lift and set-down.

    With one hand that does both, the finished part has to be carried away and the next one fetched in between. Where
    parts of several types or steps follow each other, which comes after which is free: prices of the cheapest way to do
    that share it out.
    """
    kinds = kinds_at(view, station)
    if step not in kinds or len(kinds) == 1:
        return change_steps(view, near, (step, step), station)
    cost = [[change_steps(view, near, (goes, comes), station) for comes in kinds] for goes in kinds]
    goes, comes = assignment_prices(cost)
    return goes[kinds.index(step)] + comes[kinds.index(step)]


def kinds_at(view: Steady, station: str) -> list[Kind]:
    """The parts and steps that come to a station and go on from it."""
    return [
        (part, number)
        for part, route in view.routes.items()
        for number, stop in enumerate(route[:-1])
        if number and station in stop.stations
    ]


def change_steps(view: Steady, near: Around, pair: tuple[Kind, Kind], station: str) -> float:
    """From one part's end in a station to the next one's beginning there: the first goes, the second comes."""
    (part, _), (coming, _) = pair
    if pair[0] != pair[1] and moves_alone(view, near, pair, station):
        return 0.0
    if view.slots[station] != 1:
        return slot_change_steps(view, near, pair, station)
    found: list[float] = [
        phase_steps(phase) + view.movers[who].turn_steps
        for each in dict.fromkeys((part, coming))
        for who, phase in visits(view, station, each, "swap")
    ]
    for who, lift in visits(view, station, part, "pick"):
        for other, drop in visits(view, station, coming, "place"):
            between = float(lift.tail_steps + drop.lead_steps)
            if who == other:
                between = max(between, between_steps(view, near, (pair, station), view.movers[who]))
            found.append(lift.lead_steps + lift.hold_steps + between + drop.hold_steps + drop.tail_steps)
    return min(found, default=0)


def slot_change_steps(view: Steady, near: Around, pair: tuple[Kind, Kind], station: str) -> float:
    """The same for one of several slots, whichever part comes into it next: only holds bind it, and a part that another
    hand or somebody else brings may be there at once."""
    (part, _), (coming, _) = pair
    both = dict.fromkeys((part, coming))
    found = [float(phase.hold_steps) for each in both for _, phase in visits(view, station, each, "swap")]
    for who, lift in visits(view, station, part, "pick"):
        for other, drop in visits(view, station, coming, "place"):
            alone = who == other and view.movers[who].hands == 1
            between = between_steps(view, near, (pair, station), view.movers[who]) if alone else 0.0
            found.append(lift.hold_steps + between + drop.hold_steps)
    return min(found, default=0.0)


def moves_alone(view: Steady, near: Around, pair: tuple[Kind, Kind], station: str) -> bool:
    """Whether the part that comes may come by itself, or the one that goes go by itself."""
    inward, onward = neighbours(view, near, pair[1])[0], neighbours(view, near, pair[0])[1]
    comes, goes = view.self_out.intersection(inward), view.self_in.intersection(onward)
    return bool(comes or goes) or station in view.self_in | view.self_out


def visits(view: Steady, station: str, part: str, kind: str) -> Iterator[tuple[str, Phase]]:
    """Who can make this kind of visit, and how."""
    for who in view.movers:
        phase = view.phases.get((who, station, part, kind))
        if phase is not None:
            yield who, phase


def phase_steps(phase: Phase) -> int:
    """Lead, hold and tail together."""
    return phase.lead_steps + phase.hold_steps + phase.tail_steps


def between_steps(view: Steady, near: Around, here: Here, mover: Mover) -> float:
    """From the lift to the set-down at one station by one attendant: away and back, or with another hand.

    With two hands the turn from one to the other falls away where the attendant goes elsewhere in between: to fetch the
    next part, or to put the finished one down. With more it may have anything else to do there.
    """
    (goes, comes), station = here
    lead = view.phases[mover.id, station, comes[0], "place"].arrival_lead_steps
    if comes == (goes[0], goes[1] + 1):  # the same part comes again
        return lead
    away = away_steps(view, near, here, mover) + lead
    if mover.hands == 1:
        return away
    if mover.hands > 2:
        return min(away, lead)
    return min(away, lead + min(mover.turn_steps, errand_steps(view, near, here, mover)))


def errand_steps(view: Steady, near: Around, here: Here, mover: Mover) -> float:
    """To where the next part comes from, or the finished one goes, what is done there, and back."""
    (goes, comes), station = here
    least = float(FAR)
    table = shortest(mover) if mover.rows else None
    inward, onward = neighbours(view, near, comes)[0], neighbours(view, near, goes)[1]
    visited = [(name, comes[0], "pick") for name in inward] + [(name, goes[0], "place") for name in onward]
    for other, part, kind in visited:
        phase = view.phases.get((mover.id, other, part, kind))
        if phase is not None:
            there, back = ((station, other), (other, station))
            ways = [0.0 if table is None else table_steps(view, mover, table, pair) for pair in (there, back)]
            least = min(least, sum(ways) + phase.arrival_lead_steps + phase.hold_steps)
    return least


def neighbours(view: Steady, near: Around, step: tuple[str, int]) -> tuple[list[str], list[str]]:
    """The stations from which the parts of a step come, and those to which they go on; from a gate, as raw parts."""
    part, last = step[0], len(view.routes[step[0]]) - 1
    gate = (part, 0) if step[1] == last else step
    inward = [name for at in near.before.get(step, ()) for name in view.routes[part][at[1]].stations]
    onward = [name for at in near.behind.get(gate, ()) for name in view.routes[part][at[1]].stations]
    return inward, onward


def away_steps(view: Steady, near: Around, here: Here, mover: Mover) -> float:
    """The finished part carried on and set down, the way to the next one, its lift and the way back; nothing is known
    of it where one of them stays at this station."""
    (goes, comes), station = here
    inward, onward = neighbours(view, near, comes)[0], neighbours(view, near, goes)[1]
    if goes != comes and station in (*inward, *onward):
        return 0.0
    least = float(FAR)
    table = shortest(mover) if mover.rows else None
    for goal in onward:
        drop = view.phases.get((mover.id, goal, goes[0], "place"))
        for start in inward:
            lift = view.phases.get((mover.id, start, comes[0], "pick"))
            if drop and lift:
                holds = drop.arrival_lead_steps + drop.hold_steps + lift.arrival_lead_steps + lift.hold_steps
                ways = 0.0 if table is None else round_steps(view, mover, table, (station, goal, start))
                least = min(least, ways + holds)
    return 0.0 if least >= FAR else least


def round_steps(view: Steady, mover: Mover, table: NDArray[np.float64], stops: tuple[str, str, str]) -> float:
    """From a station to where its part goes on, to where the next one comes from, and back.

    The second of the three may lead over any other places, with and without parts; with several hands each of them may.
    """
    station, goal, start = stops
    between = table_steps(view, mover, table, (goal, start))
    if mover.hands > 1:
        return (
            table_steps(view, mover, table, (station, goal))
            + between
            + table_steps(view, mover, table, (start, station))
        )
    out = mover.travel_steps(view.places[station], view.places[goal], loaded=True)
    back = mover.travel_steps(view.places[start], view.places[station], loaded=True)
    return FAR if out is None or back is None else out + between + back


def visit_steps(view: Steady, who: str, station: str, part: str) -> tuple[int | None, int | None, int | None]:
    """What a lift, a set-down and an exchange bind an attendant for, None where it does not do that."""

    def bound(kind: str) -> int | None:
        phase = view.phases.get((who, station, part, kind))
        if phase is None:
            return None
        turn = view.movers[who].turn_steps if kind == "swap" else 0
        return phase.arrival_lead_steps + phase.hold_steps + turn

    return bound("pick"), bound("place"), bound("swap")

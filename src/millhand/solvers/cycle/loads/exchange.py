"""How long the exchange of a finished part for the next one binds a station, at least."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from millhand.solvers.cycle.loads.assignment import FAR
from millhand.solvers.cycle.loads.flows import Hop
from millhand.solvers.cycle.loads.travel import shortest, table_steps
from millhand.solvers.cycle.view import Mover, Phase, Steady


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


def exchange_steps(view: Steady, near: Around, step: tuple[str, int], station: str) -> float:
    """Leads, holds and tails of lifting one part and setting down the next of the same kind, at least.

    With one hand that does both, the finished part has to be carried away and the next one fetched in between.
    """
    part = step[0]
    found: list[float] = [
        phase_steps(phase) + view.movers[who].turn_steps for who, phase in visits(view, station, part, "swap")
    ]
    for who, lift in visits(view, station, part, "pick"):
        for other, drop in visits(view, station, part, "place"):
            between = float(lift.tail_steps + drop.lead_steps)
            if who == other:
                between = max(between, between_steps(view, near, (step, station), view.movers[who]))
            found.append(lift.lead_steps + lift.hold_steps + between + drop.hold_steps + drop.tail_steps)
    return min(found, default=0)


def visits(view: Steady, station: str, part: str, kind: str) -> Iterator[tuple[str, Phase]]:
    """Who can make this kind of visit, and how."""
    for who in view.movers:
        phase = view.phases.get((who, station, part, kind))
        if phase is not None:
            yield who, phase


def phase_steps(phase: Phase) -> int:
    """Lead, hold and tail together."""
    return phase.lead_steps + phase.hold_steps + phase.tail_steps


def between_steps(view: Steady, near: Around, here: tuple[tuple[str, int], str], mover: Mover) -> float:
    """From the lift to the set-down at one station by one attendant: away and back, or with another hand.

    With two hands the turn from one to the other falls away where the attendant goes elsewhere in between: to fetch the
    next part, or to put the finished one down. With more it may have anything else to do there.
    """
    station, part = here[1], here[0][0]
    lead = view.phases[mover.id, station, part, "place"].arrival_lead_steps
    away = away_steps(view, near, here, mover) + lead
    if mover.hands == 1:
        return away
    if mover.hands > 2:
        return min(away, lead)
    return min(away, lead + min(mover.turn_steps, errand_steps(view, near, here, mover)))


def errand_steps(view: Steady, near: Around, here: tuple[tuple[str, int], str], mover: Mover) -> float:
    """To where the next part comes from, or the finished one goes, what is done there, and back."""
    step, station = here
    part, least = step[0], float(FAR)
    table = shortest(mover) if mover.rows else None
    inward, onward = neighbours(view, near, step)
    for other, kind in (*((name, "pick") for name in inward), *((name, "place") for name in onward)):
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


def away_steps(view: Steady, near: Around, here: tuple[tuple[str, int], str], mover: Mover) -> float:
    """The finished part carried on and set down, the way to the next one, its lift and the way back."""
    step, station = here
    part = step[0]
    inward, onward = neighbours(view, near, step)
    least = float(FAR)
    table = shortest(mover) if mover.rows else None
    for goal in onward:
        drop = view.phases.get((mover.id, goal, part, "place"))
        for start in inward:
            lift = view.phases.get((mover.id, start, part, "pick"))
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

"""Who sets the pace of a schedule, read off its critical circuit, and who would set it next.

The next one is found by slack: the arcs of the one that sets the pace are relaxed (it takes no time at all), and the
event graph is asked again for its least period, the order of all visits kept. So the answer holds for this order; what
another order could do, only the load bounds say.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from millhand.model.cell import Cell
from millhand.model.schedule import Arc, Event, Schedule
from millhand.solvers.cycle.pace import circuit_arcs
from millhand.solvers.cycle.tours.graph import least_period, numbered

NEAR = 0.95  # whoever needs so much of the period is named beside the one that sets it
KINDS = {"process": "machine", "supply": "presenter", "sink": "outfeed", "store": "store", "gate": "gate"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Setter:
    """One resource that sets the pace, or would: what it is, the period that its own circuit needs, and with whom."""

    name: str
    kind: str  # 'machine', 'arm', 'operator', 'track', 'presenter', ...
    period_steps: Fraction
    beside: tuple[str, ...]  # others on the same circuit, where it is not the resource's alone


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Those that set the pace within 5 % of each other, the first one first, and the next one after them."""

    setters: tuple[Setter, ...]
    following: Setter | None


def pace_of(cell: Cell, schedule: Schedule) -> Pace | None:
    """Who sets the pace of a repeating schedule; None where it names no circuit."""
    if schedule.goal != "rate" or not schedule.critical or schedule.period_steps <= 0:
        return None
    circuit = list(circuit_arcs(schedule))
    first = setter_of(cell, schedule, circuit, Fraction(schedule.period_steps))
    setters, arcs = [first], list(schedule.arcs)
    while True:
        arcs = relaxed(arcs, setters[-1].name)
        following = next_setter(cell, schedule, arcs)
        known = {each.name for each in setters}
        if following is None or following.name in known or following.period_steps < NEAR * schedule.period_steps:
            return Pace(setters=tuple(setters), following=None if following and following.name in known else following)
        setters.append(following)


def next_setter(cell: Cell, schedule: Schedule, arcs: Sequence[Arc]) -> Setter | None:
    """Who sets the pace of a graph with relaxed arcs; None where nothing but the relaxed ones would."""
    ids = [event.id for event in schedule.events]
    found = least_period(len(ids), numbered(arcs, ids))
    if not found.value or not found.circuit:
        return None
    nodes = [ids[node] for node in found.circuit]
    return setter_of(cell, schedule, list(between(nodes, arcs, found.value)), found.value)


def between(nodes: Sequence[str], arcs: Sequence[Arc], period: Fraction) -> Iterator[Arc]:
    """The arcs of a circuit, of each the one that leaves the least slack."""
    for before, after in pairwise([*nodes, nodes[0]]):
        own = [arc for arc in arcs if (arc.before, arc.after) == (before, after)]
        yield max(own, key=lambda arc: arc.lag_steps - arc.laps * period)


def setter_of(cell: Cell, schedule: Schedule, circuit: Sequence[Arc], period: Fraction) -> Setter:
    """Whose circuit it is: the owner of most of its time, and whoever else it passes."""
    known = {event.id: event for event in schedule.events}
    times: Counter[str] = Counter()
    for arc in circuit:
        times[owner_of(cell, arc, known)] += abs(arc.lag_steps)
    (name, _), *others = times.most_common()
    if all(known[arc.before].station == name for arc in circuit):
        others = []
    beside = tuple(other for other, steps in others if steps)
    return Setter(name=name, kind=kind_of(cell, name), period_steps=period, beside=beside)


def owner_of(cell: Cell, arc: Arc, known: dict[str, Event]) -> str:
    """Which resource an arc belongs to: the one that its reason names."""
    names = {*cell.stations, *cell.attendants, *cell.tracks}
    for word in arc.why.split():
        if word in names:
            return word
    return known[arc.after].attendant or known[arc.after].station or arc.why


def kind_of(cell: Cell, name: str) -> str:
    """What a resource is, as the trade says it."""
    if name in cell.attendants:
        return cell.attendants[name].kind
    if name in cell.stations:
        return KINDS[cell.stations[name].kind]
    return "track" if name in cell.tracks else "rule"


def relaxed(arcs: Sequence[Arc], name: str) -> list[Arc]:
    """The arcs with everything that a resource takes time for taking none; limits of stays are kept."""
    return [
        replace(arc, lag_steps=0) if name in arc.why.split() and not arc.why.startswith("window") else arc
        for arc in arcs
    ]

"""A plan for lots in the words of its cell: slots, own buffers and gates are one station each again.

What a machine does between its own buffers and itself is no event of the cell. These are left out, and each wait that
went through one of them becomes an arc between the events before and after it, so nothing is demanded more or less. A
cell with several slots or loads beside buffers is told in full: only its gates are one station again.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.lots.makespan_graph import WHATS, Timed, critical_path
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots
from millhand.solvers.cycle.lots.makespan_plan import Plan, lift_phase, set_phase
from millhand.solvers.cycle.lots.makespan_stations import Named, waits

FOUR = ("lift", "lifted", "set", "placed")
MOTION = ("depart", "arrive")


def in_own_words(lots: Lots, plan: Plan, found: Timed) -> Timed:
    """The same plan with the stations of the cell, and its visits numbered in the order of time."""
    names = Named(lots=lots, plan=plan)
    late = late_rides(found)
    own = in_full if lots.in_full else own_station
    inside = [] if lots.in_full else [hop for hop in plan.carried if is_inner(plan, hop)]
    inner = {names.event(hop, what) for hop in inside for what in FOUR}
    inner |= {names.event(hop, what) for hop in plan.carried if stands(names, hop) for what in WHATS}
    arcs = [arc for arc in found.arcs if not {arc.before, arc.after} & late]
    room = () if lots.in_full else slot_arcs(names)
    arcs = without([*arcs, *room], [event.id for event in found.events if event.id in inner])
    kept = [replace(event, station=own(event.station)) for event in found.events if event.id not in late | inner]
    ids = numbered([event for event in found.events if event.id not in late | inner], own)
    events = tuple(replace(event, id=ids[event.id]) for event in kept)
    told = tuple(replace(arc, before=ids[arc.before], after=ids[arc.after], why=own_why(arc.why, own)) for arc in arcs)
    critical = critical_path(events, told, found.makespan_steps)
    return replace(found, events=events, arcs=told, critical=critical)


def own_station(station: str) -> str:
    """The station of the cell: what is written out for a slot, a buffer or a gate has more words after its name."""
    return station.partition(" ")[0]


def in_full(station: str) -> str:
    """The station of a cell that is told in full: only where a gate takes parts has another name in the plan."""
    return station.removesuffix(" back")


def own_why(why: str, own: Callable[[str], str]) -> str:
    """The reason of an arc with the station of the cell."""
    if why.startswith("window "):
        return f"window {own(why.removeprefix('window '))}"
    return why if " and " in why else own(why)


def is_inner(plan: Plan, hop: Hop) -> bool:
    """Whether a transfer is one between a machine and its own buffer, within one step; between two steps that follow
    each other at one machine it is a move of the cell."""
    way = plan.carried[hop].way
    return way.who is None and (way.start == f"{way.goal} in" or way.goal == f"{way.start} out")


def stands(names: Named, hop: Hop) -> bool:
    """Whether a part stands where it is, while in other machines of its step it would go on into a buffer or out of
    one: no event of the cell. Where its next step is there too it goes out and in again, by itself or not."""
    way, (j, step) = names.plan.carried[hop].way, hop
    inside = names.lots.place_of(j, step + 1) == names.lots.place_of(j, step)
    return inside and way.who is None and way.start == way.goal


def late_rides(found: Timed) -> set[str]:
    """The events of motions that end after the last part is set down; where they would begin the attendant can stay."""
    late = {event.id for event in found.events if event.what in MOTION and event.at_steps > found.makespan_steps}
    numbers = {name.partition(" ")[0] for name in late}
    return {event.id for event in found.events if event.what in MOTION and event.id.partition(" ")[0] in numbers}


def without(arcs: Iterable[Arc], names: Iterable[str]) -> list[Arc]:
    """The arcs without some events: each pair of arcs through one of them becomes one arc."""
    table: dict[tuple[str, str], Arc] = {}
    into: dict[str, set[str]] = {}
    onward: dict[str, set[str]] = {}
    plain: list[Arc] = []
    gone = set(names)
    for arc in arcs:
        if {arc.before, arc.after} & gone:
            keep(table, (into, onward), arc)
        else:
            plain.append(arc)
    for name in names:
        pairs = [(one, other) for one in into.get(name, ()) for other in onward.get(name, ()) if one != other]
        for one, other in pairs:
            keep(table, (into, onward), joined(table[one, name], table[name, other]))
        for one in into.pop(name, set()):
            table.pop((one, name), None)
            onward[one].discard(name)
        for other in onward.pop(name, set()):
            table.pop((name, other), None)
            into[other].discard(name)
    return [*plain, *table.values()]


def keep(table: dict[tuple[str, str], Arc], beside: tuple[dict[str, set[str]], dict[str, set[str]]], arc: Arc) -> None:
    """Note an arc, of two between the same events the one that asks for more."""
    pair = (arc.before, arc.after)
    if pair not in table or table[pair].lag_steps < arc.lag_steps:
        table[pair] = arc
    beside[0].setdefault(arc.after, set()).add(arc.before)
    beside[1].setdefault(arc.before, set()).add(arc.after)


def joined(one: Arc, other: Arc) -> Arc:
    """Two arcs one after the other as one, with the reason of the one that takes time."""
    why = other.why if other.lag_steps or not one.lag_steps else one.why
    return waits(one.before, other.after, one.lag_steps + other.lag_steps, why)


def numbered(events: Sequence[Event], own: Callable[[str], str]) -> dict[str, str]:
    """New ids: the visits count from one in the order in which they begin; who stands at home has 0."""
    numbers: dict[str, int] = {"0": 0}
    found = {}
    for event in events:
        old, _, words = event.id.partition(" ")
        number = numbers.setdefault(old, len(numbers))
        found[event.id] = f"{number} {words.removesuffix(event.station)}{own(event.station)}"
    return found


def slot_arcs(names: Named) -> Iterator[Arc]:
    """Where a station has several slots: of n slots the k-th load waits for the (k - n)-th to be gone, whichever slot
    it takes, as slots have no names in the cell."""
    lots, plan = names.lots, names.plan
    slots: dict[str, list[str]] = {}
    for name in lots.cell.stations:
        slots.setdefault(own_station(name), []).append(name)
    for alike in slots.values():
        count = sum(1 for name in alike if " slot " in name) + 1
        here = [hop for hop, each in plan.carried.items() if each.way.goal in alike]
        comes = [(j, h) for j, h in here if (j, h + 1) in plan.carried]
        if count == 1 or not comes:
            continue
        comes.sort(key=lambda hop: (plan.carried[hop].set, plan.carried[hop].placed, plan.rank(hop, "in")))
        goes = sorted(
            ((j, h + 1) for j, h in comes),
            key=lambda hop: (plan.carried[hop].lifted, plan.carried[hop].lift, plan.rank(hop, "out")),
        )
        for late, early in zip(comes[count:], goes, strict=False):
            lag = lift_phase(lots, plan, early).tail_steps + set_phase(lots, plan, late).lead_steps
            if plan.carried[late].set - plan.carried[early].lifted >= lag:
                yield waits(names.event(early, "lifted"), names.event(late, "set"), lag, alike[0])

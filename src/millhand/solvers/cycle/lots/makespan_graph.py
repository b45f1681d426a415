"""A plan for lots as a graph of events: the arcs that make each event wait, the earliest times, and what is critical.

Every rule that the plan has to keep is an arc. So the longest path to each event is its time, and the longest of all is
the makespan; a plan whose arcs go round in a circle that takes time cannot be done.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_plan import Plan
from millhand.solvers.cycle.lots.makespan_rides import apart_arcs, ride_arcs, ride_events, ride_times
from millhand.solvers.cycle.lots.makespan_stations import Named, station_arcs
from millhand.solvers.cycle.lots.makespan_visits import visit_arcs
from millhand.solvers.cycle.tours.graph import longest_times, path_between

WHATS = ("lift", "lifted", "set", "placed", "start", "finish")


@dataclass(frozen=True, slots=True, kw_only=True)
class Timed:
    """Events at their earliest times with the arcs that give them, and the longest path; None times where the arcs
    cannot all be kept."""

    events: tuple[Event, ...]
    arcs: tuple[Arc, ...]
    critical: tuple[str, ...] = ()
    makespan_steps: int = 0
    possible: bool = True
    circle: tuple[str, ...] = field(default=())


def timed(lots: Lots, plan: Plan) -> Timed:
    """The plan as early as its arcs allow."""
    names = Named(lots=lots, plan=plan)
    bare = tuple(events_of(names))
    bare += tuple(ride_events(names))
    arcs = (*visit_arcs(names), *station_arcs(names), *ride_arcs(names), *apart_arcs(names))
    rough = dict(rough_times(names)) | ride_times(names)
    order = sorted(range(len(bare)), key=lambda index: rough[bare[index].id])
    number = {bare[index].id: rank for rank, index in enumerate(order)}
    sorted_arcs = sorted(
        ((number[arc.before], number[arc.after], arc.lag_steps, 0) for arc in arcs), key=lambda arc: (arc[0], arc[1])
    )
    times, circle = longest_times(len(bare), sorted_arcs, Fraction(1))
    if circle:
        back = {rank: name for name, rank in number.items()}
        return Timed(events=(), arcs=arcs, possible=False, circle=tuple(back[arc[0]] for arc in circle))
    events = tuple(
        sorted((at_time(event, times[number[event.id]]) for event in bare), key=lambda event: event.at_steps)
    )
    makespan = max((event.at_steps for event in events if event.what == "placed"), default=0)
    return Timed(events=events, arcs=arcs, critical=critical_path(events, arcs, makespan), makespan_steps=makespan)


def goes_round(found: Timed) -> bool:
    """Whether things at one moment wait for each other in a circle. Two that both wait for each other are one thing, as
    both ends of a visit that takes no time; a stay that may take none says no order, nor does one hand that carries on
    at once: another may lift or set down meanwhile."""
    if not found.possible:
        return True
    known = {event.id: event for event in found.events}
    waits = {
        (arc.before, arc.after)
        for arc in found.arcs
        if arc.lag_steps == 0 and not arc.why.startswith("window ")
        if known[arc.before].at_steps == known[arc.after].at_steps
        if (known[arc.before].what, known[arc.after].what) != ("set", "lifted")
    }
    one: dict[str, str] = {}

    def thing(name: str) -> str:
        while name in one:
            name = one[name]
        return name

    for before, then in waits:
        if (then, before) in waits and thing(before) != thing(then):
            one[thing(before)] = thing(then)
    left = {(thing(before), thing(then)) for before, then in waits if (then, before) not in waits}
    while left:
        waiting = {then for _, then in left}
        gone = {pair for pair in left if pair[0] not in waiting}
        if not gone:
            return True
        left -= gone
    return False


def at_time(event: Event, steps: int) -> Event:
    """The same event at its time."""
    return Event(
        id=event.id,
        attendant=event.attendant,
        station=event.station,
        what=event.what,
        part=event.part,
        lap=0,
        at_steps=steps,
        place=event.place,
    )


def events_of(names: Named) -> Iterator[Event]:
    """All events without their times: attendants leave home, parts are lifted and set down, work starts and ends."""
    for name in (who for who in names.plan.orders if who not in names.lots.sharing):
        leaves = names.home(name)
        yield Event(
            id=leaves,
            attendant=name,
            station="",
            what="depart",
            part="",
            lap=0,
            at_steps=0,
            place=names.lots.home[name],
        )
    for hop, each in names.plan.carried.items():
        part = names.lots.pieces[hop[0]].part
        for what in WHATS:
            who = each.way.who if what in ("lift", "lifted", "set", "placed") else None
            station = each.way.start if what in ("lift", "lifted") else each.way.goal
            if what in ("start", "finish") and not names.lots.works(station):
                continue
            yield Event(
                id=names.event(hop, what), attendant=who, station=station, what=what, part=part, lap=0, at_steps=0
            )
    for number, change in enumerate(names.plan.changes):
        for what in ("start", "finish"):
            yield Event(
                id=names.change(number, what), attendant=change.who, station=change.station, what=what, part="",
                lap=0, at_steps=0, place=change.set_up.place,
            )  # fmt: skip


def rough_times(names: Named) -> Iterator[tuple[str, int]]:
    """Each event with about its time in the plan, so that the longest paths are found in few passes."""
    for who in names.plan.orders:
        yield names.home(who), 0
    for hop, each in names.plan.carried.items():
        times = (each.lift, each.lifted, each.set, each.placed, each.placed, each.placed)
        for what, time in zip(WHATS, times, strict=True):
            yield names.event(hop, what), time
    for number, change in enumerate(names.plan.changes):
        yield names.change(number, "start"), change.start
        yield names.change(number, "finish"), change.end


def critical_path(events: Sequence[Event], arcs: Sequence[Arc], makespan: int) -> tuple[str, ...]:
    """A path of arcs without slack from an event at time 0 to the last part set down."""
    at = {event.id: event.at_steps for event in events}
    number = {event.id: index for index, event in enumerate(events)}
    after: dict[int, list[tuple[int, int, int, int]]] = {}
    for arc in arcs:
        if at[arc.after] == at[arc.before] + arc.lag_steps:
            row = (number[arc.before], number[arc.after], arc.lag_steps, 0)
            after.setdefault(row[0], []).append(row)
    ends = [event.id for event in events if event.what == "placed" and event.at_steps == makespan]
    for start in (event.id for event in events if event.at_steps == 0):
        for end in ends:
            path = path_between(number[start], number[end], after)
            if path is not None:
                return (*(events[index].id for index in path), end)
    return ()


def retimed(plan: Plan, found: Timed, lots: Lots) -> Plan:
    """The plan at its earliest times."""
    at = {event.id: event.at_steps for event in found.events}
    names = Named(lots=lots, plan=plan)
    return names.moved(at)

"""From the visits of a repeating tour to its event graph: who waits for whom, and which arc says so.

A tour is one period's visits in their order, of one attendant or of several. What happens at a station follows from
the order: a part set down there is the one that the next lift there takes, in this period or the next.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import ceil

from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.chains import lies_at
from millhand.solvers.cycle.tours.graph import least_period, numbered
from millhand.solvers.cycle.tours.standing import standing, without
from millhand.solvers.cycle.tours.station_arcs import (
    alone_arcs,
    arcs_in_turn,
    gate_arcs,
    load_arcs,
    room_arc,
    stay_arcs,
)
from millhand.solvers.cycle.tours.stay import Group as Group
from millhand.solvers.cycle.tours.stay import Inside as Inside
from millhand.solvers.cycle.tours.stay import Stay as Stay
from millhand.solvers.cycle.tours.stay import first_event, last_event, turn_between
from millhand.solvers.cycle.tours.stay import hold_steps as hold_steps
from millhand.solvers.cycle.tours.stay import name_of as name_of
from millhand.solvers.cycle.tours.stay import phase_of as phase_of
from millhand.solvers.cycle.tours.stay import process_steps as process_steps
from millhand.solvers.cycle.view import Steady


class NoWayError(ValueError):
    """A tour that asks for a way that the attendant cannot go."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """A tour with its period: events with their times, arcs, and a circuit that sets the pace."""

    period_steps: int
    events: tuple[Event, ...]
    arcs: tuple[Arc, ...]
    critical: tuple[str, ...]


def cycle_of(view: Steady, tour: Sequence[Stay], inside: Inside | None = None) -> Cycle | None:
    """The tour at its least period in whole grid steps; None where a window or a missing way forbids it.

    `inside` says how many parts lie at a station when the period begins, where its slots do not.
    """
    events = [event for index, visit in enumerate(tour) for event in events_of(view, index, visit)]
    try:
        arcs = arcs_of(view, tour, {} if inside is None else inside)
    except NoWayError:
        return None
    ids = [event.id for event in events]
    lags = numbered(arcs, ids)
    least = least_period(len(ids), lags)
    if least.value is None:
        return None
    period = ceil(least.value)
    settled = least if period == least.value else least_period(len(ids), lags, floor=Fraction(period))
    if settled.value != period:
        return None
    times = {name: int(settled.times[index] - settled.times[0]) for index, name in enumerate(ids)}
    circuit = tuple(ids[node] for node in least.circuit)
    fold = {name: at // period if period else 0 for name, at in times.items()}
    chains = laps_of_parts(view, tour, fold, inside or {})
    folded = tuple(replace(arc, laps=arc.laps + fold[arc.after] - fold[arc.before]) for arc in arcs)
    laps = in_whole_loads(view, chains, folded)
    gone = set(standing(tour))
    for name in (event.id for event in events if event.id in gone):
        folded = without(folded, name)
    return Cycle(
        period_steps=period,
        events=tuple(
            replace(event, lap=laps.get(event.id, 0), at_steps=times[event.id] - fold[event.id] * period)
            for event in events
            if event.id not in gone
        ),
        arcs=folded,
        critical=tuple(name for name in circuit if name not in gone),
    )


def laps_of_parts(view: Steady, tour: Sequence[Stay], fold: dict[str, int], inside: Inside) -> list[dict[str, int]]:
    """In which lap after its part's lift out of the supply each event happens, part by part.

    A part is followed from hand to station and on; what lies at a station at first comes in first.
    """
    whole: list[dict[str, int]] = []
    onward = {
        (drop, tour[drop].set_down): (lift, laps)
        for own in stations_of(tour)
        for drop, lift, laps in stays_at(view, own, inside)
    }
    carried = {lift: (drop, laps) for lift, drop, laps in carries_in(tour)}
    for first in (index for index, visit in enumerate(tour) if visit.step == 0 and visit.kind == "pick"):
        found: dict[str, int] = {}
        whole.append(found)
        lift, since = first, -fold[name_of(first, tour[first], "lift")]
        while True:
            drop, laps = carried[lift]
            found |= laps_of_visit(tour, lift, ("lift", "lifted"), fold, since)
            since += laps
            found |= laps_of_visit(tour, drop, ("set", "placed", "start", "finish"), fold, since)
            part, step = tour[drop].set_down
            if step == len(view.routes[part]) - 1:
                break
            lift, laps = onward[drop, (part, step)]
            since += laps
    return whole


def in_whole_loads(view: Steady, chains: Sequence[dict[str, int]], arcs: Sequence[Arc]) -> dict[str, int]:
    """The laps of all events, where parts of one load count from one lap: those that are lifted out of the supply a
    period later than others of their load count from the period before that. Whoever fills an empty cell by the
    schedule then brings whole loads."""
    laps = {name: (lap, number) for number, chain in enumerate(chains) for name, lap in chain.items()}
    apart: dict[int, list[tuple[int, int]]] = {}
    for arc in arcs if view.loads else ():
        if arc.why in view.loads and " placed " in arc.before and " start " in arc.after:
            (before, one), (after, other) = laps[arc.before], laps[arc.after]
            later = arc.laps + before - after
            apart.setdefault(one, []).append((other, later))
            apart.setdefault(other, []).append((one, -later))
    since: dict[int, int] = {}
    for number in range(len(chains)):
        if number in since:  # its whole load has been settled
            continue
        since[number] = 0
        queue = [number]
        for one in queue:
            for other, later in apart.get(one, ()):
                if other not in since:
                    since[other] = since[one] + later
                    queue.append(other)
        least = min(since[one] for one in queue)
        since |= {one: since[one] - least for one in queue}
    return {name: lap + since[number] for name, (lap, number) in laps.items()}


def laps_of_visit(
    tour: Sequence[Stay], index: int, whats: tuple[str, ...], fold: dict[str, int], since: int
) -> dict[str, int]:
    """The laps of those events of a visit that there are."""
    names = [name_of(index, tour[index], what) for what in whats]
    return {name: fold[name] + since for name in names if name in fold}


def carries_in(tour: Sequence[Stay]) -> Iterator[tuple[int, int, int]]:
    """Which visit sets down what each visit lifts, and in which period after it: this one, or the next."""
    held: dict[str, list[tuple[int, int]]] = {}
    for last in (False, True):
        held = {who: [(lift, 1) for lift, _ in hand] for who, hand in held.items()}
        for index, visit in enumerate(tour):
            hand = held.setdefault(visit.who, [])
            if visit.kind in ("place", "swap"):
                part, step = visit.set_down
                mine = next((each for each in hand if tour[each[0]].lifted == (part, step - 1)), None)
                if mine is not None:
                    hand.remove(mine)
                    if last:
                        yield mine[0], index, mine[1]
            if visit.kind in ("pick", "swap"):
                hand.append((index, 0))


def held_over(tour: Sequence[Stay], who: str) -> int:
    """How many parts an attendant has in hand when the period begins."""
    return sum(laps for lift, _, laps in carries_in(tour) if tour[lift].who == who)


def stations_of(tour: Sequence[Stay]) -> list[list[tuple[int, Stay]]]:
    """The visits of each station, numbered."""
    found: dict[str, list[tuple[int, Stay]]] = {}
    for index, visit in enumerate(tour):
        if visit.kind != "duty":
            found.setdefault(visit.station, []).append((index, visit))
    return list(found.values())


def stays_at(view: Steady, own: Sequence[tuple[int, Stay]], inside: Inside) -> Iterator[tuple[int, int, int]]:
    """The part set down by one visit, the visit that lifts it, and how many periods later.

    Among parts of one type at one step the first in is the first out; at a gate whatever comes in is turned round.
    """
    gate = own[0][1].station in view.turnaround_steps
    begins = in_loads(view, own, inside_at(own, inside))
    groups: dict[Group | None, tuple[list[int], list[int]]] = {}
    for index, visit in own:
        if visit.kind != "place":
            groups.setdefault(None if gate else visit.lifted, ([], []))[0].append(index)
        if visit.kind != "pick":
            lies = lain(view, visit.station, visit.set_down)
            groups.setdefault(None if gate else lies, ([], []))[1].append(index)
    for group, (lifts, drops) in groups.items():
        lying = sum(begins.values()) if group is None else begins.get(group, 0)
        for number, lift in enumerate(lifts if drops else ()):
            periods, which = divmod(number - lying, len(drops))
            yield drops[which], lift, -periods


def lain(view: Steady, station: str, group: Group) -> Group:
    """The step at which a part lies that was set down for one: a load stays while others go on through buffers."""
    part, step = group
    if station not in view.loads:
        return group
    return part, lies_at([stop.stations for stop in view.routes[part]], step, station, view.only_to)


def in_loads(view: Steady, own: Sequence[tuple[int, Stay]], lying: Mapping[Group, int]) -> Mapping[Group, int]:
    """What lies at a station, by the step at which it lies."""
    found: dict[Group, int] = {}
    for group, count in lying.items():
        lies = lain(view, own[0][1].station, group)
        found[lies] = found.get(lies, 0) + count
    return found


def long_stay_arcs(view: Steady, tour: Sequence[Stay], inside: Inside) -> Iterator[Arc]:
    """Limited stays in a machine and its own buffers: from the set-down in the first to the lift from the last."""
    if not view.special.machines:
        return
    stays = [each for own in stations_of(tour) for each in stays_at(view, own, inside)]
    stayed = {lift: (drop, laps) for drop, lift, laps in stays}
    carried = {drop: (lift, laps) for lift, drop, laps in carries_in(tour)}
    for drop, lift, laps in stays:
        part, step = lain(view, tour[drop].station, tour[drop].set_down)
        stop = view.routes[part][step]
        if stop.stay_max_steps is None or not stop.stay_since:
            continue
        for _ in range(stop.stay_since - (step - tour[drop].set_down[1])):
            before, on_the_way = carried[drop]
            drop, inside_laps = stayed[before]
            laps += on_the_way + inside_laps
        yield Arc(
            before=name_of(lift, tour[lift], "lift"),
            after=name_of(drop, tour[drop], "placed"),
            lag_steps=-stop.stay_max_steps,
            laps=-laps,
            why=f"window {view.machine(tour[lift].station)}",
        )


def inside_at(own: Sequence[tuple[int, Stay]], inside: Inside) -> Mapping[Group, int]:
    """How many parts of each kind lie at a station when the period begins: those whose slot is first visited to lift.

    Unless that was said, because parts do not take the slots in turn.
    """
    if own[0][1].station in inside:
        return inside[own[0][1].station]
    firsts = {visit.slot: visit for _, visit in reversed(own)}
    found: dict[Group, int] = {}
    for visit in firsts.values():
        if visit.kind != "place":
            found[visit.lifted] = found.get(visit.lifted, 0) + 1
    return found


def events_of(view: Steady, index: int, visit: Stay) -> Iterator[Event]:
    """The events of one visit; a part set down at a working station also starts and finishes there."""
    whats = {"pick": ("lift", "lifted"), "place": ("set", "placed"), "swap": ("lift", "lifted", "set", "placed")}
    whats["duty"] = ("duty", "duty_done")
    works = visit.kind != "pick" and process_steps(view, visit) is not None
    for what in (*whats[visit.kind], *(("start", "finish") if works else ())):
        who = None if what in ("start", "finish") else visit.who
        yield Event(
            id=name_of(index, visit, what),
            attendant=who or None,
            station="" if visit.kind == "duty" else visit.station,
            what=what,
            part=visit.part if what in ("lift", "lifted") else visit.set_down[0],
            lap=0,
            at_steps=0,
            place=view.places[visit.station] if visit.kind == "duty" else None,
        )


def arcs_of(view: Steady, tour: Sequence[Stay], inside: Inside) -> list[Arc]:
    """Every arc of a tour."""
    arcs = [arc for index, visit in enumerate(tour) for arc in arcs_inside(view, index, visit)]
    for who in dict.fromkeys(visit.who for visit in tour):
        own = [(i, visit) for i, visit in enumerate(tour) if visit.who == who]
        arcs += arcs_between_visits(view, own, held_over(tour, who)) if who else arcs_by_itself(tour)
    for own in stations_of(tour):
        arcs += arcs_at_station(view, tour, own, inside)
    return arcs + list(long_stay_arcs(view, tour, inside))


def arcs_inside(view: Steady, index: int, visit: Stay) -> Iterator[Arc]:
    """The hold takes exactly its time; after the tail the station works."""

    def arc(before: str, after: str, lag: int, why: str) -> Arc:
        return Arc(
            before=name_of(index, visit, before), after=name_of(index, visit, after), lag_steps=lag, laps=0, why=why
        )

    hold = hold_steps(view, visit)
    first = first_event(visit)
    last = {"set": "placed", "duty": "duty_done"}.get(first, "lifted")
    why = visit.who or visit.station
    yield from (arc(first, last, hold, why), arc(last, first, -hold, why))
    if visit.kind == "swap":
        yield from (arc("lift", "set", 0, visit.who), arc("set", "lift", 0, visit.who))
        yield from (arc("lifted", "placed", 0, visit.who), arc("placed", "lifted", 0, visit.who))
    works = None if visit.kind == "pick" else process_steps(view, visit)
    if works is not None:
        yield arc("placed", "start", phase_of(view, visit).tail_steps, visit.station)
        yield arc("start", "finish", works, visit.station)
        if not visit.who and visit.station not in view.loads:
            yield arc("start", "placed", -phase_of(view, visit).tail_steps, visit.station)


def arcs_between_visits(view: Steady, own: Sequence[tuple[int, Stay]], load: int) -> Iterator[Arc]:
    """From each visit of one attendant to its next: travel, and the lead that starts on arrival.

    With one hand a part in it is never carried to a place that cannot take it at once, so the way is exact. `load`: how
    many parts are in hand before the first visit.
    """
    mover = view.movers[own[0][1].who]
    for (index, visit), (after, following) in pairwise([*own, own[0]]):
        load += {"pick": 1, "place": -1}.get(visit.kind, 0)
        lag = way_steps(view, visit, following, loaded=load > 0)
        leaves, arrives = (
            name_of(index, visit, last_event(view, visit)),
            name_of(after, following, first_event(following)),
        )
        laps = 1 if after <= index else 0
        yield Arc(before=leaves, after=arrives, lag_steps=lag, laps=laps, why=mover.id)
        if mover.hands == 1 and load > 0:
            yield Arc(before=arrives, after=leaves, lag_steps=-lag, laps=-laps, why=f"{mover.id} never waits loaded")


def arcs_by_itself(tour: Sequence[Stay]) -> Iterator[Arc]:
    """A part that moves by itself leaves and arrives at one moment."""
    for lift, drop, laps in carries_in(tour):
        if not tour[lift].who:
            leaves, arrives = name_of(lift, tour[lift], "lifted"), name_of(drop, tour[drop], "set")
            yield Arc(before=leaves, after=arrives, lag_steps=0, laps=laps, why=tour[lift].station)
            yield Arc(before=arrives, after=leaves, lag_steps=0, laps=-laps, why=tour[lift].station)


def tour_steps(view: Steady, tour: Sequence[Stay], *, most: int) -> int:
    """How long one attendant's tour takes without any waiting; `most` where it asks for a way that cannot be gone."""
    load, total = 0, 0
    for visit, following in pairwise([*tour, tour[0]]):
        load += {"pick": 1, "place": -1}.get(visit.kind, 0)
        try:
            total += hold_steps(view, visit) + way_steps(view, visit, following, loaded=load > 0)
        except NoWayError:
            return most
    return total


def way_steps(view: Steady, visit: Stay, following: Stay, *, loaded: bool) -> int:
    """Travel between two visits, the turn to the other hand where they are at one station, the lead on arrival."""
    mover = view.movers[visit.who]
    travel = mover.travel_steps(view.places[visit.station], view.places[following.station], loaded=loaded)
    if travel is None:
        raise NoWayError(f"{mover.id} cannot go from {visit.station} to {following.station}")
    return travel + turn_between(view, visit, following) + phase_of(view, following).arrival_lead_steps


def arcs_at_station(
    view: Steady, tour: Sequence[Stay], own: Sequence[tuple[int, Stay]], inside: Inside
) -> Iterator[Arc]:
    """The stay of each part at a station, and room for it before it is set down."""
    station = own[0][1].station
    yield from alone_arcs(view, own)
    lifts = [each for each in own if each[1].kind != "place"]
    drops = [each for each in own if each[1].kind != "pick"]
    if not lifts or not drops:
        return  # a supply or a sink: nothing set down here is lifted again
    if process_steps(view, drops[0][1]) is None:
        yield from gate_arcs(view, lifts, drops) if station in view.turnaround_steps else ()
        return
    if len(lifts) != len(drops):
        raise ValueError(f"{station}: {len(drops)} parts are set down in a period and {len(lifts)} lifted")
    begins, stays = sum(inside_at(own, inside).values()), list(stays_at(view, own, inside))
    for drop, lift, laps in stays:
        yield from stay_arcs(view, (drop, tour[drop]), (lift, tour[lift]), laps)
    yield from arcs_in_turn(view, own)
    if station in view.loads:
        yield from load_arcs(view, own, stays, begins)
        return
    room = view.slots[station]
    for number, (index, visit) in enumerate(drops if room is not None else ()):
        periods, which = divmod(number + begins - (room or 0), len(lifts))
        if lifts[which][0] != index or periods:
            yield room_arc(view, lifts[which], (index, visit), -periods)

"""Between a tour of visits and the motions of those of its attendants that share a track."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.errors import NotYet
from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_events import woven
from millhand.solvers.cycle.rails.rail_tours import Asked, Call, Timed
from millhand.solvers.cycle.tours.graph import least_period, numbered
from millhand.solvers.cycle.tours.stay import first_event, last_event, turn_between
from millhand.solvers.cycle.tours.tour import (
    Cycle,
    Inside,
    Stay,
    arcs_at_station,
    arcs_between_visits,
    arcs_by_itself,
    arcs_inside,
    carries_in,
    events_of,
    held_over,
    hold_steps,
    in_whole_loads,
    laps_of_parts,
    long_stay_arcs,
    name_of,
    phase_of,
    stations_of,
    way_steps,
)
from millhand.solvers.cycle.view import Steady


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """The visits of one period in the order of time, when each begins within the period, and what lies where."""

    tour: tuple[Stay, ...]
    starts: tuple[int, ...]
    period_steps: int
    inside: Inside


def asked_of(view: Steady, rail: Rail, placed: Placed) -> Asked:
    """The tours of the attendants on the rail, and all arcs but those of their travel."""
    events = events_in(view, placed.tour)
    number = {event.id: index for index, event in enumerate(events)}
    times = tuple(time for index, visit in enumerate(placed.tour) for time in times_of(view, placed, index, visit))
    return Asked(
        rail=rail,
        tours={arm: calls_of(view, placed, arm, number) for arm in rail.arms},
        times=times,
        period_steps=placed.period_steps,
        arcs=tuple(numbered(arcs_beside(view, rail, placed), list(number))),
        floor_steps=1,
    )


def events_in(view: Steady, tour: Sequence[Stay]) -> list[Event]:
    """All events of the visits, in their order."""
    return [event for index, visit in enumerate(tour) for event in events_of(view, index, visit)]


def times_of(view: Steady, placed: Placed, index: int, visit: Stay) -> list[int]:
    """When the events of a visit happen; the process after it begins and ends at some time that the arcs will say."""
    start, hold = placed.starts[index], hold_steps(view, visit)
    return [start if event.what in ("lift", "set", "duty") else start + hold for event in events_of(view, index, visit)]


def calls_of(view: Steady, placed: Placed, arm: str, number: Mapping[str, int]) -> tuple[Call, ...]:
    """The visits of one attendant, and whether it carries a part when it goes on."""
    load, calls = held_over(placed.tour, arm), []
    own = [(index, visit) for index, visit in enumerate(placed.tour) if visit.who == arm]
    for place, (index, visit) in enumerate(own):
        before = own[place - 1][1]
        load += {"pick": 1, "place": -1}.get(visit.kind, 0)
        calls.append(
            Call(
                place=view.places[visit.station] or "",
                first=number[name_of(index, visit, first_event(visit))],
                last=number[name_of(index, visit, last_event(view, visit))],
                lead_steps=phase_of(view, visit).arrival_lead_steps,
                turn_steps=turn_between(view, before, visit),
                goes_loaded=load > 0,
                at_once=visit.kind == "place" and view.movers[arm].hands == 1,
            )
        )
    return tuple(calls)


def arcs_beside(view: Steady, rail: Rail, placed: Placed) -> list[Arc]:
    """Every arc of a tour but the ways of the attendants on the rail."""
    arcs = [arc for index, visit in enumerate(placed.tour) for arc in arcs_inside(view, index, visit)]
    for own in stations_of(placed.tour):
        arcs += arcs_at_station(view, placed.tour, own, placed.inside)
    arcs += long_stay_arcs(view, placed.tour, placed.inside)
    for who in dict.fromkeys(visit.who for visit in placed.tour if visit.who not in rail.arms):
        own = [(index, visit) for index, visit in enumerate(placed.tour) if visit.who == who]
        arcs += arcs_between_visits(view, own, held_over(placed.tour, who)) if who else arcs_by_itself(placed.tour)
    return [*arcs, *arcs_at_once(view, rail, placed.tour)]


def arcs_at_once(view: Steady, rail: Rail, tour: Sequence[Stay]) -> Iterator[Arc]:
    """On the rail one hand sets a part down as soon as it can be there where a stay before or behind is limited."""
    for lift, drop, laps in carries_in(tour):
        who, (part, step) = tour[lift].who, tour[lift].lifted
        if who in rail.arms and view.movers[who].hands == 1 and view.goes_at_once(part, step):
            way = way_steps(view, tour[lift], tour[drop], loaded=True)
            leaves, arrives = name_of(lift, tour[lift], "lifted"), name_of(drop, tour[drop], "set")
            why = f"{who} never waits loaded"
            yield Arc(before=arrives, after=leaves, lag_steps=-way, laps=-laps, why=why)


def cycle_with_motions(view: Steady, placed: Placed, asked: Asked, timed: Timed) -> Cycle:
    """The cycle with its motions: all events within the period, all arcs, and a circuit that sets the pace."""
    own = events_in(view, placed.tour)
    ids = [event.id for event in own]
    motions = woven(asked, timed, ids)
    fold = dict(zip(ids, motions.laps, strict=True))
    beside = arcs_beside(view, asked.rail, placed)
    arcs = [replace(arc, laps=arc.laps + fold[arc.after] - fold[arc.before]) for arc in beside] + list(motions.arcs)
    laps = in_whole_loads(view, laps_of_parts(view, placed.tour, fold, placed.inside), arcs)
    events = [  # a duty belongs to no part, so it counts from the period itself
        replace(event, lap=laps.get(event.id, 0), at_steps=at) for event, at in zip(own, motions.at_steps, strict=True)
    ]
    names = [*ids, *(event.id for event in motions.events)]
    least = least_period(len(names), numbered(arcs, names))
    if not least.value:
        raise NotYet("a cycle in which nothing takes any time")
    return Cycle(
        period_steps=timed.period_steps,
        events=(*events, *motions.events),
        arcs=tuple(arcs),
        critical=tuple(names[node] for node in least.circuit),
    )

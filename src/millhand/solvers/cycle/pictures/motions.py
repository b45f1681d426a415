"""When each attendant is on its way over one period of a schedule, from where to where, and with how many parts.

Where the schedule holds motions (arms on a shared track) these are taken; otherwise an attendant leaves for its next
visit as soon as the last one is over.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from millhand.model.schedule import Arc, Event, Schedule
from millhand.solvers.cycle.unrolled import Handled, handled

VISITS = ("pick", "place", "swap")


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """One motion of an attendant, in grid steps; `arrives` may lie past the end of the period. Places by name."""

    who: str
    departs: int
    arrives: int
    start: str
    end: str
    parts: int  # in its hands


def visits_of(schedule: Schedule, who: str) -> list[Handled]:
    """The visits of an attendant in the order of time."""
    visits = [visit for visit in handled(schedule)[0] if visit.who == who and visit.kind in VISITS]
    return sorted(visits, key=lambda visit: (visit.first.at_steps, visit.hold_steps, -visit.first.lap))


def held_at_start(schedule: Schedule, who: str) -> int:
    """Parts in an attendant's hands when the period begins, as the laps of the events say."""
    own = [event for event in schedule.events if event.attendant == who]
    return max(0, sum({"set": event.lap, "lift": -event.lap}.get(event.what, 0) for event in own))


def held_at(visits: Sequence[Handled], at_start: int, time: int) -> int:
    """Parts in hand at a time inside the period."""
    done = [visit.kind for visit in visits if visit.first.at_steps <= time]
    return max(0, at_start + done.count("pick") - done.count("place"))


def motions_of(schedule: Schedule, who: str, *, places: Mapping[str, str | None] | None = None) -> tuple[Motion, ...]:
    """The motions of an attendant in the order of time; `places` says where each station stands, by its own name where
    it is not told."""
    visits = visits_of(schedule, who)
    mine = [event for event in schedule.events if event.attendant == who]
    written = [event for event in mine if event.what == "depart"]
    at_start = held_at_start(schedule, who)
    if any(event.what == "arrive" for event in mine):  # a lone departure is where a plan of lots begins
        made = [written_motion(schedule, event, held_at(visits, at_start, event.at_steps)) for event in written]
    else:
        made = list(between_visits(schedule, visits, at_start, places or {}))
    return tuple(sorted(made, key=lambda each: (each.departs, each.arrives)))


def written_motion(schedule: Schedule, depart: Event, parts: int) -> Motion:
    """A motion that the schedule holds, from its departure to the arrival that its arc names."""
    arrivals = {
        event.id: event for event in schedule.events if event.what == "arrive" and event.attendant == depart.attendant
    }
    ends = [
        (arrivals[arc.after].at_steps + arc.laps * schedule.period_steps, arrivals[arc.after])
        for arc in schedule.arcs
        if arc.before == depart.id and arc.after in arrivals and arc.lag_steps >= 0
    ]
    if not ends:
        period = max(1, schedule.period_steps)
        ends = [(depart.at_steps + (each.at_steps - depart.at_steps) % period, each) for each in arrivals.values()]
    arrives, arrival = min(ends, key=lambda each: (each[0] < depart.at_steps, each[0]))
    return Motion(
        who=depart.attendant or "",
        departs=depart.at_steps,
        arrives=arrives,
        start=depart.place or "",
        end=arrival.place or "",
        parts=parts,
    )


def between_visits(
    schedule: Schedule, visits: Sequence[Handled], at_start: int, places: Mapping[str, str | None]
) -> Iterator[Motion]:
    """The ways between visits, each begun as soon as the attendant may leave."""
    around = schedule.goal == "rate"
    known = {event.id: event for event in schedule.events}
    into: dict[str, list[Arc]] = {}
    for arc in schedule.arcs:
        into.setdefault(arc.after, []).append(arc)
    for visit, following in pairwise([*visits, *(visits[:1] if around else [])]):
        ends = [(known[arc.before], arc) for arc in into.get(following.first.id, ()) if arc.before in known]
        leaves, way = way_between(schedule, visit, ends)
        comes = following.first.at_steps
        if around and comes <= visit.first.at_steps:
            comes += schedule.period_steps
        if visit.station != following.station and comes > leaves and way > 0:
            yield Motion(
                who=visit.who,
                departs=leaves,
                arrives=min(leaves + way, comes),
                start=places.get(visit.station) or visit.station,
                end=places.get(following.station) or following.station,
                parts=held_at(visits, at_start, visit.first.at_steps),
            )


def way_between(schedule: Schedule, visit: Handled, ends: Sequence[tuple[Event, Arc]]) -> tuple[int, int]:
    """When an attendant may leave after a visit, and how long its way to the next is, as the arc between the two says;
    `ends` are all arcs into the next with the events that they come from.

    It may leave at the end of its hold, or when the process is over through which it has to stay.
    """
    over = visit.first.at_steps + visit.hold_steps
    number = visit.first.id.split()[0]
    arcs = [
        (event, arc)
        for event, arc in ends
        if arc.why == visit.who and arc.lag_steps >= 0 and event.station == visit.station
    ]
    own = [each for each in arcs if each[1].before.split()[0] == number] or arcs
    if not own:
        return over, 0
    event, arc = max(own, key=lambda each: each[1].lag_steps)
    leaves = over + (event.at_steps - over) % schedule.period_steps if schedule.period_steps else over
    return leaves, arc.lag_steps

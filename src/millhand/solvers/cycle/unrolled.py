"""A schedule rolled out over several periods: the visits of every attendant in the order of time."""

from dataclasses import dataclass, replace

from millhand.model.schedule import Event, Schedule


@dataclass(frozen=True, slots=True, kw_only=True)
class Handled:
    """One visit within the period: the events it begins and ends with, and what it does ('pick', 'place', 'swap').

    `who` is empty where a part moves by itself.
    An exchange begins with both a lift and a set-down, and ends with both over.
    """

    who: str
    station: str
    kind: str
    first: Event
    last: Event
    hold_steps: int
    sets: Event | None = None
    placed: Event | None = None

    @property
    def leaves(self) -> Event:
        """The event after which the attendant may go, and from which a part set down counts its stay."""
        return self.placed or self.last


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One visit in one period, at its absolute time."""

    visit: Handled
    period: int
    start: int

    @property
    def end(self) -> int:
        """When the hold is over."""
        return self.start + self.visit.hold_steps


def handled(schedule: Schedule) -> tuple[list[Handled], list[str]]:
    """The visits that the events make up, and events that belong to none."""
    picks, lonely = paired(schedule, "lift", "lifted")
    places, alone = paired(schedule, "set", "placed")
    found: list[Handled] = []
    used: set[str] = set()
    for pick in picks:
        mate = next((each for each in places if each.first.id not in used and is_exchange(schedule, pick, each)), None)
        if mate is not None:
            used.add(mate.first.id)
        found.append(pick if mate is None else replace(pick, kind="swap", sets=mate.first, placed=mate.last))
    found += [each for each in places if each.first.id not in used]
    return found, [f"{name} belongs to no visit" for name in (*lonely, *alone)]


def is_exchange(schedule: Schedule, pick: Handled, place: Handled) -> bool:
    """Whether a lift and a set-down are the two sides of one exchange: one attendant, one station, one stretch of time.

    Where the exchange takes no time, the arcs have to tie the two together.
    """
    same = (pick.who, pick.station, pick.first.at_steps) == (place.who, place.station, place.first.at_steps)
    if not same or pick.hold_steps != place.hold_steps:
        return False
    ends = {(arc.before, arc.after) for arc in schedule.arcs} if pick.hold_steps == 0 else set()
    return pick.hold_steps > 0 or {(pick.first.id, place.first.id), (place.first.id, pick.first.id)} <= ends


def paired(schedule: Schedule, begins: str, ends: str) -> tuple[list[Handled], list[str]]:
    """Each beginning with the end of its own visit, by the numbers in the ids; without these, with the next end.

    The next end alone will not do: one visit may end at the very moment at which another one there begins.
    """
    period = max(1, schedule.period_steps)
    free = [event for event in schedule.events if event.what == ends]
    found, lonely = [], []
    for event in (each for each in schedule.events if each.what == begins):
        owner = (event.attendant, event.station, event.part)
        mates = [each for each in free if (each.attendant, each.station, each.part) == owner]
        if not mates:
            lonely.append(event.id)
            continue
        mate = min(
            mates,
            key=lambda each: (each.id.split()[0] != event.id.split()[0], (each.at_steps - event.at_steps) % period),
        )
        free.remove(mate)
        found.append(
            Handled(
                who=event.attendant or "",
                station=event.station,
                kind="pick" if begins == "lift" else "place",
                first=event,
                last=mate,
                hold_steps=(mate.at_steps - event.at_steps) % period,
            )
        )
    return found, lonely + [event.id for event in free]


def turns(schedule: Schedule, visits: list[Handled], periods: int) -> list[Turn]:
    """Every visit of so many periods in the order of time; at equal times as the arcs have them."""
    number = {event.id: index for index, event in enumerate(schedule.events)}
    depth = depths(schedule)
    made = [
        Turn(visit=visit, period=period, start=visit.first.at_steps + period * schedule.period_steps)
        for period in range(periods)
        for visit in visits
    ]
    return sorted(made, key=lambda t: (t.start, t.end, depth[t.visit.first.id], number[t.visit.first.id]))


def depths(schedule: Schedule) -> dict[str, int]:
    """How many visits at the very same time come before each event, one after the other, by the arcs.

    The arc back from a visit's end to its beginning, which keeps a hold to its time, puts no visit before itself.
    """
    what = {event.id: (event.what, event.at_steps) for event in schedule.events}
    onward = [
        (arc.before, arc.after)
        for arc in schedule.arcs
        if arc.laps == 0
        and arc.before.split()[0] != arc.after.split()[0]
        and what[arc.before][1] == what[arc.after][1]
        and (what[arc.before][0] in ("lifted", "placed", "finish") and what[arc.after][0] in ("lift", "set"))
    ]
    inside = [
        (one.id, other.id)
        for one in schedule.events
        for other in schedule.events
        if one.id.split()[0] == other.id.split()[0]
        and (one.what, other.what) in (("lift", "lifted"), ("set", "placed"))
        and one.at_steps == other.at_steps
    ]
    found = dict.fromkeys(what, 0)
    for _ in schedule.events:
        for before, after in (*onward, *inside):
            found[after] = max(found[after], found[before] + ((before, after) not in inside))
    return found

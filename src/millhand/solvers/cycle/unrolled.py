"""A schedule rolled out over several periods: everything that is done, in the order of time."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from millhand.model.schedule import Event, Schedule

PAIRS = (("lift", "lifted", "pick"), ("set", "placed", "place"), ("start", "finish", "work"))
MORE_PAIRS = (("depart", "arrive", "motion"), ("duty", "duty_done", "duty"))
Owner = tuple[str | None, str, str]  # attendant, station, part
Place = tuple[int, int, int, int, int]  # of a turn: start, depth, hold, number of the visit, period


@dataclass(frozen=True, slots=True, kw_only=True)
class Handled:
    """One thing done within the period: the events that it begins and ends with, and what it is.

    A visit of an attendant is a 'pick', a 'place' or a 'swap'; a swap begins with a lift and a set-down together and
    ends with both over. A 'self' is a part that moves by itself from one station to another. The rest is 'work' of a
    station, a 'set_up' of it by somebody, a 'motion' on a shared track, a 'duty', 'home': where somebody begins when
    lots begin, and 'stand': where somebody is all the time who does nothing in a cycle but that one 'arrive'.
    """

    who: str
    station: str
    kind: str
    first: Event
    last: Event
    hold_steps: int
    laps: int = 0  # so many periods after that of its beginning it ends
    sets: Event | None = None
    placed: Event | None = None

    @property
    def leaves(self) -> Event:
        """The event after which the attendant may go, and from which a part set down counts its stay."""
        return self.placed or self.last

    @property
    def begins(self) -> Event:
        """The event with which a part is set down."""
        return self.sets or self.first

    @property
    def target(self) -> str:
        """The station at which a part is set down."""
        return self.begins.station


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One of these in one period, at its absolute time."""

    visit: Handled
    period: int
    start: int

    @property
    def end(self) -> int:
        """When it is over."""
        return self.start + self.visit.hold_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """An event in one of the periods."""

    event: Event
    lap: int


def came_as(event: Event, *, period: int, goal: str) -> int | None:
    """Which of its type a part is: the period in which it came in; of lots its number, where the event's id says it
    (`7 lift bolt 2 m1` is the second bolt)."""
    if goal != "makespan":
        return period - event.lap
    words = event.id.split(" ")[2:4]
    return int(words[1]) if len(words) == 2 and words[1].isdigit() and words[0] == event.part else None


def at(turn: Turn, event: Event) -> At:
    """An event of a turn in its period: that of the turn's start, or a later one where it passes the period's end."""
    return At(event=event, lap=turn.period + later_laps(turn.visit, event))


def later_laps(visit: Handled, event: Event) -> int:
    """By how many periods an event of something done comes after that of its beginning."""
    if event in (visit.last, visit.placed):
        return visit.laps
    return int(event.at_steps < visit.first.at_steps)


def handled(schedule: Schedule) -> tuple[list[Handled], list[str]]:
    """Everything that the events make up, and events that belong to nothing."""
    found: dict[str, list[Handled]] = {}
    lonely: list[str] = []
    for begins, ends, kind in (*PAIRS, *MORE_PAIRS):
        found[kind], alone = paired(schedule, (begins, ends, kind))
        lonely += alone
    known = {what for pair in (*PAIRS, *MORE_PAIRS) for what in pair[:2]}
    lonely += [event.id for event in schedule.events if event.what not in known]
    visits, without = joined(schedule, found["pick"], found["place"])
    whole = [*visits, *found["work"], *found["motion"], *found["duty"]]
    return whole, [f"{name} belongs to no visit" for name in (*lonely, *without)]


def joined(schedule: Schedule, picks: Sequence[Handled], places: Sequence[Handled]) -> tuple[list[Handled], list[str]]:
    """Lifts and set-downs that are one: exchanges, and parts that move by themselves; the others as they are."""
    found: list[Handled] = []
    used: set[str] = set()
    alone: list[str] = []
    for pick in picks:
        kind, test = ("self", is_self) if not pick.who else ("swap", is_exchange)
        mate = next((each for each in places if each.first.id not in used and test(schedule, pick, each)), None)
        if mate is None:
            alone += [] if pick.who else [pick.first.id]
            found.append(pick)
            continue
        used.add(mate.first.id)
        found.append(replace(pick, kind=kind, sets=mate.first, placed=mate.last))
    rest = [each for each in places if each.first.id not in used]
    return found + rest, alone + [each.first.id for each in rest if not each.who]


def is_self(schedule: Schedule, pick: Handled, place: Handled) -> bool:
    """Whether a lift and a set-down that nobody does are one move, by the numbers in their ids or by arcs both ways."""
    if place.who or (pick.first.part, pick.first.at_steps) != (place.first.part, place.first.at_steps):
        return not place.who and number_of(pick.first) == number_of(place.first)
    ties = {(arc.before, arc.after) for arc in schedule.arcs if arc.lag_steps == 0}
    both = (pick.last.id, place.first.id), (place.first.id, pick.last.id)
    return number_of(pick.first) == number_of(place.first) or ties.issuperset(both)


def is_exchange(schedule: Schedule, pick: Handled, place: Handled) -> bool:
    """Whether a lift and a set-down are the two sides of one exchange: one attendant, one station, one stretch of time.

    Where the exchange takes no time, the arcs have to tie the two together.
    """
    same = (pick.who, pick.station, pick.first.at_steps) == (place.who, place.station, place.first.at_steps)
    if not same or pick.hold_steps != place.hold_steps:
        return False
    ends = {(arc.before, arc.after) for arc in schedule.arcs} if pick.hold_steps == 0 else set()
    return pick.hold_steps > 0 or {(pick.first.id, place.first.id), (place.first.id, pick.first.id)} <= ends


def number_of(event: Event) -> str:
    """The number that the events of one visit have in common."""
    return event.id.split()[0]


def paired(schedule: Schedule, names: tuple[str, str, str]) -> tuple[list[Handled], list[str]]:
    """Each beginning with the end of its own, by the numbers in the ids; without these, with the next end.

    The next end alone will not do: one visit may end at the very moment at which another one there begins.
    """
    begins, ends, kind = names
    period = max(1, schedule.period_steps)
    free: dict[Owner, list[Event]] = {}
    for event in schedule.events:
        if event.what == ends:
            free.setdefault(owner_of(event), []).append(event)
    found, lonely = [], []
    for event in (each for each in schedule.events if each.what == begins):
        mates = free.get(owner_of(event), [])
        if not mates and kind == "motion" and schedule.goal == "makespan" and event.at_steps == 0:
            found.append(at_one_place(event, "home"))
            continue
        if not mates or (event.attendant is None and kind in ("motion", "duty")):
            lonely.append(event.id)
            continue
        after = [(number_of(each) != number_of(event), (each.at_steps - event.at_steps) % period) for each in mates]
        mate = mates[after.index(min(after))]
        mates.remove(mate)
        found.append(one_done(schedule, kind, (event, mate)))
    over = {event.id for events in free.values() for event in events}
    left = [event for event in schedule.events if event.id in over]
    if kind == "motion" and schedule.goal != "makespan":
        stood = [event for event in left if stands_there(schedule, event)]
        found += [at_one_place(event, "stand") for event in stood]
        left = [event for event in left if event not in stood]
    return found, lonely + [event.id for event in left]


def owner_of(event: Event) -> Owner:
    """Who does it, where, with which part."""
    return event.attendant, event.station, event.part


def stands_there(schedule: Schedule, arrives: Event) -> bool:
    """Whether an arrival says where somebody stands all the time who does nothing else."""
    who = arrives.attendant
    return who is not None and all(event.attendant != who or event is arrives for event in schedule.events)


def at_one_place(event: Event, kind: str) -> Handled:
    """An attendant at the place where it begins when lots begin, or where it stands all the time."""
    return Handled(who=event.attendant or "", station="", kind=kind, first=event, last=event, hold_steps=0)


def one_done(schedule: Schedule, kind: str, ends: tuple[Event, Event]) -> Handled:
    """What begins and ends with two events."""
    first, last = ends
    laps = laps_between(schedule, kind, ends)
    return Handled(
        who=first.attendant or "",
        station=first.station,
        kind="set_up" if kind == "work" and first.attendant else kind,
        first=first,
        last=last,
        hold_steps=last.at_steps - first.at_steps + laps * schedule.period_steps,
        laps=laps,
    )


def laps_between(schedule: Schedule, kind: str, ends: tuple[Event, Event]) -> int:
    """In how many periods after its beginning something ends.

    Work may go on over several periods, and the laps of its events say how many. Whatever binds an attendant takes one
    period at most: all of it where beginning and end are at one moment, but of different laps or tied by arcs over one.
    """
    first, last = ends
    if schedule.goal == "makespan":
        return 0
    if kind == "work":
        return last.lap - first.lap
    if first.at_steps != last.at_steps:
        return int(last.at_steps < first.at_steps)
    if kind in ("pick", "place"):
        return int(last.lap > first.lap)
    return int(any((arc.before, arc.after, arc.laps) == (last.id, first.id, -1) for arc in schedule.arcs))


def turns(schedule: Schedule, whole: list[Handled], periods: int) -> list[Turn]:
    """Everything done in so many periods in the order of time; at equal times as the arcs have it."""
    depth = depths(schedule, whole)
    made = [
        (each.first.at_steps + period * schedule.period_steps, depth[index], each.hold_steps, index, period)
        for period in range(periods)
        for index, each in enumerate(whole)
    ]
    return [
        Turn(visit=whole[index], period=period, start=start)
        for start, _, _, index, period in as_they_came(whole, sorted(made))
    ]


def as_they_came(whole: list[Handled], made: list[Place]) -> list[Place]:
    """The same order, but works that begin at one moment in the slots of a station follow each other as their parts
    were set down: a work and its set-down have their number in common."""
    came: dict[str, list[Place]] = {}
    alike: dict[tuple[str, int, int], list[Place]] = {}
    for place in made:
        visit = whole[place[3]]
        if visit.kind == "work":
            alike.setdefault((visit.station, place[0], place[1]), []).append(place)
        elif visit.kind in ("place", "swap", "self"):
            came.setdefault(number_of(visit.begins), []).append(place)

    def since(work: Place) -> Place:
        """The set-down of its part."""
        return max((each for each in came.get(number_of(whole[work[3]].first), ()) if each[0] <= work[0]), default=work)

    follows = {
        old: new
        for works in alike.values()
        if len(works) > 1
        for old, new in zip(works, sorted(works, key=since), strict=True)
    }
    return [follows.get(place, place) for place in made]


def depths(schedule: Schedule, whole: list[Handled]) -> list[int]:
    """How many things that begin at the very same time come before each, one after the other, by the arcs.

    An arc without lag onto the beginning of something puts what it comes from first, unless the two are tied together.
    """
    owner, begins = {}, set()
    for index, each in enumerate(whole):
        ends = (each.last, each.placed) if each.hold_steps == 0 else ()  # a whole period's work ends where it begins
        for event in (each.first, each.sets, *ends):
            if event is not None:
                owner[event.id] = index
        begins |= {each.first.id, each.begins.id}
    when = {event.id: event.at_steps for event in schedule.events}
    edges = {
        (owner[arc.before], owner[arc.after])
        for arc in schedule.arcs
        if arc.laps == 0 and arc.lag_steps == 0 and arc.after in begins and arc.before in owner
        if when[arc.before] == when[arc.after] == whole[owner[arc.before]].first.at_steps
    }
    onward = [(one, other) for one, other in edges if one != other and (other, one) not in edges]
    found = [0] * len(whole)
    for _ in whole:
        for one, other in onward:
            found[other] = max(found[other], found[one] + 1)
    return found

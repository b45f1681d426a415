"""Motions on a shared track as events and arcs: who follows whom at what distance in time.

A motion is rigid: its arrival comes the table's time after its departure, no sooner and no later. So the distance of
two attendants is held by arcs between their departures alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.schedule import Arc, Event
from millhand.solvers.cycle.rail import Rail
from millhand.solvers.cycle.rail_motions import neighbours
from millhand.solvers.cycle.rail_tours import Asked, Rest, Timed

Knot = tuple[str, int]  # attendant, number of a rest


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """One attendant's rests without those that follow each other at one place; `calls` are the visits of each, with how many
    laps later than in the tour they are."""

    arm: str
    rests: tuple[Rest, ...]
    calls: tuple[tuple[tuple[int, int], ...], ...]

    def way(self, number: int) -> tuple[str, str]:
        """The motion that leaves a rest."""
        return self.rests[number].place, self.rests[(number + 1) % len(self.rests)].place

    def before(self, number: int) -> tuple[int, int]:
        """The rest before one, and in which lap it is: -1 before the first."""
        return (number - 1, 0) if number else (len(self.rests) - 1, -1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An arc before events have names; departs are named by their rest, other events by number."""

    before: Knot | int
    after: Knot | int
    lag_steps: int
    laps: int
    why: str
    arrives: tuple[bool, bool] = (False, False)  # whether before and after are the arrival at the rest


def loop_of(arm: str, rests: Sequence[Rest], period: int) -> Loop:
    """Rests in a row at one place are one rest with several visits."""
    merged: list[Rest] = []
    calls: list[tuple[tuple[int, int], ...]] = []
    for rest in rests:
        own = () if rest.call is None else ((rest.call, 0),)
        if merged and merged[-1].place == rest.place:
            merged[-1] = replace(merged[-1], depart=rest.depart, goes_steps=rest.goes_steps)
            calls[-1] += own
        else:
            merged.append(rest)
            calls.append(own)
    if len(merged) > 1 and merged[0].place == merged[-1].place:
        first, last = merged.pop(0), merged.pop()
        depart = first.depart + period
        merged.append(replace(last, depart=depart, goes_steps=first.goes_steps))
        calls = [*calls[1:-1], calls[-1] + tuple((call, shift + 1) for call, shift in calls[0])]
    return Loop(arm=arm, rests=tuple(merged), calls=tuple(calls))


def distance_lines(rail: Rail, loops: Mapping[str, Loop], period: int) -> Iterator[Line]:
    """The arcs that keep neighbours apart."""
    for arm in rail.arms:
        for other in neighbours(rail, arm):
            one, two = loops[arm], loops[other]
            if len(one.rests) < 2 or len(two.rests) < 2:
                continue
            for i, rest in enumerate(one.rests):
                for j, after in enumerate(two.rests):
                    if rail.near((arm, rest.place), (other, after.place)):
                        lap = -((after.arrive - rest.depart) // period)
                        yield from one_after(rail, (one, i), (two, j), lap)


def one_after(rail: Rail, first: tuple[Loop, int], second: tuple[Loop, int], lap: int) -> Iterator[Line]:
    """A rest of the one and then, `lap` laps on, one of the other, too near each other to be held at once."""
    (one, i), (two, j) = first, second
    spot, goal = (one.arm, one.rests[i].place), (two.arm, two.rests[j].place)
    leaving, gone = i, 0
    while rail.near((one.arm, one.way(leaving)[1]), goal):
        leaving = (leaving + 1) % len(one.rests)
        gone += leaving == 0
    into, entered = two.before(j)
    clear = rail.leaves(one.arm, one.way(leaving), one.rests[leaving].goes_steps, goal)
    lag = clear - two.rests[into].goes_steps
    yield Line(before=(one.arm, leaving), after=(two.arm, into), lag_steps=lag, laps=lap + entered - gone, why="")
    while rail.near((two.arm, two.rests[into].place), spot):
        into, back = two.before(into)
        entered += back
    lag = -rail.enters(two.arm, two.way(into), two.rests[into].goes_steps, spot)
    yield Line(before=(one.arm, i), after=(two.arm, into), lag_steps=lag, laps=lap + entered, why="")


def strongest(lines: Iterator[Line]) -> list[Line]:
    """Of arcs between the same events over as many laps only the longest."""
    best: dict[tuple[Knot | int, Knot | int, int], Line] = {}
    for line in lines:
        key = line.before, line.after, line.laps
        if key not in best or best[key].lag_steps < line.lag_steps:
            best[key] = line
    return list(best.values())


def own_lines(asked: Asked, loop: Loop) -> Iterator[Line]:
    """The arcs of one attendant: each motion takes its time, and it is there before and during its visits."""
    arm, moves = loop.arm, len(loop.rests) > 1
    for number, calls in enumerate(loop.calls):
        knot, (into, lap) = (arm, number), loop.before(number)
        if moves:
            steps = loop.rests[into].goes_steps
            yield Line(before=(arm, into), after=knot, lag_steps=steps, laps=-lap, why=arm, arrives=(False, True))
            yield Line(before=knot, after=(arm, into), lag_steps=-steps, laps=lap, why=arm, arrives=(True, False))
        if moves and not calls:
            yield Line(before=knot, after=knot, lag_steps=0, laps=0, why=arm, arrives=(True, False))
        yield from visit_lines(asked, loop, number)


def visit_lines(asked: Asked, loop: Loop, number: int) -> Iterator[Line]:
    """Arrival, one visit after the other, departure; one that never moves goes on with its first visit."""
    tour, knot, arm, calls = asked.tours[loop.arm], (loop.arm, number), loop.arm, loop.calls[number]
    if not calls:
        return
    moves = len(loop.rests) > 1
    for call, shift in calls if moves else ():
        first, last = asked.laps(tour[call])
        lead, event = tour[call].lead_steps, tour[call]
        yield Line(before=knot, after=event.first, lag_steps=lead, laps=shift - first, why=arm, arrives=(True, False))
        yield Line(before=event.last, after=knot, lag_steps=0, laps=last - shift, why=arm)
    following = calls[1:] if moves else (*calls[1:], (calls[0][0], calls[0][1] + 1))
    for (one, before), (other, after) in zip(calls, following, strict=False):
        laps = asked.laps(tour[one])[1] - before + after - asked.laps(tour[other])[0]
        yield Line(before=tour[one].last, after=tour[other].first, lag_steps=0, laps=laps, why=arm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Woven:
    """The motions and all their arcs, for a schedule whose other events lie within the period, too.

    `laps` says for each event asked about how many periods were taken off its time to bring it there: its own lap
    grows by so much, and so the laps of arcs between such events: `laps + laps[after] - laps[before]`.
    """

    events: tuple[Event, ...]
    arcs: tuple[Arc, ...]
    at_steps: tuple[int, ...]
    laps: tuple[int, ...]


def woven(asked: Asked, timed: Timed, ids: Sequence[str], track: str) -> Woven:
    """The motions that were found as events, with the arcs of the attendants on the track between all events."""
    period = timed.period_steps
    loops = {arm: loop_of(arm, rests, period) for arm, rests in timed.rests.items()}
    events: list[Event] = []
    names: dict[tuple[Knot | int, bool], tuple[str, int]] = {
        (number, False): (name, timed.times[number] // period) for number, name in enumerate(ids)
    }
    for loop in loops.values():
        for number, rest in enumerate(loop.rests):
            for arrives, time in ((True, rest.arrive), (False, rest.depart)) if len(loop.rests) > 1 else ():
                event = motion_event((loop.arm, number), rest.place, arrives, time % period)
                events.append(event)
                names[(loop.arm, number), arrives] = event.id, time // period
        events += parked(asked.rail, loop)
    lines = [line for loop in loops.values() for line in own_lines(asked, loop)]
    apart = strongest(distance_lines(asked.rail, loops, period))
    return Woven(
        events=tuple(sorted(events, key=lambda event: event.at_steps)),
        arcs=tuple(arc_of(line, names, track) for line in (*lines, *apart)),
        at_steps=tuple(time % period for time in timed.times),
        laps=tuple(time // period for time in timed.times),
    )


def motion_event(knot: Knot, place: str, arrives: bool, at_steps: int) -> Event:
    """One end of a motion."""
    what = "arrive" if arrives else "depart"
    return Event(
        id=f"{knot[0]} {what} {knot[1]}", attendant=knot[0], station="", what=what, part="", lap=0,
        at_steps=at_steps, place=place,
    )  # fmt: skip


def parked(rail: Rail, loop: Loop) -> list[Event]:
    """One that has nothing to do and does not stay at home came to its place before the cycle began."""
    idle = len(loop.rests) == 1 and not loop.calls[0] and loop.rests[0].place != rail.homes[loop.arm]
    return [motion_event((loop.arm, 0), loop.rests[0].place, True, 0)] if idle else []


def arc_of(line: Line, names: Mapping[tuple[Knot | int, bool], tuple[str, int]], track: str) -> Arc:
    """An arc between named events whose times lie within the period."""
    before, earlier = names[line.before, line.arrives[0]]
    after, later = names[line.after, line.arrives[1]]
    return Arc(
        before=before, after=after, lag_steps=line.lag_steps, laps=line.laps + later - earlier,
        why=line.why or f"track {track}",
    )  # fmt: skip

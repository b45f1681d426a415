"""Attendants on one track: their order and distance at every moment, and that the arcs alone keep them.

The time of each attendant is cut into stretches: motions at even speed, and rests between them. Two stretches of two
attendants that would bring them too near have to lie apart: one before the other by so much, or the other before the
one. A schedule has to have chosen one of the two in time, and its arcs have to demand it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import product
from math import ceil

from millhand.errors import NotYet
from millhand.model.cell import Cell, Track
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.checking.clearance import Clear, Stretch, apart
from millhand.solvers.cycle.checking.play import Play
from millhand.solvers.cycle.checking.waits import Waits
from millhand.solvers.cycle.unrolled import At, Handled, turns

PERIODS = 2  # so many periods before and after it a stretch can meet another one


def on_tracks(cell: Cell, whole: Sequence[Handled]) -> frozenset[str]:
    """The attendants whose motions are events: those that share a track with another one, if one of them is at work."""
    working = {each.who for each in whole if each.who}
    shared = [
        track.attendants
        for track in cell.tracks.values()
        if len(track.attendants) > 1 and working.intersection(track.attendants)
    ]
    moving = {each.who for each in whole if each.kind == "motion"}
    return frozenset(moving.union(*shared))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two attendants of one track in their order along it, and how far apart they have to be."""

    low: str
    high: str
    keep: Fraction
    by_order: bool


def track_violations(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[str]:
    """Where two attendants of one track come too near, or might by the arcs alone."""
    in_turn = [turn.visit for turn in turns(schedule, whole, 1)]
    for track in play.cell.tracks.values():
        if not play.on_track.intersection(track.attendants) or len(track.attendants) < 2:
            continue
        runs = {who: stretches(play, schedule, (who, in_turn)) for who in track.attendants}
        for pair in pairs(track):
            for low in runs[pair.low]:
                for high in runs[pair.high]:
                    yield from near(play.waits, schedule, pair, (low, high))


def pairs(track: Track) -> Iterator[Pair]:
    """Every two attendants of a track; those with others between them keep the distance of all of them."""
    for index, low in enumerate(track.attendants):
        for further, high in enumerate(track.attendants[index + 1 :], 1):
            keep = metres(track.keep_m) * further
            yield Pair(low=low, high=high, keep=keep, by_order=track.rule == "order")


def metres(value: float) -> Fraction:
    """A length as it is written."""
    return Fraction(Decimal(repr(value)))


def position(cell: Cell, place: str | None, who: str) -> Fraction:
    """Where a place lies on the track."""
    found = None if place is None else cell.places[place].track_m
    if found is None:
        raise NotYet(f"a check of {who} on a track at a place that does not lie on it", where="/tracks")
    return metres(found)


def stretches(play: Play, schedule: Schedule, of: tuple[str, list[Handled]]) -> list[Stretch]:
    """The motions and rests of one attendant, all round the period, or from the start to the end of all lots; what is
    done in the order of time, at one moment as the arcs have it."""
    who, whole = of
    own = [each for each in whole if each.who == who and each.kind == "motion"]
    if not own:
        return [rest(play, who, (standing(play, whole, who), None, None))]
    ends = schedule.goal == "makespan"
    found = []
    if ends:
        found.append(rest(play, who, (own[0].first.place, None, At(event=own[0].first, lap=0))))
    for index, each in enumerate(own):
        arrives = At(event=each.last, lap=each.laps)
        found.append(
            Stretch(
                who=who,
                words=f"{who} on its way from {each.first.place} to {each.last.place}",
                start=At(event=each.first, lap=0),
                end=arrives,
                takes=each.hold_steps,
                leaves_m=position(play.cell, each.first.place, who),
                comes_m=position(play.cell, each.last.place, who),
            )
        )
        last = index == len(own) - 1
        following = At(event=own[(index + 1) % len(own)].first, lap=int(last))
        found.append(rest(play, who, (each.last.place, arrives, None if last and ends else following)))
    return found


def standing(play: Play, whole: list[Handled], who: str) -> str | None:
    """Where somebody is who never moves: at its stations, where the schedule says that it stands, or at home."""
    visited = [play.rules.place(each, leaving=False) for each in whole if each.who == who]
    return visited[0] if visited else play.cell.attendants[who].home


def rest(play: Play, who: str, at: tuple[str | None, At | None, At | None]) -> Stretch:
    """A rest at a place from one event to another; without an event it has no beginning or no end."""
    place, start, end = at
    here = position(play.cell, place, who)
    words = f"{who} standing at {place}"
    return Stretch(who=who, words=words, start=start, end=end, takes=None, leaves_m=here, comes_m=here)


def near(waits: Waits, schedule: Schedule, pair: Pair, two: tuple[Stretch, Stretch]) -> Iterator[str]:
    """Where two stretches, in this period or another, bring two attendants too near, in time or by the arcs."""
    low, high = two
    clear = apart(low, high, keep=pair.keep, by_order=pair.by_order)
    if clear is None:
        return
    laps = [0] if schedule.goal == "makespan" else list(range(-PERIODS, PERIODS + 1))
    kept = {lap: [wait for wait in clear if holds(waits, wait, lap)] for lap in laps}
    if not all(kept.values()):
        yield f"{low.words} and {high.words} come too near to each other"
        return
    first = min((lap for lap in laps if clear[0] in kept[lap]), default=laps[-1])
    for lap in (lap for lap in (first - 1, first) if lap in kept):
        asked = [wait for wait in kept[lap] if wait is not None and demanded(waits, wait, lap)]
        if not asked:
            yield f"no arcs keep {low.words} from {high.words}"


def turns_at_one_moment(play: Play, schedule: Schedule, whole: list[Handled]) -> Iterator[tuple[tuple[str, str], ...]]:
    """Where only a moment lies between two stretches that would be too near: of which two events one comes before the
    other, or of which other two. Nothing where time lies between them."""
    in_turn = [turn.visit for turn in turns(schedule, whole, 1)]
    for track in play.cell.tracks.values():
        if not play.on_track.intersection(track.attendants) or track.rule != "order":
            continue
        runs = {who: stretches(play, schedule, (who, in_turn)) for who in track.attendants}
        for pair in pairs(track):
            for two in product(runs[pair.low], runs[pair.high]):
                clear = apart(*two, keep=pair.keep, by_order=True)
                asked = [wait for wait in clear or () if wait is not None and demanded(play.waits, wait, 0)]
                if asked and all(slack(play.waits, wait) == 0 for wait in asked):
                    yield tuple(at_one_moment(wait, two) for wait in asked)


def slack(waits: Waits, wait: Clear) -> Fraction:
    """How much later than it has to the second event of a wait comes."""
    return waits.time(wait.after.event.id, 0) - waits.time(wait.before.event.id, 0) - wait.lag


def at_one_moment(wait: Clear, two: tuple[Stretch, Stretch]) -> tuple[str, str]:
    """Both events of a wait that is just kept, those of one moment: where it counts from the departure of a motion,
    which is over then, its arrival."""
    ends = {
        each.start.event.id: each.end.event.id for each in two if each.takes is not None and each.start and each.end
    }
    before, after = wait.before.event.id, wait.after.event.id
    if wait.lag > 0:
        return ends.get(before, before), after
    return before, ends.get(after, after) if wait.lag < 0 else after


def holds(waits: Waits, wait: Clear | None, lap: int) -> bool:
    """Whether a wait is kept in time, the higher attendant so many periods later."""
    if wait is None:
        return False
    one, other = shifted(wait, lap)
    return waits.time(*other) - waits.time(*one) >= wait.lag


def demanded(waits: Waits, wait: Clear, lap: int) -> bool:
    """Whether the arcs demand it."""
    one, other = shifted(wait, lap)
    return waits.implied(one[0], other[0], lag=ceil(wait.lag), laps=other[1] - one[1])


def shifted(wait: Clear, lap: int) -> tuple[tuple[str, int], tuple[str, int]]:
    """The two events of a wait, that of the higher attendant so many periods later."""
    one, other = wait.before, wait.after
    if wait.high_first:
        return (one.event.id, one.lap + lap), (other.event.id, other.lap)
    return (one.event.id, one.lap), (other.event.id, other.lap + lap)

"""The arcs of attendants on a shared track: each does its visits and motions in order, and all keep apart.

A motion is rigid: its arrival comes the table's time after its departure, no sooner and no later. So the distance of
two attendants is held by arcs between their departures alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_tours import Asked, Loop, Rest, Spell


@dataclass(frozen=True, slots=True, kw_only=True)
class Knot:
    """A departure from a rest, or an arrival there."""

    arm: str
    rest: int
    arrives: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An arc between events of visits, by number, and ends of motions; `track` where it keeps two apart."""

    before: Knot | int
    after: Knot | int
    lag_steps: int
    laps: int
    arm: str = ""

    @property
    def track(self) -> bool:
        """Whether the arc keeps two attendants apart."""
        return not self.arm


def loop_of(arm: str, rests: Sequence[Rest], period: int) -> Loop:
    """Rests in a row at one place are one rest with several visits."""
    merged: list[Rest] = []
    for rest in rests:
        if merged and merged[-1].place == rest.place:
            merged[-1] = joined(merged[-1], rest, 0)
        else:
            merged.append(rest)
    if len(merged) > 1 and merged[0].place == merged[-1].place:
        first = merged.pop(0)
        merged[-1] = joined(merged[-1], first, period)
    return Loop(arm=arm, rests=tuple(merged))


def joined(one: Rest, other: Rest, later: int) -> Rest:
    """Two rests in a row as one; the other may be that of the next period."""
    calls = tuple((call, shift + bool(later)) for call, shift in other.calls)
    return replace(one, depart=other.depart + later, goes_steps=other.goes_steps, calls=one.calls + calls)


def lines_of(asked: Asked, loops: Mapping[str, Loop], period: int) -> list[Line]:
    """All arcs of the attendants on the track; rests that are too near follow each other as they do at these times."""
    own = [line for loop in loops.values() for line in own_lines(asked, loop)]
    return own + strongest(distance_lines(asked, loops, period))


def distance_lines(asked: Asked, loops: Mapping[str, Loop], period: int) -> Iterator[Line]:
    """The arcs that keep attendants apart: of two rests that are too near, each follows the other in every lap."""
    rail, at = asked.rail, replace(asked, period_steps=period)
    for arm, other in combinations(rail.arms, 2):
        one, two = loops[arm], loops[other]
        for i, rest in enumerate(one.rests if one.moves and two.moves else ()):
            for j, after in enumerate(two.rests):
                if rail.near((arm, rest.place), (other, after.place)):
                    lap = at.lap_between(spell_of(asked, arm, rest), spell_of(asked, other, after))
                    yield from one_after(rail, (one, i), (two, j), lap)
                    yield from one_after(rail, (two, j), (one, i), 1 - lap)


def spell_of(asked: Asked, arm: str, rest: Rest) -> Spell:
    """A rest as a stretch of time, with its first visit."""
    call = asked.tours[arm][rest.calls[0][0]] if rest.calls else None
    return Spell(begins=rest.arrive, ends=rest.depart, call=call)


def one_after(rail: Rail, first: tuple[Loop, int], second: tuple[Loop, int], lap: int) -> Iterator[Line]:
    """A rest of the one and then, `lap` laps on, one of the other, too near each other to be held at once."""
    (one, i), (two, j) = first, second
    spot, goal = (one.arm, one.rests[i].place), (two.arm, two.rests[j].place)
    leaving, gone, into, entered = i, 0, *two.before(j)
    for _ in one.rests:
        if not rail.near((one.arm, one.way(leaving)[1]), goal):
            clear = rail.leaves(one.arm, one.way(leaving), one.rests[leaving].goes_steps, goal)
            yield follows((one, leaving), (two, into), clear - two.rests[into].goes_steps, lap + entered - gone)
            break
        leaving = (leaving + 1) % len(one.rests)
        gone += leaving == 0
    for _ in two.rests:
        if not rail.near((two.arm, two.rests[into].place), spot):
            lag = -rail.enters(two.arm, two.way(into), two.rests[into].goes_steps, spot)
            yield follows((one, i), (two, into), lag, lap + entered)
            break
        into, back = two.before(into)
        entered += back


def follows(first: tuple[Loop, int], second: tuple[Loop, int], lag: int, laps: int) -> Line:
    """An arc from a departure of the one to a departure of the other."""
    before, after = (Knot(arm=loop.arm, rest=number) for loop, number in (first, second))
    return Line(before=before, after=after, lag_steps=lag, laps=laps)


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
    arm = loop.arm
    for number, rest in enumerate(loop.rests):
        comes, goes = Knot(arm=arm, rest=number, arrives=True), Knot(arm=arm, rest=number)
        if loop.moves:
            into, lap = loop.before(number)
            before, steps = Knot(arm=arm, rest=into), loop.rests[into].goes_steps
            yield Line(before=before, after=comes, lag_steps=steps, laps=-lap, arm=arm)
            yield Line(before=comes, after=before, lag_steps=-steps, laps=lap, arm=arm)
        if loop.moves and not rest.calls:
            yield Line(before=comes, after=goes, lag_steps=0, laps=0, arm=arm)
        if rest.calls:
            yield from visit_lines(asked, loop, number)


def visit_lines(asked: Asked, loop: Loop, number: int) -> Iterator[Line]:
    """Arrival, one visit after the other, departure; one that never moves goes on with its first visit."""
    arm, calls, tour = loop.arm, loop.rests[number].calls, asked.tours[loop.arm]
    comes, goes = Knot(arm=arm, rest=number, arrives=True), Knot(arm=arm, rest=number)
    following = calls[1:] if loop.moves else (*calls[1:], (calls[0][0], calls[0][1] + 1))
    for index, shift in calls if loop.moves else ():
        call, (first, last) = tour[index], asked.laps(tour[index])
        yield Line(before=comes, after=call.first, lag_steps=call.lead_steps, laps=shift - first, arm=arm)
        if call.at_once and (index, shift) == calls[0]:
            yield Line(before=call.first, after=comes, lag_steps=-call.lead_steps, laps=first - shift, arm=arm)
        yield Line(before=call.last, after=goes, lag_steps=0, laps=last - shift, arm=arm)
    for (one, before), (other, after) in zip(calls, following, strict=False):
        laps = asked.laps(tour[one])[1] - before + after - asked.laps(tour[other])[0]
        wait = tour[other].lead_steps + tour[other].turn_steps
        yield Line(before=tour[one].last, after=tour[other].first, lag_steps=wait, laps=laps, arm=arm)
        if tour[other].at_once and tour[one].goes_loaded:
            yield Line(before=tour[other].first, after=tour[one].last, lag_steps=-wait, laps=-laps, arm=arm)

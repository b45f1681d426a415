"""How long a station stands empty at least between two parts, where one attendant with one hand serves it alone.

Whoever has just lifted the old part has to bring it away and to fetch the new one before it can set that down.
"""

from collections.abc import Iterable, Iterator, Sequence

from millhand.solvers.cycle.lots.makespan_lots import FAR, Lots, Way, least_ways
from millhand.solvers.cycle.view import Mover

Kind = tuple[int, int]  # one part of its type, step


def gaps_before(lots: Lots, group: frozenset[str], visits: Sequence[tuple[int, int]]) -> list[int]:
    """For each visit to one of these stations the least time since the part before was lifted out; in rising order."""
    if any(lots.batch(name) > 1 for name in group) or not served_alone(lots, group):
        return [0] * len(visits)
    olds = {
        (piece.part, step): (j, step)
        for j, piece in enumerate(lots.pieces)
        for step in range(1, len(lots.route(j)) - 1)
        if group.intersection(lots.route(j)[step].stations)
    }
    least: dict[tuple[str, int], int] = {}
    for new in visits:
        key = (lots.pieces[new[0]].part, new[1])
        if key not in least:
            least[key] = min(gap(lots, group, (old, new)) for old in olds.values())
    return sorted(least[lots.pieces[j].part, step] for j, step in visits)


def served_alone(lots: Lots, group: frozenset[str]) -> bool:
    """Whether the same attendant with one hand brings every part to these stations and takes every part out."""
    found = {way.who for ways in lots.ways.values() for way in ways if {way.start, way.goal} & group}
    return len(found) == 1 and all(who is not None and lots.view.movers[who].hands == 1 for who in found)


def gap(lots: Lots, group: frozenset[str], pair: tuple[Kind, Kind]) -> int:
    """From the end of the lift of one part to the beginning of the set-down of another, at the same station; or of the
    same part again, where its next step is there too."""
    (old, step), (new, into) = pair
    gaps = [
        empty_steps(lots, (out, old), (come, new))
        for name in group
        for out in ways_at(lots.ways_of((old, step)), start=name)
        for come in ways_at(lots.ways_of((new, into - 1)), goal=name)
    ]
    if lots.pieces[old].part == lots.pieces[new].part and into == step + 1:
        again = (way for name in group for way in ways_at(lots.ways_of((old, step)), start=name, goal=name))
        gaps += [carried_steps(lots, way, old) for way in again]
    return min(gaps, default=0)


def ways_at(ways: Iterable[Way], *, start: str = "", goal: str = "") -> Iterator[Way]:
    """The ways that start or end at a station."""
    return (way for way in ways if start in ("", way.start) and goal in ("", way.goal))


def empty_steps(lots: Lots, away: tuple[Way, int], comes: tuple[Way, int]) -> int:
    """One part carried away, the empty way, another fetched."""
    (out, old), (come, new) = away, comes
    away_steps = carried_steps(lots, out, old) + held_steps(lots, out, old, "place")
    return away_steps + fetch_steps(lots, out.goal, (come, new))


def fetch_steps(lots: Lots, here: str, comes: tuple[Way, int]) -> int:
    """From one station to where a part is, its lift, and the way with it."""
    way, j = comes
    empty = go_steps(lots, way.who, (lots.view.places[here], lots.view.places[way.start]))
    lead = lots.phase(way.who, way.start, j, "pick").arrival_lead_steps
    return empty + lead + held_steps(lots, way, j, "pick") + carried_steps(lots, way, j)


def go_steps(lots: Lots, who: str | None, ends: tuple[str | None, str | None]) -> int:
    """The least time in which somebody gets from one place to another with empty hands at both: straight, over other
    places, or by bringing parts from place to place on the way, which may be quicker where the tables have it so."""
    mover = None if who is None else lots.view.movers[who]
    if mover is None:
        return 0
    start, end = (mover.rows.get(place or "") for place in ends)
    if start is None or end is None:
        return 0
    rides = mover.loaded_steps if mover.hands > 1 else rides_of(lots, mover)
    least = least_ways(mover.empty_steps, rides)[start][end]
    return least if least < FAR else 0


def rides_of(lots: Lots, mover: Mover) -> tuple[tuple[int | None, ...], ...]:
    """The least time in which one hand brings any part from place to place, with its lift and its set-down."""
    table: list[list[int | None]] = [[None] * len(mover.empty_steps) for _ in mover.empty_steps]
    of_type = {piece.part: j for j, piece in enumerate(lots.pieces)}
    for (part, _), ways in lots.ways.items():
        for way in ways if part in of_type else ():
            start, goal = lots.view.places[way.start], lots.view.places[way.goal]
            row, column = mover.rows.get(start or ""), mover.rows.get(goal or "")
            if way.who != mover.id or row is None or column is None:
                continue
            j = of_type[part]
            takes = held_steps(lots, way, j, "pick") + carried_steps(lots, way, j) + held_steps(lots, way, j, "place")
            known = table[row][column]
            table[row][column] = takes if known is None else min(known, takes)
    return tuple(map(tuple, table))


def carried_steps(lots: Lots, way: Way, j: int) -> int:
    """The loaded way and the lead that begins on arrival."""
    return lots.carry_steps(way) + lots.phase(way.who, way.goal, j, "place").arrival_lead_steps


def held_steps(lots: Lots, way: Way, j: int, kind: str) -> int:
    """How long a lift or a set-down takes."""
    return lots.phase(way.who, way.start if kind == "pick" else way.goal, j, kind).hold_steps

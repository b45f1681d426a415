"""The exact times of motions whose order is known: the least period of their event graph."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from math import ceil

from millhand.solvers.cycle.rails.rail_lines import Knot, Line, lines_of, loop_of
from millhand.solvers.cycle.rails.rail_tours import Asked, Loop, Rest, Timed
from millhand.solvers.cycle.tours.graph import Lag, comes_before_itself, least_period, longest_times


def retimed(asked: Asked, loops: Mapping[str, Loop], period: int) -> Timed | None:
    """The same rests in the same order at their least period, not below the floor; None where there is none.

    `period` is that of the times in the loops, from which the order is read.
    """
    if stands_in_the_way(asked, loops):
        return None
    numbers = numbered_knots(asked, loops)
    lines = tuple(lines_of(asked, loops, period))
    arcs = [*asked.arcs, *(lag_of(line, numbers) for line in lines)]
    count = len(asked.times) + len(numbers)
    least = least_period(count, arcs, floor=Fraction(asked.floor_steps)).value
    if least is None:
        return None
    times, circuit = longest_times(count, arcs, Fraction(ceil(least)))
    if circuit:
        return None  # possible at a part of a step only
    jumps = any(loop.moves and rest.goes_steps == 0 for loop in loops.values() for rest in loop.rests)
    if jumps and comes_before_itself(arcs, times, ceil(least)):
        return None
    return Timed(
        period_steps=ceil(least),
        times=tuple(times[: len(asked.times)]),
        loops={arm: at_times(loop, numbers, times) for arm, loop in loops.items()},
        lines=lines,
    )


def numbered_knots(asked: Asked, loops: Mapping[str, Loop]) -> dict[Knot, int]:
    """The ends of all motions, numbered on from the events of the visits."""
    knots = [
        Knot(arm=arm, rest=number, arrives=arrives)
        for arm, loop in loops.items()
        for number in range(len(loop.rests) if loop.moves else 0)
        for arrives in (True, False)
    ]
    return {knot: len(asked.times) + index for index, knot in enumerate(knots)}


def lag_of(line: Line, numbers: Mapping[Knot, int]) -> Lag:
    """An arc between numbers."""
    before, after = (each if isinstance(each, int) else numbers[each] for each in (line.before, line.after))
    return before, after, line.lag_steps, line.laps


def at_times(loop: Loop, numbers: Mapping[Knot, int], times: list[int]) -> Loop:
    """A loop with new times; one that never moves has none."""
    if not loop.moves:
        return loop
    rests = tuple(
        replace(
            rest,
            arrive=times[numbers[Knot(arm=loop.arm, rest=number, arrives=True)]],
            depart=times[numbers[Knot(arm=loop.arm, rest=number)]],
        )
        for number, rest in enumerate(loop.rests)
    )
    return Loop(arm=loop.arm, rests=rests)


def straight(asked: Asked) -> Timed | None:
    """Every attendant goes straight from visit to visit, in the order of the times that are known.

    None where there is no way, or somebody with nothing to do has no place where it is in nobody's way.
    """
    loops: dict[str, Loop] = {}
    for arm, tour in asked.tours.items():
        rests = straight_rests(asked, arm) if tour else parked_rests(asked, arm)
        if rests is None:
            return None
        loops[arm] = loop_of(arm, rests, asked.period_steps)
    return retimed(asked, loops, asked.period_steps)


def straight_rests(asked: Asked, arm: str) -> list[Rest] | None:
    """One rest for each visit."""
    tour, rests = asked.tours[arm], []
    for number, call in enumerate(tour):
        way = call.place, tour[(number + 1) % len(tour)].place
        steps = 0 if way[0] == way[1] else asked.rail.steps(arm, way, call.goes_loaded)
        if steps is None:
            return None
        arrive, depart = asked.spell(call)
        rests.append(Rest(place=way[0], arrive=arrive, depart=depart, goes_steps=steps, calls=((number, 0),)))
    return rests


def parked_rests(asked: Asked, arm: str) -> list[Rest] | None:
    """Where one with nothing to do stands: at home, or else at the nearest place where it is in nobody's way."""
    rail = asked.rail
    home = rail.at_m.get(rail.homes[arm], 0)
    busy = [(other, call.place) for other in rail.others(arm) for call in asked.tours[other]]
    free = [place for place in rail.places(arm) if not any(rail.near((arm, place), spot) for spot in busy)]
    if not free:
        return None
    place = min(free, key=lambda place: (place != rail.homes[arm], abs(rail.at_m[place] - home)))
    return [Rest(place=place, arrive=0, depart=0, goes_steps=0)]


def stands_in_the_way(asked: Asked, loops: Mapping[str, Loop]) -> bool:
    """Whether somebody comes to a place too near all rests of another one."""
    return any(
        all(asked.rail.near((arm, rest.place), (other, each.place)) for each in loops[other].rests)
        for arm, loop in loops.items()
        for other in asked.rail.others(arm)
        for rest in loop.rests
    )

"""The motions of known tours on a shared track at the shortest period that is found."""

from dataclasses import replace
from math import ceil

from millhand.solvers.cycle.rails.rail_lines import loop_of
from millhand.solvers.cycle.rails.rail_motions import Allowance, At, with_rests
from millhand.solvers.cycle.rails.rail_times import retimed, straight
from millhand.solvers.cycle.rails.rail_tours import Asked, Loop, Rest, Timed

TRIES = ((1.0, 1), (1.0, 2), (1.02, 1), (1.06, 1), (1.2, 1), (1.2, 2))  # period, times the least; rests between visits
JUST_BELOW = 0.25  # of the solver's own units of work: with so little to win it is a matter of order, quickly found
FEW = 10  # visits up to which more than one rest between two visits is tried


def motions(asked: Asked, allowance: Allowance, *, below: int | None = None) -> Timed | None:
    """Straight ways where they reach the period of the visits, otherwise with rests aside, no more than are of use.

    None where nothing was found at a period `below` that given. The period of the best visits cannot be bettered; any
    other one may not be the shortest: motions are looked for at a few periods, and their graph gives the least one.
    """
    best = straight(asked)
    if best is not None and below is not None and best.period_steps >= below:
        best = None
    most = best.period_steps if best else below
    for period, rests, few in tries(asked, most, thorough=allowance.thorough):
        if allowance.spent:
            break
        work = allowance.each if most is None or period < most - 1 else JUST_BELOW
        loops = with_rests(asked, allowance, At(period=period, rests=rests, few_places=few), most=work)
        timed = retimed(asked, loops, period) if loops is not None else None
        if timed is not None and (most is None or timed.period_steps < most):
            return trimmed(asked, timed)
    return best


def tries(asked: Asked, most: int | None, *, thorough: bool = True) -> list[tuple[int, int, bool]]:
    """Periods, rests between two visits and whether at few places only, tried in turn; of periods not below `most` the
    one just below it, from whose order of rests a shorter one may come.

    With many visits first at few places: it takes a tenth of the time, and mostly there is nothing to be won by others.
    """
    few = sum(len(tour) for tour in asked.tours.values()) <= FEW
    least = max(asked.floor_steps, asked.period_steps)
    found = []
    for few_places in (False,) if few else (True, False) if thorough else (True,):
        for wider, rests in TRIES:
            period = ceil(least * wider) if most is None else min(ceil(least * wider), most - 1)
            if period >= least and (few or rests == 1):
                found.append((period, rests, few_places))
    return list(dict.fromkeys(found))


def trimmed(asked: Asked, timed: Timed) -> Timed:
    """The same without the rests aside that can be left out at the same period."""
    for arm, loop in timed.loops.items():
        number = 0
        while number < len(loop.rests):
            shorter = without(asked, loop, number, timed.period_steps)
            tried = None
            if shorter is not None:
                tried = retimed(asked, {**timed.loops, arm: shorter}, timed.period_steps)
            if tried is not None and tried.period_steps <= timed.period_steps:
                timed, loop = tried, tried.loops[arm]
            else:
                number += 1
    return timed


def without(asked: Asked, loop: Loop, number: int, period: int) -> Loop | None:
    """A loop that goes straight past a rest; None where there is a visit or no such way."""
    if loop.rests[number].calls or not loop.moves:
        return None
    before, _ = loop.before(number)
    way = loop.rests[before].place, loop.way(number)[1]
    steps = 0 if way[0] == way[1] else asked.rail.steps(loop.arm, way, goes_loaded(asked, loop, before))
    if steps is None:
        return None
    rests: list[Rest] = [
        replace(rest, goes_steps=steps) if index == before else rest for index, rest in enumerate(loop.rests)
    ]
    del rests[number]
    return loop_of(loop.arm, rests, period)


def goes_loaded(asked: Asked, loop: Loop, number: int) -> bool:
    """Whether an attendant carries a part when it leaves a rest: as it left its last visit."""
    while not loop.rests[number].calls:
        number, _ = loop.before(number)
    return asked.tours[loop.arm][loop.rests[number].calls[-1][0]].goes_loaded

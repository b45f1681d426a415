"""Two carries of two attendants on one track, each gone at once: how long after the other the one may begin.

Where a part is carried at once, all of its carry is known from the beginning of its lift: the stand, the way, the stand
at its end. Of two such carries only the shift between them is free. So what they keep of each other is one question,
where it were four of their visits, and they cannot meet half way either, of which the visits know nothing.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import ceil, floor

from millhand.solvers.cycle.rails.passing import Stretch, shifts_too_near
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_order import RailVisit, Turns
from millhand.solvers.cycle.searching.program import Literal, Program

Shifts = tuple[int, int]  # the first and the last whole step of shifts that cannot be


@dataclass(frozen=True, slots=True, kw_only=True)
class Carry:
    """A carry that somebody on a track may make at once: its visits, and where it is from the beginning of its lift on.

    `visits`: the lift and the set-down, each with when it begins and ends from there on, in steps.
    """

    move: int
    who: str
    made: Literal
    visits: tuple[tuple[RailVisit, int, int], ...]
    stretches: tuple[Stretch, ...]


def add_carries(
    program: Program, rail: Rail, carries: Sequence[Carry], turns: Sequence[Turns]
) -> tuple[list[Literal], list[Turns]]:
    """Demand what two carries keep of each other; given back is which comes first, and the pairs of visits that this
    does not cover."""
    known = {(id(each.first), id(each.second)): each for each in turns}
    chosen: list[Literal] = []
    covered: set[int] = set()
    for one, other in combinations(carries, 2):
        if one.who == other.who or one.move == other.move or other.who not in rail.others(one.who):
            continue
        both = ((first, second) for first in (0, 1) for second in (0, 1))
        own = {at: found for at in both if (found := turns_between(known, one, other, at))}
        shifts = None if any(never(each) for each in own.values()) else too_near(rail, one, other, own)
        if shifts is None or len(shifts) > 1:
            continue
        covered |= {id(each) for each in own.values() if each.first.place != each.second.place}
        for first, last in shifts:
            chosen += add_shift(program, (one, other), (first, last))
    return chosen, [each for each in turns if id(each) not in covered]


def turns_between(
    known: Mapping[tuple[int, int], Turns], one: Carry, other: Carry, at: tuple[int, int]
) -> Turns | None:
    """What two of their visits keep of each other, the first carry's first; None where they are not too near."""
    visit, second = one.visits[at[0]][0], other.visits[at[1]][0]
    return known.get((id(visit), id(second))) or known.get((id(second), id(visit)))


def never(turns: Turns) -> bool:
    """Whether two visits cannot both be made."""
    return turns.gap_steps is None or turns.back_steps is None


def too_near(rail: Rail, one: Carry, other: Carry, own: Mapping[tuple[int, int], Turns]) -> list[Shifts]:
    """The shifts of the second carry against the first that cannot be, those in a row as one."""
    found = [
        whole for pair in product(one.stretches, other.stretches) if (whole := stretch_shifts(rail, one, other, pair))
    ]
    for (first, second), turns in own.items():
        visit, begins, ends = one.visits[first]
        _, starts, leaves = other.visits[second]
        there, back = turns.gap_steps or 0, turns.back_steps or 0
        if turns.first is not visit:
            there, back = back, there
        found.append((begins - leaves - back + 1, ends + there - starts - 1))
    return in_a_row([each for each in found if each[0] <= each[1]])


def stretch_shifts(rail: Rail, one: Carry, other: Carry, pair: tuple[Stretch, Stretch]) -> Shifts | None:
    """The whole shifts at which two stretches are too near; None where there are none."""
    track, side = rail.track(one.who), rail.side(one.who, other.who)
    between = abs(rail.arms.index(one.who) - rail.arms.index(other.who))
    low, high = (pair[0].seen_from(side), pair[1].seen_from(side))
    window = shifts_too_near(low, high, between * track.keep_m, track.rule)
    if window is None:
        return None
    first, last = floor(window[0]) + 1, ceil(window[1]) - 1
    return (first, last) if first <= last else None


def in_a_row(found: Sequence[Shifts]) -> list[Shifts]:
    """Stretches of whole numbers that meet or overlap, as one each."""
    joined: list[Shifts] = []
    for first, last in sorted(found):
        if joined and first <= joined[-1][1] + 1:
            joined[-1] = joined[-1][0], max(joined[-1][1], last)
        else:
            joined.append((first, last))
    return joined


def add_shift(program: Program, pair: tuple[Carry, Carry], shifts: Shifts) -> list[Literal]:
    """The second carry begins after these shifts, or before them, in every lap."""
    model, both = program.model, [each.made for each in pair]
    one, other = (program.lift[each.move] for each in pair)
    after, before = shifts[1] + 1, 1 - shifts[0]  # the second so long after the first, or the first after the second
    laps = dict(which_lap(program, pair, shifts))
    for lap, here in laps.items():
        shift = other - one + lap * program.period
        model.add(shift >= after).only_enforce_if(here, *both)
        model.add(program.period - shift >= before).only_enforce_if(here, *both)
    return list(laps.values())


def which_lap(program: Program, pair: tuple[Carry, Carry], shifts: Shifts) -> Iterator[tuple[int, Literal]]:
    """In which lap the second comes after the first, next: this one or the following, by which is lifted first, where
    they cannot begin at one moment; else one lap more on either side."""
    model, both = program.model, [each.made for each in pair]
    moves = tuple(each.move for each in pair)
    if shifts[0] <= 0 <= shifts[1]:
        first = lifted_first(program, *moves)
        yield 0, first
        yield 1, ~first
        return
    chosen = {lap: program.flag() for lap in range(-1, 3)}
    model.add_bool_or([*chosen.values(), *(~each for each in both)])
    model.add_at_most_one(chosen.values())
    for each in both:
        model.add_bool_and([~here for here in chosen.values()]).only_enforce_if(~each)
    yield from chosen.items()


def lifted_first(program: Program, one: int, other: int) -> Literal:
    """Whether the one move is lifted before the other within the period, or at one moment."""
    name = f"lifted first {one} {other}"
    if name not in program.terms:
        first = program.terms[name] = program.flag()
        program.model.add(program.lift[other] >= program.lift[one]).only_enforce_if(first)
        program.model.add(program.lift[one] >= program.lift[other]).only_enforce_if(~first)
    return program.terms[name]

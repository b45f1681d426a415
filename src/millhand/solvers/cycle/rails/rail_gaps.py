"""The least time between one attendant's leaving of a place and another's coming to one too near it.

Whatever the two do in between, over whichever stops: the first has to get clear of the second's goal before the second
arrives, and the second can only enter the nearness of the first's place after the first has departed. Both times
are shortest ways over the table, the last piece cut at the crossing. No motion is chosen here, so the larger of the
two is a lower bound for every choice, and a strong one: with one top speed it is the distance that is lacking, divided
by that speed.
"""

from collections.abc import Callable
from dataclasses import dataclass

from millhand.solvers.cycle.rails.rail import Rail

Spot = tuple[str, str]  # attendant, place


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Whether the leaving attendant goes off loaded, and whether the coming one arrives loaded; None: either.
    `goes_to` and `comes_from` are the other ends of those ways where they are gone at once and without a stop.
    `in_motion`: under the rule 'order' it is enough that one of the two moves, wherever it stands before and after."""

    leaving: bool | None = None
    coming: bool | None = None
    goes_to: str | None = None
    comes_from: str | None = None
    in_motion: bool = False


def gap_steps(rail: Rail, first: Spot, second: Spot, hand: Hand) -> int | None:
    """The least steps from the departure of `first` to the arrival of `second`; None where there is no way at all."""
    away, into = away_steps(rail, first, second, hand), into_steps(rail, first, second, hand)
    return None if away is None or into is None else max(away, into)


def away_steps(rail: Rail, first: Spot, second: Spot, hand: Hand) -> int | None:
    """The least steps from a departure until the first is clear of the second's place."""
    arm, start = first

    def leg(place: str, goal: str) -> int | None:
        if place == start and hand.goes_to not in (None, goal):
            return None
        return rail.steps(arm, (place, goal), hand.leaving if place == start else None)

    reached = shortest(start, [place for place in rail.places(arm) if rail.near((arm, place), second)], leg)
    clear = [place for place in rail.places(arm) if is_clear(rail, (arm, place), second, hand)]
    found = [
        before + rail.leaves(arm, (place, goal), steps, second)
        for place, before in reached.items()
        for goal in clear
        if (steps := leg(place, goal)) is not None
    ]
    return min(found, default=None)


def into_steps(rail: Rail, first: Spot, second: Spot, hand: Hand) -> int | None:
    """The least steps from the last moment at which the second is clear of the first's place until its arrival."""
    arm, goal = second

    def leg(place: str, start: str) -> int | None:
        if place == goal and hand.comes_from not in (None, start):
            return None
        return rail.steps(arm, (start, place), hand.coming if place == goal else None)

    reached = shortest(goal, [place for place in rail.places(arm) if rail.near((arm, place), first)], leg)
    clear = [place for place in rail.places(arm) if is_clear(rail, (arm, place), first, hand)]
    found = [
        after + steps - rail.enters(arm, (start, place), steps, first)
        for place, after in reached.items()
        for start in clear
        if (steps := leg(place, start)) is not None
    ]
    return min(found, default=None)


def is_clear(rail: Rail, one: Spot, other: Spot, hand: Hand) -> bool:
    """Whether a way that ends or begins at a place is out of the way of another attendant at its place."""
    if hand.in_motion and rail.track(one[0]).rule == "order":
        return rail.side(one[0], other[0]) * rail.at_m[one[1]] <= rail.side_m(one[0], other)
    return not rail.near(one, other)


def shortest(start: str, among: list[str], leg: Callable[[str, str], int | None]) -> dict[str, int]:
    """The least steps from a place to others by places among these."""
    best, queue = {start: 0}, [start]
    for place in queue:
        for goal in among:
            steps = leg(place, goal)
            if steps is not None and best[place] + steps < best.get(goal, best[place] + steps + 1):
                best[goal] = best[place] + steps
                queue.append(goal)
    return best

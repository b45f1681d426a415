"""What sharing a track demands of the visits of a cycle, whatever motions lie between them: for a solver of integers.

Two visits at places too near each other are made one after the other, a gap apart, in every lap. Motions are not part
of this model: it is a relaxation, so its best period is a lower bound, and `rail_motions` completes it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from millhand.solvers.cycle.deadline import Deadline, ask
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_gaps import Hand, Spot, gap_steps

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, IntVar


@dataclass(frozen=True, slots=True, kw_only=True)
class RailVisit:
    """One visit that an attendant makes or may make. `start` is when it has to be there, `end` when it may go.

    `present` is None where the visit is made in any case. Of the visits of one `task` only one is made. `comes_from`
    and `goes_to` are where it comes from and goes to with the part where it does so at once and without a stop.
    """

    who: str
    place: str
    task: str
    start: Any  # whole steps, a variable or an expression of the solver
    end: Any
    present: "IntVar | None" = None
    comes_loaded: bool | None = None
    goes_loaded: bool | None = None
    comes_from: str | None = None
    goes_to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """Two visits that are too near: the gap from the one to the other, and back; None where it cannot be."""

    first: RailVisit
    second: RailVisit
    gap_steps: int | None
    back_steps: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Of two visits that are too near: so many laps on the second comes between the first and the first again."""

    turns: Turns
    laps: "dict[int, IntVar]"


def add_track(model: "CpModel", rail: Rail, visits: Sequence[RailVisit], period: Any, *, laps: int) -> "list[IntVar]":
    """Demand the gaps of all visits on a track; every start and end lies between 0 and so many periods.

    Given back is what says in which order visits that are too near each other are made: with the tours it says all
    that the motions are found for, so that a search can leave it out when there are none.
    """
    add_served(model, rail, visits)
    made = add_orders(model, pairs(rail, visits), period, laps=laps)
    return [here for order in made for here in order.laps.values()]


def add_served(model: "CpModel", rail: Rail, visits: Sequence[RailVisit], *, in_motion: bool = False) -> None:
    """No visit is made during which somebody else would have no place to be; `in_motion`: only what holds for every
    cycle, where under the rule 'order' somebody else may be on its way between two places while one stands."""
    for visit in visits:
        if not can_be_served(rail, visit, in_motion=in_motion):
            model.add_bool_or([] if visit.present is None else [~visit.present])


def add_orders(
    model: "CpModel", found: Sequence[Turns], period: Any, *, laps: int, deadline: Deadline | None = None
) -> "list[Order]":
    """Which visit of each pair comes when, pair by pair; TimeUp where there is no time for it."""
    made = []
    for turns in found:
        ask(deadline)
        made.append(Order(turns=turns, laps=add_turns(model, turns, period, laps)))
    return made


def can_be_served(rail: Rail, visit: RailVisit, *, in_motion: bool = False) -> bool:
    """Whether everybody else finds a place to be, or a way to be on, while a visit is made."""
    return has_room_aside(rail, visit.who, visit.place, in_motion=in_motion)


def has_room_aside(rail: Rail, arm: str, place: str, *, in_motion: bool = False) -> bool:
    """Whether everybody else finds a place to be, or a way to be on, while an attendant is at a place."""
    arms = rail.track(arm).arms
    here = arms.index(arm)
    found = all(places_in_order(rail, [(arm, place)], side) for side in (arms[here + 1 :], arms[:here][::-1]))
    if found or not in_motion or rail.track(arm).rule != "order":
        return found
    return all(has_place_aside(rail, (arm, place), other) or has_way_aside(rail, (arm, place), other) for other in arms)


def places_in_order(rail: Rail, spots: Sequence[Spot], arms: Sequence[str]) -> list[Spot]:
    """Where the last of some attendants can stand who follow one another along a track, from where the first of them
    can be; nothing where there is no room for all."""
    last = list(spots)
    for arm in arms:
        last = [spot for place in rail.places(arm) if any(not rail.near(one, spot := (arm, place)) for one in last)]
    return last


def has_place_aside(rail: Rail, one: Spot, other: str) -> bool:
    """Whether somebody else has a place to stand, itself taken by itself, while an attendant is at one."""
    return other == one[0] or any(not rail.near(one, (other, place)) for place in rail.places(other))


def has_way_aside(rail: Rail, one: Spot, other: str) -> bool:
    """Whether somebody else can be on its way between two places on its side of an attendant that stands, which under
    the rule 'order' may be that place itself."""
    side, level = rail.side(other, one[0]), rail.side_m(other, one)
    return sum(side * rail.at_m[place] <= level for place in rail.places(other)) > 1


def has_room_between(rail: Rail, one: Spot, other: Spot) -> bool:
    """Whether all who run between two attendants that stand on one track find places to stand there, in their order."""
    if other[0] not in rail.others(one[0]):
        return True
    low, high = sorted((one, other), key=lambda spot: rail.arms.index(spot[0]))
    between = rail.arms[rail.arms.index(low[0]) + 1 : rail.arms.index(high[0])]
    return any(not rail.near(spot, high) for spot in places_in_order(rail, [low], between))


def asks_more(rail: Rail, visits: Sequence[RailVisit], deadline: Deadline | None = None) -> bool:
    """Whether a cycle may let attendants be on their way where what is asked of their visits would have them stand
    clear of each other, or leave room for those between: under the rule 'order', or where three share a track."""
    if all(track.rule != "order" and len(track.arms) < 3 for track in rail.tracks):
        return False
    if any(can_be_served(rail, visit) != can_be_served(rail, visit, in_motion=True) for visit in visits):
        return True
    return pairs(rail, visits, deadline) != pairs(rail, visits, deadline, in_motion=True)


def pairs(
    rail: Rail, visits: Sequence[RailVisit], deadline: Deadline | None = None, *, in_motion: bool = False
) -> list[Turns]:
    """All pairs of visits of different attendants at places too near each other; `in_motion` as in `add_served`."""
    found = []
    known: dict[tuple[Spot, Spot, Hand], int | None] = {}

    def gap(first: Spot, second: Spot, hand: Hand) -> int | None:
        key = first, second, hand
        if key not in known:
            known[key] = gap_steps(rail, *key)
        return known[key]

    for index, one in enumerate(visits):
        ask(deadline)
        for other in visits[index + 1 :]:
            here, there = (one.who, one.place), (other.who, other.place)
            if one.who == other.who or one.task == other.task:
                continue
            if not rail.near(here, there):
                if not in_motion and not has_room_between(rail, here, there):
                    found.append(Turns(first=one, second=other, gap_steps=0, back_steps=0))
                continue
            there_steps = gap(here, there, hand_between(one, other, in_motion=in_motion))
            back_steps = gap(there, here, hand_between(other, one, in_motion=in_motion))
            found.append(Turns(first=one, second=other, gap_steps=there_steps, back_steps=back_steps))
    return found


def hand_between(one: RailVisit, other: RailVisit, *, in_motion: bool) -> Hand:
    """What is known of the way off from one visit and of the way to another one."""
    return Hand(
        leaving=one.goes_loaded,
        coming=other.comes_loaded,
        goes_to=one.goes_to,
        comes_from=other.comes_from,
        in_motion=in_motion,
    )


def add_turns(model: "CpModel", turns: Turns, period: Any, laps: int) -> "dict[int, IntVar]":
    """In some lap the second comes between the first and the first of the next lap."""
    absent = [~visit.present for visit in (turns.first, turns.second) if visit.present is not None]
    if turns.gap_steps is None or turns.back_steps is None:
        model.add_bool_or(absent)
        return {}
    first, second = turns.first, turns.second
    chosen: dict[int, IntVar] = {}
    for lap in range(-laps, laps + 1):
        here = model.new_bool_var("")
        chosen[lap] = here
        model.add(second.start + lap * period >= first.end + turns.gap_steps).only_enforce_if(here)
        model.add(first.start + period >= second.end + lap * period + turns.back_steps).only_enforce_if(here)
    model.add_bool_or([*chosen.values(), *absent])
    model.add_at_most_one(chosen.values())
    for each in absent:
        model.add_bool_and([~here for here in chosen.values()]).only_enforce_if(each)
    return chosen

"""What comes first of several things that happen at one moment.

Where handling takes no time, times alone do not say that a part lay somewhere before it was lifted there, or that an
earlier lot came first: all of it happens at once. Then every lift and every set-down gets a rank besides its time, and
whatever comes after something else at the same moment has a higher one. So no plan goes round in a circle that takes no
time. That makes the search larger, so it is asked for only where a plan without ranks did not hold.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from typing import TYPE_CHECKING

from millhand.solvers.cycle.deadline import ask
from millhand.solvers.cycle.lots.makespan_loads import members
from millhand.solvers.cycle.lots.makespan_lots import Hop
from millhand.solvers.cycle.lots.makespan_model import Draft, End, Spot
from millhand.solvers.cycle.lots.makespan_plan import Visit
from millhand.solvers.cycle.lots.makespan_tours import Follows

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr, LiteralT

MOTIONS = 5  # moments of motions for each lift and each set-down: off, aside and on, and both ends of a way


def add_ranks(draft: Draft) -> None:
    """A rank for each lift and each set-down; a part is lifted, set down, and lifted again. Both ends of a way
    by itself are one thing, as the part is never on it: of two that would change their places neither can go first."""
    draft.ranks = {(hop, end): rank(draft, f"{hop} {end}") for hop in draft.lots.hops() for end in ("out", "in")}
    for j, h in draft.lots.hops():
        for way in draft.lots.ways_of((j, h)):
            if way.who is None:
                at_once = draft.ranks[(j, h), "in"] == draft.ranks[(j, h), "out"]
                draft.model.add(at_once).only_enforce_if(draft.way[(j, h), way])
            else:
                after(draft, over(draft, (j, h), "out"), begins(draft, (j, h), "in"), [draft.way[(j, h), way]])
        if (j, h + 1) in draft.start or ((j, h + 1), "out") in draft.ranks:
            after(draft, over(draft, (j, h), "in"), begins(draft, (j, h + 1), "out"))


def rank(draft: Draft, name: str) -> "IntVar":
    """A new rank."""
    return draft.model.new_int_var(0, most_rank(draft), f"rank {name}")


def most_rank(draft: Draft) -> int:
    """The highest rank: as many as there are lifts, set-downs, and moments of motions beside them on shared tracks."""
    return 2 * (1 + (MOTIONS if draft.lots.sharing else 0)) * sum(1 for _ in draft.lots.hops())


def begins(draft: Draft, hop: Hop, end: End) -> "tuple[LinearExpr | int, IntVar]":
    """When a lift or a set-down begins, and its rank."""
    return draft.time[hop, "lift" if end == "out" else "set"], draft.ranks[hop, end]


def over(draft: Draft, hop: Hop, end: End) -> "tuple[LinearExpr | int, IntVar]":
    """When a lift or a set-down is over, and its rank."""
    return draft.time[hop, "lifted" if end == "out" else "placed"], draft.ranks[hop, end]


def after(
    draft: Draft,
    one: "tuple[LinearExpr | int, IntVar]",
    other: "tuple[LinearExpr | int, IntVar]",
    when: "Sequence[LiteralT]" = (),
) -> None:
    """The second comes after the first: later, or at the same moment with a higher rank."""
    scale = most_rank(draft) + 2
    later = draft.model.add(scale * other[0] + other[1] >= scale * one[0] + one[1] + 1)
    later.only_enforce_if(when)


def add_moments(draft: Draft, tours: Mapping[str, Follows]) -> None:
    """The ranks of whatever an attendant, a station or a supply does one after the other."""
    for (out, new, _, _), lit in draft.swap.items():
        draft.model.add(draft.ranks[out, "out"] == draft.ranks[new, "in"]).only_enforce_if(lit)
    exchanges = {lit.index for lit in draft.swap.values()}
    for tour in tours.values():
        for (visit, before), lits in tour.items():
            ends = None if before is None else (last_of(before), first_of(visit))
            if ends is None or ends[0] is None or ends[1] is None:
                continue
            for lit in (each for each in lits if each.index not in exchanges):
                after(draft, over(draft, *ends[0]), begins(draft, *ends[1]), [lit])
    for station in draft.lots.cell.stations:
        if draft.lots.batch(station) > 1:
            add_loads_in_turn(draft, station)
        elif draft.lots.holds_one_load(station):
            add_one_by_one(draft, station)
        elif draft.lots.cell.stations[station].kind == "store":
            add_room(draft, station)
    add_next_in_turn(draft)
    for supply in draft.lots.cell.stations:
        for one, other in pairs_of(draft, supply):
            here = [draft.at[one, 0, supply], draft.at[other, 0, supply]]
            after(draft, begins(draft, (one, 0), "out"), begins(draft, (other, 0), "out"), here)


def add_next_in_turn(draft: Draft) -> None:
    """Where a station is changed over: of two loads that follow each other the first is out before the second is in."""
    for (old, new), lit in draft.next.items():
        for a, b in product(members(draft.lots, old), members(draft.lots, new)):
            leaves = draft.leaves[a[:2]], draft.ranks[a[:2], "out"]
            enters = draft.enters[b[:2]], draft.ranks[came(b), "in"]
            after(draft, leaves, enters, [lit, *(~each for each in swaps(draft, a, b))])


def first_of(visit: Visit) -> tuple[Hop, End] | None:
    """What a visit begins with; None for a changeover."""
    return None if visit.kind == "change" else (visit.hop, "in" if visit.kind == "place" else "out")


def last_of(visit: Visit) -> tuple[Hop, End] | None:
    """What a visit ends with; None for a changeover."""
    return None if visit.kind == "change" else (visit.hop, "out" if visit.kind == "pick" else "in")


def add_one_by_one(draft: Draft, station: str) -> None:
    """Of two parts at a station with room for one the first is out before the second is in, unless exchanged for it."""
    here = [spot for spot in draft.at if spot[2] == station and (spot[0], spot[1]) in draft.start]
    for one, other in combinations(here, 2):
        ask(draft.deadline)
        if one[0] == other[0]:
            continue
        first = draft.yes(f"{one} before {other}")
        for old, new, lit in ((one, other, first), (other, one, ~first)):
            leaves = draft.leaves[old[:2]], draft.ranks[old[:2], "out"]
            enters = draft.enters[new[:2]], draft.ranks[(new[0], new[1] - 1), "in"]
            after(
                draft, leaves, enters, [lit, draft.at[old], draft.at[new], *(~each for each in swaps(draft, old, new))]
            )


def add_room(draft: Draft, station: str) -> None:
    """A store for several parts holds no more than it has room for at any rank of a moment either."""
    room, scale, filled = draft.lots.room(station), most_rank(draft) + 2, []
    if room is None:
        return
    for spot, here in draft.at.items():
        if spot[2] == station and spot[:2] in draft.start:
            ends = begins(draft, came(spot), "in"), over(draft, spot[:2], "out")
            at = [draft.model.new_int_var(0, scale * (draft.horizon + 1), f"{spot} {each}") for each in range(3)]
            for moment, (time, number), late in zip(at, ends, (0, 1), strict=False):
                draft.model.add(moment == scale * time + number + late)
            filled.append(draft.model.new_optional_interval_var(at[0], at[2], at[1], here, f"lies {spot}"))
    draft.model.add_cumulative(filled, [1] * len(filled), room)


def add_loads_in_turn(draft: Draft, station: str) -> None:
    """Loads of several parts: all of one are in before any is out, the last one comes last, and one load after another.
    In endless slots only the set-downs of one are over before the next is begun."""
    lits = {spot: lit for spot, lit in draft.loads.first.items() if spot[2] == station}
    for spot, lit in lits.items():
        loads = members(draft.lots, spot)
        for one, other in product(loads, loads):
            after(draft, over(draft, came(one), "in"), begins(draft, other[:2], "out"), [lit])
            last = draft.loads.last.get(other)
            if last is not None and one != other:
                after(draft, over(draft, came(one), "in"), begins(draft, came(other), "in"), [lit, last])
    alone = draft.lots.holds_one_load(station)
    for one, other in combinations(lits, 2):
        ask(draft.deadline)
        first = draft.yes(f"load {one} before {other}")
        for old, new, turn in ((one, other, first), (other, one, ~first)):
            for a, b in product(members(draft.lots, old), members(draft.lots, new)):
                gone = (draft.leaves[a[:2]], draft.ranks[a[:2], "out"]) if alone else over(draft, came(a), "in")
                comes = draft.enters[b[:2]], draft.ranks[came(b), "in"]
                after(draft, gone, comes, [turn, lits[old], lits[new]])


def came(spot: Spot) -> Hop:
    """The transfer by which a part came to a step."""
    return spot[0], spot[1] - 1


def swaps(draft: Draft, old: Spot, new: Spot) -> "list[IntVar]":
    """Whether a part is taken out by exchange for another one."""
    return [
        lit
        for (out, comes, _, station), lit in draft.swap.items()
        if (out, comes, station) == (old[:2], (new[0], new[1] - 1), old[2])
    ]


def pairs_of(draft: Draft, supply: str) -> Iterator[tuple[int, int]]:
    """Parts of which a supply gives the first in an earlier lot than the second."""
    given = [j for j in range(len(draft.lots.pieces)) if (j, 0, supply) in draft.at]
    turn = {j: draft.lots.pieces[j].turn for j in given}
    return ((one, other) for one in given for other in given if turn[one] < turn[other])

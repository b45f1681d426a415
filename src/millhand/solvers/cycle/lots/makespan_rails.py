"""Attendants of lots that share a track: when each sets out, where it stands between its visits, and that they keep
their distance.

Whatever an attendant does from setting out until it stands again is one stretch of the track, from the least to the
greatest place that it touches; standing is another. Two attendants keep their distance when of every two stretches one
is over before the other begins, or both lie apart as wholes. That is more than the rule asks for, as motions could also
follow each other closely. So this finds plans for lots with too many orders of visits to work out the motions of all;
where these can be, makespan_shared.py says what is the shortest.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from math import ceil
from typing import TYPE_CHECKING

from millhand.solvers.cycle.lots.makespan_in_hand import InHand, add_held, in_hand, is_slower_loaded
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_model import Draft, Kept
from millhand.solvers.cycle.lots.makespan_plan import Mark, Visit
from millhand.solvers.cycle.lots.makespan_tours import (
    Call,
    Follows,
    add_alone,
    calls_of,
    exchange_of,
    is_impossible,
    loads_between,
    never_next,
    steps_for_the_place,
    turn_between,
)
from millhand.solvers.cycle.view import Mover

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr

MM_IN_M = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A part of the track that an attendant takes up for a time, if it does at all."""

    mark: Mark
    made: "IntVar | None"  # None: always
    begins: "LinearExpr | int"
    ends: "LinearExpr | int"
    low: "LinearExpr | int"  # millimetres
    high: "LinearExpr | int"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """A visit on a track with what it needs besides: its departure, whether the attendant parks at home after it, when
    it stands again, where, when it leaves from there, and the least and greatest place that it touches."""

    call: Call
    departs: "IntVar"
    parks: "IntVar"
    stands: "IntVar"
    rests_at: "IntVar"
    leaves: "IntVar"
    low: "IntVar"
    high: "IntVar"


def add_rails(draft: Draft) -> dict[str, Follows]:
    """The tours of all attendants that share a track, kept apart."""
    tours: dict[str, Follows] = {}
    for name, track in draft.lots.cell.tracks.items():
        riders = [who for who in track.attendants if who in draft.lots.sharing]
        stretches: dict[str, list[Stretch]] = {}
        for who in riders:
            tours[who], stretches[who] = add_rail_tour(draft, draft.lots.view.movers[who])
        for one, other in combinations(riders, 2):
            between = track.attendants.index(other) - track.attendants.index(one)
            keep = ceil(track.keep_m * MM_IN_M) * between if track.rule == "apart" else 1
            for a in stretches[one]:
                for b in stretches[other]:
                    keep_apart(draft, (a, b), keep, f"{name} {one} {other}")
    return tours


def keep_apart(draft: Draft, pair: tuple[Stretch, Stretch], keep_mm: int, name: str) -> None:
    """Of two stretches of neighbours one is over before the other begins, or the first lies below the second."""
    one, other = pair
    made = [each.made for each in pair if each.made is not None]
    ways = [draft.yes(f"{name} {way} {one.mark} {other.mark}") for way in ("before", "after", "below")]
    draft.model.add(one.ends <= other.begins).only_enforce_if([ways[0], *made])
    draft.model.add(other.ends <= one.begins).only_enforce_if([ways[1], *made])
    draft.model.add(one.high + keep_mm <= other.low).only_enforce_if([ways[2], *made])
    draft.model.add_bool_or(ways)
    draft.rails.apart.append(Kept(pair=(one.mark, other.mark), made=made, before=ways[0], after=ways[1]))


def position_mm(lots: Lots, place: str | None) -> int:
    """Where a place lies on its track."""
    return round((lots.cell.places[place or ""].track_m or 0.0) * MM_IN_M)


def add_rail_tour(draft: Draft, mover: Mover) -> tuple[Follows, list[Stretch]]:
    """One attendant: a round through home and all its visits, with its departures."""
    lots, model = draft.lots, draft.model
    rides = [ride_of(draft, mover, call) for call in calls_of(draft, mover)]
    held = in_hand(draft, mover, [ride.call for ride in rides])
    home = lots.home[mover.id]
    first_leave = departure(draft, f"{mover.id} leaves home")
    follows: Follows = {}
    arcs: list[tuple[int, int, IntVar]] = [(0, 0, draft.yes(f"{mover.id} idle"))]
    model.add(first_leave == for_ever(draft)).only_enforce_if(arcs[0][2])
    for number, ride in enumerate(rides, start=1):
        first, last = draft.yes(f"{mover.id} first {number}"), draft.yes(f"{mover.id} last {number}")
        follows.setdefault((ride.call.visit, None), []).append(first)
        arcs += [(0, number, first), (number, 0, last), (number, number, ~ride.call.made)]  # type: ignore[list-item]
        set_out(draft, mover, (ride, home), first, loaded=False)
        model.add(first_leave == ride.departs).only_enforce_if(first)
        model.add(ride.leaves == for_ever(draft)).only_enforce_if(last)
        add_held(draft, (None, ride.call), held, first)
    for a, one in enumerate(rides, start=1):
        for b, other in enumerate(rides, start=1):
            if a == b or never_next(one.call, other.call) or is_impossible(draft, mover, (one.call, other.call)):
                continue
            for lit in add_next_ride(draft, mover, (one, other), held):
                arcs.append((a, b, lit))
                follows.setdefault((other.call.visit, one.call.visit), []).append(lit)
    model.add_circuit(arcs)
    add_alone(draft, mover, [ride.call for ride in rides])
    at_home = position_mm(lots, home)
    stands = Stretch(
        mark=Mark(who=mover.id, visit=None, what="rest"),
        made=None,
        begins=0,
        ends=first_leave,
        low=at_home,
        high=at_home,
    )
    return follows, [stands, *(each for ride in rides for each in stretches_of(mover, ride))]


def for_ever(draft: Draft) -> int:
    """When somebody leaves who stands there to the end: after everything else."""
    return draft.horizon + draft.margin + 1


def departure(draft: Draft, name: str) -> "IntVar":
    """When somebody leaves where it stands."""
    return draft.model.new_int_var(0, for_ever(draft), name)


def add_next_ride(draft: Draft, mover: Mover, pair: tuple[Ride, Ride], held: InHand) -> "Iterator[IntVar]":
    """The questions whether one visit directly follows another: as an exchange, from where the attendant stood, or from
    home; where carrying takes another time than going empty it parks with empty hands only."""
    (one, other), model = pair, draft.model
    calls, slower = (one.call, other.call), mover.hands > 1 and is_slower_loaded(mover)
    exchange = exchange_of(draft, mover, calls)
    if exchange is not None:
        model.add(one.parks == 0).only_enforce_if(exchange)
        model.add(other.departs == one.stands).only_enforce_if(exchange)
        model.add(one.leaves == other.departs).only_enforce_if(exchange)
        add_held(draft, calls, held, exchange)
        yield exchange
    kinds = (one.call.visit.kind, other.call.visit.kind)
    for parked, place in ((False, one.call.place_out), (True, draft.lots.home[mover.id])):
        for loaded in loads_between(kinds, several=slower):
            if parked and loaded and slower:
                continue
            lit = draft.yes(f"{mover.id} {other.call.visit} after {one.call.visit} {parked} {loaded}")
            model.add(one.parks == int(parked)).only_enforce_if(lit)
            model.add(other.departs >= one.stands).only_enforce_if(lit)
            model.add(one.leaves == other.departs).only_enforce_if(lit)
            model.add(other.call.begins >= one.call.ends + steps_for_the_place(draft, calls)).only_enforce_if(lit)
            turn = 0 if parked else turn_between(draft, mover, calls)
            set_out(draft, mover, (other, place), lit, loaded=loaded, turn=turn)
            add_held(draft, calls, held, lit)
            if slower:
                before = held.parts[one.call.visit]
                model.add(before >= 1 if loaded else before == 0).only_enforce_if(lit)
            yield lit


def ride_of(draft: Draft, mover: Mover, call: Call) -> Ride:
    """A visit with its variables; it ends at its last place, or at home after the way there."""
    lots, model = draft.lots, draft.model
    places = {name: position_mm(lots, name) for name in mover.rows}
    least, most = min(places.values()), max(places.values())
    name = f"{mover.id} {call.visit} {call.station}"
    ride = Ride(
        call=call,
        departs=model.new_int_var(0, draft.horizon, f"departs {name}"),
        parks=draft.yes(f"parks {name}"),
        stands=draft.instant(f"stands {name}"),
        rests_at=model.new_int_var(least, most, f"rests {name}"),
        leaves=departure(draft, f"leaves {name}"),
        low=model.new_int_var(least, most, f"low {name}"),
        high=model.new_int_var(least, most, f"high {name}"),
    )
    draft.rails.parks.append((mover.id, call.visit, call.made, ride.parks))
    home = lots.home[mover.id]
    back = mover.travel_steps(call.place_out, home, loaded=False)
    if back is None:
        model.add(ride.parks == 0)
    else:
        model.add(ride.stands == call.ends + back).only_enforce_if([ride.parks, call.made])
        model.add(ride.stands <= draft.end).only_enforce_if([ride.parks, call.made])
        model.add(ride.rests_at == position_mm(lots, home)).only_enforce_if(ride.parks)
        touches(draft, ride, home, [ride.parks])
    model.add(ride.stands == call.ends).only_enforce_if([~ride.parks, call.made])
    model.add(ride.rests_at == position_mm(lots, call.place_out)).only_enforce_if(~ride.parks)
    for place in (call.place_in, call.place_out):
        touches(draft, ride, place, [call.made])
    return ride


def touches(draft: Draft, ride: Ride, place: str | None, when: "list[IntVar]") -> None:
    """The stretch of a visit reaches to a place."""
    at = position_mm(draft.lots, place)
    draft.model.add(ride.low <= at).only_enforce_if(when)
    draft.model.add(ride.high >= at).only_enforce_if(when)


def set_out(
    draft: Draft, mover: Mover, ride_from: tuple[Ride, str | None], lit: "IntVar", *, loaded: bool, turn: int = 0
) -> None:
    """The visit begins after the way from where the attendant stood, and the turn to its other hand."""
    ride, place = ride_from
    way = mover.travel_steps(place, ride.call.place_in, loaded=loaded and mover.hands > 1)
    if way is None:
        draft.model.add(lit == 0)
        return
    draft.model.add(ride.call.begins >= ride.departs + way + turn + ride.call.lead).only_enforce_if(lit)
    touches(draft, ride, place, [lit])


def stretches_of(mover: Mover, ride: Ride) -> tuple[Stretch, Stretch]:
    """The visit from its departure until the attendant stands again, and the standing after it."""
    visit: Visit = ride.call.visit
    return (
        Stretch(
            mark=Mark(who=mover.id, visit=visit, what="ride"), made=ride.call.made, begins=ride.departs,
            ends=ride.stands, low=ride.low, high=ride.high,
        ),
        Stretch(
            mark=Mark(who=mover.id, visit=visit, what="rest"), made=ride.call.made, begins=ride.stands,
            ends=ride.leaves, low=ride.rests_at, high=ride.rests_at,
        ),
    )  # fmt: skip

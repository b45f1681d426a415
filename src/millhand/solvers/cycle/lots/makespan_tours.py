"""The attendants of lots as rules of the model: each makes one visit after the other, with its ways between them."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from millhand.solvers.cycle.deadline import ask
from millhand.solvers.cycle.lots.makespan_in_hand import InHand, add_held, exchanges, in_hand, is_slower_loaded
from millhand.solvers.cycle.lots.makespan_lots import Hop, Way
from millhand.solvers.cycle.lots.makespan_model import Draft, carries_in, carries_out
from millhand.solvers.cycle.lots.makespan_plan import Visit
from millhand.solvers.cycle.view import Mover

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr

Follows = dict[tuple[Visit, Visit | None], "list[IntVar]"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """A visit that an attendant may make: whether, from when, until when, between which places, and its lead."""

    visit: Visit
    made: "IntVar"
    begins: "LinearExpr | int"
    ends: "LinearExpr | int"
    place_in: str | None
    place_out: str | None
    station: str
    lead: "LinearExpr | int" = 0
    needs_hands: int = 0  # so many are empty meanwhile
    goal: str = ""  # the station at which a part is set down


def add_tours(draft: Draft) -> dict[str, Follows]:
    """The tours of all attendants that share no track; for each pair of visits the questions whether the one directly
    follows the other."""
    alone = {who: mover for who, mover in draft.lots.view.movers.items() if who not in draft.lots.sharing}
    return {who: add_tour(draft, mover) for who, mover in alone.items()}


def calls_of(draft: Draft, mover: Mover) -> list[Call]:
    """Everything that an attendant may do: with one hand whole transfers, with more hands lifts and set-downs."""
    found: list[Call] = []
    for hop in draft.lots.hops():
        ways = [way for way in draft.lots.ways_of(hop) if way.who == mover.id]
        if mover.hands == 1:
            found += [carry_call(draft, hop, way) for way in ways]
            continue
        found += [end_call(draft, hop, (mover.id, name), "pick") for name in dict.fromkeys(way.start for way in ways)]
        found += [end_call(draft, hop, (mover.id, name), "place") for name in dict.fromkeys(way.goal for way in ways)]
    for change in draft.changes:
        if mover.id in change.who:
            found.append(
                Call(
                    visit=Visit(kind="change", hop=(change.number, 0)),
                    made=change.who[mover.id],
                    begins=change.start,
                    ends=change.start + change.set_up.takes_steps,
                    place_in=change.set_up.place,
                    place_out=change.set_up.place,
                    station=change.spot[2],
                    needs_hands=change.set_up.needs_hands,
                )
            )
    return found


def carry_call(draft: Draft, hop: Hop, way: Way) -> Call:
    """A whole transfer by one way."""
    lots = draft.lots
    return Call(
        visit=Visit(kind="carry", hop=hop),
        made=draft.way[hop, way],
        begins=draft.time[hop, "lift"],
        ends=free_after(draft, hop, way.goal),
        place_in=lots.view.places[way.start],
        place_out=lots.view.places[way.goal],
        station=way.start,
        lead=lots.phase(way.who, way.start, hop[0], "pick").arrival_lead_steps,
        goal=way.goal,
    )


def free_after(draft: Draft, hop: Hop, station: str) -> "LinearExpr | int":
    """When the attendant may go after a set-down: at an attended station when the work is over; of a load of several
    parts whoever completes it stays."""
    j, step = hop[0], hop[1] + 1
    if station not in draft.lots.view.attended or (j, step) not in draft.start:
        return draft.time[hop, "placed"]
    over = draft.start[j, step] + draft.lots.work_steps(j, step, station)
    if draft.lots.batch(station) == 1:
        return over
    last, gone = draft.loads.last.get((j, step, station)), draft.instant(f"gone after {hop} {station}")
    if last is None:  # no whole load with this part is possible here
        return draft.time[hop, "placed"]
    draft.model.add(gone == over).only_enforce_if(last)
    draft.model.add(gone == draft.time[hop, "placed"]).only_enforce_if(~last)
    return gone


def end_call(draft: Draft, hop: Hop, at: tuple[str, str], kind: str) -> Call:
    """One end of a transfer at one station; an exchange has a lead of its own."""
    (who, station), lots = at, draft.lots
    lifting = kind == "pick"
    made = carries_out(draft, hop, who, station) if lifting else carries_in(draft, hop, who, station)
    lead: LinearExpr | int = lots.phase(who, station, hop[0], kind).arrival_lead_steps
    if lifting and hop in draft.out_by_swap:
        other = lots.phase(who, station, hop[0], "swap").arrival_lead_steps
        plain = lots.phase(who, station, hop[0], kind).arrival_lead_steps
        lead = plain + (other - plain) * draft.out_by_swap[hop]
    return Call(
        visit=Visit(kind="pick" if lifting else "place", hop=hop),
        made=made,
        begins=draft.time[hop, "lift" if lifting else "set"],
        ends=draft.time[hop, "lifted"] if lifting else free_after(draft, hop, station),
        place_in=lots.view.places[station],
        place_out=lots.view.places[station],
        station=station,
        lead=lead,
        goal="" if lifting else station,
    )


def add_tour(draft: Draft, mover: Mover) -> Follows:
    """One attendant: a round through home and all its visits."""
    calls = calls_of(draft, mover)
    follows: Follows = {}
    arcs: list[tuple[int, int, IntVar]] = []
    idle = draft.yes(f"{mover.id} idle")
    arcs.append((0, 0, idle))
    held = in_hand(draft, mover, calls)
    for number, call in enumerate(calls, start=1):
        first, last = draft.yes(f"{mover.id} first {number}"), draft.yes(f"{mover.id} last {number}")
        follows.setdefault((call.visit, None), []).append(first)
        arcs += [(0, number, first), (number, 0, last)]
        arcs.append((number, number, ~call.made))  # type: ignore[arg-type]
        add_first(draft, mover, call, first)
        add_held(draft, (None, call), held, first)
    for a, one in enumerate(calls, start=1):
        for b, other in enumerate(calls, start=1):
            ask(draft.deadline)
            if a == b or never_next(one, other) or is_impossible(draft, mover, (one, other)):
                continue
            for lit in add_next(draft, mover, (one, other), held):
                arcs.append((a, b, lit))
                follows.setdefault((other.visit, one.visit), []).append(lit)
    draft.model.add_circuit(arcs)
    add_alone(draft, mover, calls)
    return follows


def never_next(one: Call, other: Call) -> bool:
    """Visits that cannot follow each other directly: two ways of one transfer, a part's later transfer before an
    earlier one, a set-down before its lift."""
    a, b = one.visit, other.visit
    if "change" in (a.kind, b.kind):
        return False
    if a.hop == b.hop:
        return (a.kind, b.kind) != ("pick", "place")
    return a.hop[0] == b.hop[0] and a.hop[1] > b.hop[1]


def is_impossible(draft: Draft, mover: Mover, pair: tuple[Call, Call]) -> bool:
    """Visits that cannot follow each other directly, though where handling takes no time the moments would allow it."""
    return is_in_the_way(draft, mover, pair) or is_out_of_turn(draft, pair)


def is_out_of_turn(draft: Draft, pair: tuple[Call, Call]) -> bool:
    """Whether the part that is lifted next comes out of the supply before the one that was just lifted there."""
    (one, other), pieces = pair, draft.lots.pieces
    kinds, hops = {one.visit.kind, other.visit.kind}, (one.visit.hop, other.visit.hop)
    if not kinds <= {"carry", "pick"} or hops[0][1] or hops[1][1] or one.station != other.station:
        return False
    last, new = (pieces[hop[0]] for hop in hops)
    if last.turn != new.turn:
        return new.turn < last.turn
    plain = all(max(draft.lots.sizes(hops[0][0], step)) == 1 for step in range(len(draft.lots.route(hops[0][0]))))
    return plain and new.number < last.number


def is_in_the_way(draft: Draft, mover: Mover, pair: tuple[Call, Call]) -> bool:
    """Whether a part would be set down where the one to be lifted next still lies. Where handling takes no time, the
    moments alone would allow it: both would be there, and not there, at the same one."""
    one, other = pair
    (part, step), (old, out) = one.visit.hop, other.visit.hop
    lots, station = draft.lots, one.goal
    if other.visit.kind not in ("carry", "pick") or station != other.station or part == old:
        return False
    if not lots.holds_one_load(station) or lots.batch(station) > 1:
        return False
    goes = {way.who for way in lots.ways_of((part, step + 1)) if way.start == station}
    comes = {way.who for way in lots.ways_of((old, out - 1)) if way.goal == station}
    return goes == {mover.id} or comes == {mover.id}


def steps_for_the_place(draft: Draft, pair: tuple[Call, Call]) -> int:
    """The least time from one set-down to the next lift at the same machine by one hand, if another part is lifted:
    the first one was worked on and taken away by somebody else, and the other one came and was worked on.

    Where handling takes no time, nothing else says that the other one did not lie there all along.
    """
    (one, other), lots = pair, draft.lots
    (part, step), (old, out), station = one.visit.hop, other.visit.hop, one.goal
    if (one.visit.kind, other.visit.kind) != ("carry", "carry") or station != other.station or part == old:
        return 0
    if not lots.works(station) or lots.room(station) != 1 or lots.batch(station) > 1:
        return 0
    first = 0 if station in lots.view.attended else lots.work_steps(part, step + 1, station)  # over when one may go
    return first + lots.work_steps(old, out, station)


def add_first(draft: Draft, mover: Mover, call: Call, lit: "IntVar") -> None:
    """The first visit comes no sooner than the way from home."""
    way = mover.travel_steps(draft.lots.home[mover.id], call.place_in, loaded=False)
    if way is None:
        draft.model.add(lit == 0)
    else:
        draft.model.add(call.begins >= way + call.lead).only_enforce_if(lit)


def add_next(draft: Draft, mover: Mover, pair: tuple[Call, Call], held: InHand) -> "Iterator[IntVar]":
    """The questions whether one visit directly follows another: as an exchange, going empty, carrying."""
    one, other = pair
    exchange = exchange_of(draft, mover, pair)
    if exchange is not None:
        add_held(draft, pair, held, exchange)
        yield exchange
    kinds = (one.visit.kind, other.visit.kind)
    several, place = mover.hands > 1 and is_slower_loaded(mover), steps_for_the_place(draft, pair)
    for loaded in loads_between(kinds, several=several):
        way = mover.travel_steps(one.place_out, other.place_in, loaded=loaded)
        if way is None:
            continue
        lit = draft.yes(f"{mover.id} {other.visit} after {one.visit} {loaded}")
        lag = way + other.lead + turn_between(draft, mover, pair)
        draft.model.add(other.begins >= one.ends + lag).only_enforce_if(lit)
        if place:
            draft.model.add(other.begins >= one.ends + place).only_enforce_if(lit)
        add_held(draft, pair, held, lit)
        if several:
            draft.model.add(held.parts[one.visit] >= 1 if loaded else held.parts[one.visit] == 0).only_enforce_if(lit)
        yield lit


def exchange_of(draft: Draft, mover: Mover, pair: tuple[Call, Call]) -> "IntVar | None":
    """Whether a lift and a set-down are an exchange; None where they cannot be one."""
    one, other = pair
    if (one.visit.kind, other.visit.kind) != ("pick", "place") or one.station != other.station:
        return None
    return draft.swap.get((one.visit.hop, other.visit.hop, mover.id, one.station))


def turn_between(draft: Draft, mover: Mover, pair: tuple[Call, Call]) -> int:
    """The turn to the other hand, from a lift to a set-down at the same station."""
    one, other = pair
    turns = (one.visit.kind, other.visit.kind) == ("pick", "place") and one.station == other.station
    return draft.lots.turn_steps(mover, other.station) if turns else 0


def loads_between(kinds: tuple[str, str], *, several: bool) -> tuple[bool, ...]:
    """Whether the attendant carries something between two visits; both where that is open."""
    if not several:
        return ("pick" in kinds[:1] or "place" in kinds[1:],)
    if kinds[0] == "pick" or kinds[1] == "place":
        return (True,)
    return (False, True)


def add_alone(draft: Draft, mover: Mover, calls: list[Call]) -> None:
    """One attendant does one thing at a time, and has no more parts in hand than hands, and none in those that a
    changeover needs; raw ones leave one hand free where it exchanges."""
    model, lots = draft.model, draft.lots
    alone, in_hand, raw = [], [], []
    if mover.hands == 1:
        for call in calls:
            size = draft.instant(f"busy {call.visit}")
            alone.append(model.new_optional_interval_var(call.begins, size, call.ends, call.made, f"{call.visit}"))
        model.add_no_overlap(alone)
        return
    for hop in lots.hops():
        ways = [draft.way[hop, way] for way in lots.ways_of(hop) if way.who == mover.id]
        if not ways:
            continue
        carries = draft.yes(f"{mover.id} carries {hop}")
        model.add(sum(ways) == carries)
        carried = model.new_optional_interval_var(
            draft.time[hop, "lift"], draft.instant(f"in hand {hop}"), draft.time[hop, "placed"], carries, f"hand {hop}"
        )
        in_hand.append(carried)
        if hop[1] == 0:
            raw.append(carried)
    empty = [call for call in calls if call.needs_hands]
    kept = [
        model.new_optional_interval_var(call.begins, draft.instant(f"for {call.visit}"), call.ends, call.made, "hands")
        for call in empty
    ]
    taken = [*([1] * len(in_hand)), *(call.needs_hands for call in empty)]
    model.add_cumulative([*in_hand, *kept], taken, mover.hands)
    if exchanges(lots, mover.id):
        model.add_cumulative(raw, [1] * len(raw), mover.hands - 1)

"""The arcs of a plan for lots that attendants ask for: holds, carrying, and one visit after another."""

from collections.abc import Iterator
from itertools import pairwise

from millhand.model.schedule import Arc
from millhand.solvers.cycle.lots.makespan_loads import completes
from millhand.solvers.cycle.lots.makespan_lots import Hop
from millhand.solvers.cycle.lots.makespan_plan import Visit, lift_phase, set_phase, turn_steps
from millhand.solvers.cycle.lots.makespan_stations import Named, both, waits
from millhand.solvers.cycle.view import Mover


def visit_arcs(names: Named) -> Iterator[Arc]:
    """All arcs of the attendants."""
    for hop in names.plan.carried:
        yield from carry_arcs(names, hop)
    for who, order in names.plan.orders.items():
        if who not in names.lots.sharing:
            yield from order_arcs(names, who, order)


def carry_arcs(names: Named, hop: Hop) -> Iterator[Arc]:
    """Lift and set-down take their time; with one hand nobody waits with the part in it."""
    lots, plan = names.lots, names.plan
    way = plan.carried[hop].way
    why = way.who or way.goal
    lift, lifted, sets, placed = (names.event(hop, what) for what in ("lift", "lifted", "set", "placed"))
    picks, places = lift_phase(lots, plan, hop), set_phase(lots, plan, hop)
    turn = turn_steps(lots, way)
    yield from both(lift, lifted, picks.hold_steps + (turn if hop in plan.swaps else 0), why)
    yield from both(sets, placed, places.hold_steps + (turn if hop in plan.swapped_in() else 0), why)
    lag = lots.carry_steps(way) + places.arrival_lead_steps
    mover = lots.mover(way)
    if mover is None or mover.hands == 1:
        yield from both(lifted, sets, lag, why)
    else:
        yield waits(lifted, sets, lag, why)


def order_arcs(names: Named, who: str, order: tuple[Visit, ...]) -> Iterator[Arc]:
    """From home to the first visit, and from each to the next."""
    lots = names.lots
    held = 0
    mover = lots.view.movers[who]
    if order:
        way = mover.travel_steps(lots.home[who], place_in(names, order[0]), loaded=False) or 0
        yield waits(names.home(who), event_in(names, order[0]), way + lead_in(names, order[0]), who)
    for one, other in pairwise(order):
        held += {"pick": 1, "place": -1}.get(one.kind, 0)
        if names.plan.swaps.get(one.hop) == other.hop and (one.kind, other.kind) == ("pick", "place"):
            continue
        ends = (place_out(names, one), place_in(names, other))
        lag = (mover.travel_steps(*ends, loaded=held > 0) or 0) + lead_in(names, other)
        lag += to_the_other_hand(names, mover, (one, other))
        yield waits(event_out(names, one), event_in(names, other), lag, who)


def to_the_other_hand(names: Named, mover: Mover, pair: tuple[Visit, Visit]) -> int:
    """The turn after a lift, where a part is set down at the same station with the other hand, or turned in the first
    one; otherwise nothing."""
    one, other = pair
    if (one.kind, other.kind) != ("pick", "place"):
        return 0
    goal = names.plan.carried[other.hop].way.goal
    return names.lots.turn_steps(mover, goal) if names.plan.carried[one.hop].way.start == goal else 0


def event_in(names: Named, visit: Visit) -> str:
    """The event with which a visit begins."""
    if visit.kind == "change":
        return names.change(visit.hop[0], "start")
    return names.event(visit.hop, "set" if visit.kind == "place" else "lift")


def event_out(names: Named, visit: Visit) -> str:
    """The event after which the attendant may go: at an attended station, its load complete, the end of the work."""
    if visit.kind == "change":
        return names.change(visit.hop[0], "finish")
    if visit.kind == "pick":
        return names.event(visit.hop, "lifted")
    carried = names.plan.carried
    stays = carried[visit.hop].way.goal in names.lots.view.attended and completes(names.lots, names.plan, visit.hop)
    return names.event(visit.hop, "finish" if stays else "placed")


def place_in(names: Named, visit: Visit) -> str | None:
    """Where a visit begins."""
    if visit.kind == "change":
        return names.plan.changes[visit.hop[0]].set_up.place
    way = names.plan.carried[visit.hop].way
    return names.lots.view.places[way.goal if visit.kind == "place" else way.start]


def place_out(names: Named, visit: Visit) -> str | None:
    """Where a visit ends."""
    if visit.kind == "change":
        return names.plan.changes[visit.hop[0]].set_up.place
    way = names.plan.carried[visit.hop].way
    return names.lots.view.places[way.start if visit.kind == "pick" else way.goal]


def lead_in(names: Named, visit: Visit) -> int:
    """The lead that begins when the attendant arrives."""
    if visit.kind == "change":
        return 0
    phase = set_phase if visit.kind == "place" else lift_phase
    return phase(names.lots, names.plan, visit.hop).arrival_lead_steps

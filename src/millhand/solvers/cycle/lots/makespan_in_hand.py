"""How many parts an attendant of lots has in hand, visit after visit.

Hands are counted over times elsewhere, where what is held for no time at all does not count. So where a part may be
lifted and set down at one moment, parts are counted along the order of the visits too: in all hands, and of those just
taken from a supply, which leave one hand free where the attendant exchanges (rule 9 of cell files).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, Way
from millhand.solvers.cycle.lots.makespan_model import Draft
from millhand.solvers.cycle.lots.makespan_plan import Plan, Visit
from millhand.solvers.cycle.view import Mover

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr

    from millhand.solvers.cycle.lots.makespan_tours import Call

MORE = {"pick": 1, "place": -1}  # in hand after a visit


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand:
    """How many parts are in hand after each visit, and how many of these were just taken from a supply; empty where
    that is not asked."""

    parts: "Mapping[Visit, IntVar]" = field(default_factory=dict)
    raw: "Mapping[Visit, IntVar]" = field(default_factory=dict)


def in_hand(draft: Draft, mover: Mover, calls: "list[Call]") -> InHand:
    """The parts in hand: asked only where carrying takes another time than going empty, where a changeover needs hands
    for itself, for the order of what happens at one moment, and where a part may be in hand for no time."""
    if mover.hands == 1:
        return InHand()
    lots, model = draft.lots, draft.model
    instant = [hop for hop in lots.hops() if any(is_instant(lots, way, hop) for way in own_ways(lots, mover, hop))]
    asked = is_slower_loaded(mover) or any(call.needs_hands for call in calls) or bool(draft.ranks or instant)
    parts = {call.visit: model.new_int_var(0, mover.hands - call.needs_hands, f"held {call.visit}") for call in calls}
    most = mover.hands - 1
    raw = {call.visit: model.new_int_var(0, most, f"raw {call.visit}") for call in calls}
    kept = exchanges(lots, mover.id) and any(hop[1] == 0 for hop in instant)
    return InHand(parts=parts if asked else {}, raw=raw if kept else {})


def own_ways(lots: Lots, mover: Mover, hop: Hop) -> list[Way]:
    """The ways of a transfer by one attendant."""
    return [way for way in lots.ways_of(hop) if way.who == mover.id]


def is_instant(lots: Lots, way: Way, hop: Hop) -> bool:
    """Whether a part may be lifted, carried and set down in no time."""
    ends = ((way.start, ("pick", "swap")), (way.goal, ("place", "swap")))
    return lots.carry_steps(way) == 0 and all(
        any(
            lots.can(way.who or "", station, hop[0], kind)
            and lots.phase(way.who, station, hop[0], kind).hold_steps == 0
            for kind in kinds
        )
        for station, kinds in ends
    )


def exchanges(lots: Lots, who: str) -> bool:
    """Whether an attendant exchanges parts somewhere."""
    return any(each == who and kind == "swap" for each, _, _, kind in lots.view.phases)


def is_slower_loaded(mover: Mover) -> bool:
    """Whether carrying takes another time than going empty."""
    return mover.empty_steps != mover.loaded_steps


def add_held(draft: Draft, pair: "tuple[Call | None, Call]", held: InHand, lit: "IntVar") -> None:
    """One part more in hand after a lift, one fewer after a set-down."""
    one, visit = pair[0], pair[1].visit
    more = MORE.get(visit.kind, 0)
    for table, change in ((held.parts, more), (held.raw, more if visit.hop[1] == 0 else 0)):
        if table:
            before: LinearExpr | int = 0 if one is None else table[one.visit]
            draft.model.add(table[visit] == before + change).only_enforce_if(lit)


def keeps_a_hand(lots: Lots, plan: Plan) -> bool:
    """Whether everybody who exchanges has a hand free of parts just taken from a supply, all through a plan."""
    for who, order in plan.orders.items():
        raw, most = 0, lots.view.movers[who].hands - 1
        if most == 0 or not exchanges(lots, who):
            continue
        for visit in order:
            raw += MORE.get(visit.kind, 0) if visit.hop[1] == 0 else 0
            if raw > most:
                return False
    return True

"""A first plan for arms that share a track: each keeps to its own stretch of it, or one of them does everything while
the others stand at home out of its way."""

from dataclasses import replace
from itertools import combinations
from math import ceil

from millhand.solvers.cycle.deadline import Deadline
from millhand.solvers.cycle.lots.makespan_graph import timed
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_plan import Plan
from millhand.solvers.cycle.lots.makespan_rails import MM_IN_M, position_mm


def separate_plan(lots: Lots, deadline: Deadline | None = None) -> Plan | None:
    """The best simple plan in which nobody gets into another's way, as where only one of those who share a track moves;
    None where none was found."""
    free = first_plan(replace(lots, sharing=frozenset()), deadline)
    made = [free if free is not None and is_sound(lots, free) else None]
    made += [plan_by(lots, who, deadline) for who in sorted(lots.sharing)]
    return min((plan for plan in made if plan is not None), key=lambda plan: plan.end, default=None)


def is_sound(lots: Lots, plan: Plan) -> bool:
    """Whether a plan that was made without a look at the track can be done on it as it is."""
    return kept_apart(lots, plan) and timed(lots, plan).possible


def plan_by(lots: Lots, who: str, deadline: Deadline | None = None) -> Plan | None:
    """The plan of one of them; the others must be out of the way of every place that it goes to."""
    idle = lots.sharing - {who}
    ways = {step: tuple(way for way in each if way.who not in idle) for step, each in lots.ways.items()}
    if not all(ways.values()):
        return None
    set_ups = {
        key: replace(each, who=tuple(x for x in each.who if x not in idle)) for key, each in lots.set_ups.items()
    }
    if not all(each.who for each in set_ups.values()):
        return None
    plan = first_plan(replace(lots, ways=ways, set_ups=set_ups, sharing=frozenset()), deadline)
    return plan if plan is not None and is_sound(lots, plan) else None


def kept_apart(lots: Lots, plan: Plan) -> bool:
    """Whether all that each attendant touches lies beyond what those before it on the track touch, with their
    distance."""
    for track in lots.cell.tracks.values():
        keep = ceil(track.keep_m * MM_IN_M) if track.rule == "apart" else 1
        spans = [touched_mm(lots, plan, who) for who in track.attendants]
        for (low, one), (high, other) in combinations(enumerate(spans), 2):
            if max(one) + keep * (high - low) > min(other):
                return False
    return True


def touched_mm(lots: Lots, plan: Plan, who: str) -> list[int]:
    """Where an attendant comes to on its track: its home, and the places of all its visits."""
    found = [position_mm(lots, lots.home[who])]
    for each in plan.carried.values():
        if each.way.who == who:
            found += [position_mm(lots, lots.view.places[name]) for name in (each.way.start, each.way.goal)]
    return found + [position_mm(lots, each.set_up.place) for each in plan.changes if each.who == who]

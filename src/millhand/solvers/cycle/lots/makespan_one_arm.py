"""A first plan for arms that share a track: one of them does everything, the others stand at home out of its way."""

from dataclasses import replace
from math import ceil

from millhand.solvers.cycle.deadline import Deadline
from millhand.solvers.cycle.lots.makespan_graph import timed
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_plan import Plan
from millhand.solvers.cycle.lots.makespan_rails import MM_IN_M, position_mm


def one_arm_plan(lots: Lots, deadline: Deadline | None = None) -> Plan | None:
    """The best simple plan in which only one of those who share a track moves; None where nobody can do it all."""
    made = [plan for who in sorted(lots.sharing) if (plan := plan_by(lots, who, deadline)) is not None]
    return min(made, key=lambda plan: plan.end, default=None)


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
    if plan is None or not out_of_the_way(lots, who, plan):
        return None
    return plan if timed(lots, plan).possible else None


def out_of_the_way(lots: Lots, who: str, plan: Plan) -> bool:
    """Whether the homes of all others on the track lie beyond what this one touches, with their distance."""
    touched = [position_mm(lots, lots.home[who])]
    for each in plan.carried.values():
        if each.way.who == who:
            touched += [position_mm(lots, lots.view.places[name]) for name in (each.way.start, each.way.goal)]
    touched += [position_mm(lots, each.set_up.place) for each in plan.changes if each.who == who]
    for track in lots.cell.tracks.values():
        if who not in track.attendants:
            continue
        keep = ceil(track.keep_m * MM_IN_M) if track.rule == "apart" else 1
        own = track.attendants.index(who)
        for index, other in enumerate(track.attendants):
            home = position_mm(lots, lots.home[other])
            if index > own and max(touched) + keep * (index - own) > home:
                return False
            if index < own and home + keep * (own - index) > min(touched):
                return False
    return True

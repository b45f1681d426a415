"""Long lots: a plan is made better piece by piece, each time with some transfers planned anew and the others kept.

A window takes the transfers that begin near each other in time. Those outside it keep their ways and their order, not
their times, so what is won in the window moves all that comes after it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from millhand.solvers.cycle.makespan_graph import retimed, timed
from millhand.solvers.cycle.makespan_lots import Hop, Lots
from millhand.solvers.cycle.makespan_model import Draft, KeptOrder, draft_of
from millhand.solvers.cycle.makespan_plan import Plan, Visit
from millhand.solvers.cycle.makespan_rooms import add_rooms
from millhand.solvers.cycle.makespan_solve import Effort, plan_of, set_effort
from millhand.solvers.cycle.makespan_tours import add_tours

MANY = 40  # transfers from which on windows come before the search over all plans
SIZE = 14  # transfers of one window
EACH_S = 1.5  # for one window, wall seconds or the search's own
BUILD = 0.5  # of a window's own time goes into its model at least


def by_windows(lots: Lots) -> bool:
    """Whether windows are worth while: many transfers, and hands that cannot exchange, as exchanges make the model of
    each window too large."""
    one_hand = all(mover.hands == 1 for mover in lots.view.movers.values())
    return one_hand and not lots.sharing and sum(1 for _ in lots.hops()) >= MANY


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What one window gave: a better plan or none, and what it took."""

    plan: Plan | None
    took: float


def better_by_windows(lots: Lots, plan: Plan, effort: Effort, least: int) -> Plan:
    """The plan after windows over all of it, until the effort is used up or a whole round wins nothing."""
    left = effort.seconds if effort.seconds is not None else effort.deterministic
    best, size = plan, SIZE
    while left is None or left > 0:
        before = best.end
        for number in range(2 * len(best.carried) // size + 1):
            hops = window(best, number * size // 2, size)
            if not hops or best.end <= least:
                break
            tried = replanned(lots, best, hops, effort)
            best = best if tried.plan is None else tried.plan
            if effort.tell is not None:
                effort.tell(best.end, least)
            left = None if left is None else left - tried.took
            if left is not None and left <= 0:
                return best
        if best.end == before or best.end <= least:
            return best
    return best


def window(plan: Plan, first: int, size: int) -> frozenset[Hop]:
    """So many transfers, in the order in which they begin."""
    hops = sorted(plan.carried, key=lambda hop: (plan.carried[hop].lift, hop))
    return frozenset(hops[first : first + size])


def replanned(lots: Lots, plan: Plan, hops: frozenset[Hop], effort: Effort) -> Tried:
    """The plan with some transfers planned anew."""
    from ortools.sat.python import cp_model

    draft = draft_of(lots, plan.end - 1)
    draft.kept = kept_order(plan, hops)
    add_rooms(draft)
    tours = add_tours(draft)
    keep_ways(draft, plan)
    solver = cp_model.CpSolver()
    set_effort(solver, limited(effort))
    status = solver.solve(draft.model)
    took = solver.wall_time if effort.seconds is not None else solver.response_proto.deterministic_time
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Tried(plan=None, took=took + BUILD)
    made = plan_of(draft, tours, solver)
    found = timed(lots, made)
    return Tried(plan=retimed(made, found, lots) if found.possible else None, took=took + BUILD)


def limited(effort: Effort) -> Effort:
    """The effort for one window."""
    if effort.seconds is not None:
        return replace(effort, seconds=min(EACH_S, effort.seconds))
    return replace(effort, deterministic=EACH_S)


def kept_order(plan: Plan, hops: frozenset[Hop]) -> KeptOrder:
    """Everything but these transfers as the plan has it."""
    following = {}
    for who, order in plan.orders.items():
        kept = [visit for visit in order if visit.kind != "change" and visit.hop not in hops]
        following[who] = dict(follows(kept))
    return KeptOrder(hops=frozenset(plan.carried) - hops, following=following)


def follows(kept: Sequence[Visit]) -> Iterator[tuple[Visit, Visit | None]]:
    """Each visit with the next one."""
    yield from pairwise(kept)
    if kept:
        yield kept[-1], None


def keep_ways(draft: Draft, plan: Plan) -> None:
    """The kept transfers take the ways that they have, and are exchanged for the same parts or not at all."""
    assert draft.kept is not None
    kept, model = draft.kept.hops, draft.model
    for (hop, way), lit in draft.way.items():
        if hop in kept:
            model.add(lit == int(plan.carried[hop].way == way))
    for (out, new, who, station), lit in draft.swap.items():
        if {out, new} <= kept:
            here = plan.carried[new].way
            model.add(lit == int(plan.swaps.get(out) == new and (here.who, here.goal) == (who, station)))

"""The shortest makespan of attendants that share a track: visits first, then their motions, until nothing is left.

The search for visits alone gives a bound that holds for every plan. Its orders get their motions, worked out exactly;
where these need no longer than the bound, the plan is proven to be the shortest. Otherwise these orders are left out,
and the next best ones are looked for, as long as they promise less than the best plan that has been found.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import permutations
from math import ceil
from typing import TYPE_CHECKING

from millhand.solvers.cycle.deadline import TimeUp, is_over, part
from millhand.solvers.cycle.lots.makespan_graph import goes_round, timed
from millhand.solvers.cycle.lots.makespan_in_hand import is_slower_loaded
from millhand.solvers.cycle.lots.makespan_lots import Lots
from millhand.solvers.cycle.lots.makespan_model import Draft, draft_of
from millhand.solvers.cycle.lots.makespan_moments import add_moments, add_ranks
from millhand.solvers.cycle.lots.makespan_motions import add_motions, with_asides
from millhand.solvers.cycle.lots.makespan_order import add_order
from millhand.solvers.cycle.lots.makespan_passing import lots_rail
from millhand.solvers.cycle.lots.makespan_plan import Plan, Visit
from millhand.solvers.cycle.lots.makespan_rooms import add_rooms
from millhand.solvers.cycle.lots.makespan_solve import Effort, add_hints, plan_of, set_effort
from millhand.solvers.cycle.lots.makespan_tours import Follows, add_tours
from millhand.solvers.cycle.lots.makespan_visiting import add_visiting, without_motions
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_gaps import Hand

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver, IntVar

Pair = tuple[Visit, Visit | None]  # a visit, and the one before it
ROUNDS = 8  # orders of visits that get their motions at most
ROUNDS_FOR_ONE = 16  # as long as there is no plan
TWICE = 4  # of these with two stops aside, where one is too few
FEW = 3  # transfers: of so few all orders are looked at, with two stops too
ALL = 60
SHARE = 0.25  # of what may be spent, for one search


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """The best plan, what no plan at all is shorter than, whether no order of visits is left that could be done sooner
    with one stop aside between two visits (two, where there is no plan), and whether more are of no use either."""

    plan: Plan | None
    least: int
    all_orders: bool = False
    all_stops: bool = False


def shared_plan(lots: Lots, effort: Effort, *, first: Plan | None, horizon: int, least: int) -> Shared:
    """The best plan for the lots; `first` is one that is known, `least` a bound that is known."""
    rail = lots_rail(lots)
    if rail is None or any(who not in lots.view.movers for who in rail.arms):
        return Shared(plan=first, least=least)
    if any(track.rule == "order" for track in rail.tracks):  # most plans stand out of each other's way; all may pass
        effort = replace(effort, deterministic=None if effort.deterministic is None else effort.deterministic / 2)
        own = replace(effort, deadline=part(effort.deadline, 0.5))
        first = rounds(lots, rail, own, (Shared(plan=first, least=least), horizon), Hand()).plan
        if first is not None and first.end <= least:
            return Shared(plan=first, least=least)
    known = Shared(plan=first, least=least)
    return rounds(lots, rail, effort, (known, horizon), Hand(in_motion=True))


def rounds(lots: Lots, rail: Rail, effort: Effort, known_in: tuple[Shared, int], hand: Hand) -> Shared:
    """Orders of visits and their motions, round after round; `hand` says what visits on the track ask of each other."""
    (first, least), horizon = (known_in[0].plan, known_in[0].least), known_in[1]
    best, done, sure, spent = first, list[Plan](), True, 0.0
    try:
        draft, tours = visits(
            (without_motions(lots, rail), hand), rail, replace(effort, deadline=part(effort.deadline, 0.5)), horizon
        )
        asked = {(who, pair): either(draft, lits) for who, tour in tours.items() for pair, lits in tour.items()}
    except TimeUp:
        return Shared(plan=first, least=least)
    draft.model.add(draft.end >= least)
    most, twice = (ALL, ALL) if sum(1 for _ in lots.hops()) <= FEW else (ROUNDS_FOR_ONE, TWICE)
    for number in range(most):
        if number >= ROUNDS and best is not None:
            break
        until = horizon if best is None else best.end - 1
        own = replace(
            effort, tell=None, deadline=part(effort.deadline, SHARE), deterministic=left_of(effort, spent)
        )  # fmt: skip
        try:
            draft.model.add(draft.end <= until)
            leave_out(draft, asked, done[-1:])
            solver, status = run(draft, own)
            if status == "impossible":
                whole = not done or (sure and one_stop_does(lots, rail))
                return Shared(plan=best, least=best.end if best and whole else least, all_orders=sure, all_stops=whole)
            least = max(least, bound_of(solver)) if number == 0 else least
            if status == "nothing":
                break
            done.append(plan_of(draft, tours, solver))
            made, known = moved(lots, rail, own, (done[-1], until), several=best is None and number < twice)
            known = known and (best is not None or number < twice)
        except TimeUp:
            break
        best, sure, spent = made or best, sure and known, spent + solver.response_proto.deterministic_time
        if (best is not None and best.end <= least) or is_over(effort.deadline) or left_of(effort, spent) == 0.0:
            break
    return Shared(plan=best, least=least)


def bound_of(solver: "CpSolver") -> int:
    """What no solution is less than."""
    return ceil(solver.best_objective_bound - 1e-6)


def left_of(effort: Effort, spent: float) -> float | None:
    """The deterministic time for the next search, of what is left after the visits' searches; None: no such limit."""
    if effort.deterministic is None:
        return None
    return max(0.0, min(effort.deterministic * SHARE, effort.deterministic - spent))


def one_stop_does(lots: Lots, rail: Rail) -> bool:
    """Whether several stops aside between two visits never serve where one does not.

    With two on a track who is lower can only be too high. Of all its stops take the lowest one: who goes there at once,
    and from there at last, is never higher than on the way by the others, where no way is longer than by a stop, and a
    short one is at no higher a speed than a long one in the same direction.
    """
    if any(len(track.arms) > 2 or track.rule == "order" for track in rail.tracks):
        return False
    movers = [lots.view.movers[who] for who in rail.arms]
    if any(mover.hands > 1 and is_slower_loaded(mover) for mover in movers):
        return False
    return all(is_straight(rail, (mover.id, way)) for mover in movers for way in permutations(mover.rows, 3))


def is_straight(rail: Rail, of: tuple[str, tuple[str, ...]]) -> bool:
    """Whether a way is no longer than by the place in the middle, and where that lies on it no slower than either."""
    who, (start, stop, goal) = of
    first, last, whole = (rail.steps(who, way, False) for way in ((start, stop), (stop, goal), (start, goal)))
    if first is None or last is None or whole is None or whole > first + last:
        return False
    a, b, c = (rail.at_m[place] for place in (start, stop, goal))
    if not min(a, c) <= b <= max(a, c):
        return True
    return first * abs(c - a) >= whole * abs(b - a) and last * abs(c - a) >= whole * abs(c - b)


def visits(asked: tuple[Lots, Hand], rail: Rail, effort: Effort, horizon: int) -> tuple[Draft, Mapping[str, Follows]]:
    """The model of the visits, with what those on a track ask of each other at least."""
    draft = draft_of(asked[0], horizon, effort.deadline)
    add_order(draft)
    add_rooms(draft)
    tours = add_tours(draft)
    add_visiting(draft, rail, asked[1])
    return draft, tours


def leave_out(draft: Draft, asked: "Mapping[tuple[str, Pair], IntVar]", done: list[Plan]) -> None:
    """None of the orders that have got their motions by now."""
    for plan in done:
        meant = [draft.way[hop, each.way] for hop, each in plan.carried.items()]
        for who, order in plan.orders.items():
            meant += [asked[who, pair] for pair in zip(order, (None, *order), strict=False)]
        meant += [lit for (out, new, *_), lit in draft.swap.items() if plan.swaps.get(out) == new]
        draft.model.add_bool_or(~lit for lit in meant)


def either(draft: Draft, lits: "list[IntVar]") -> "IntVar":
    """Whether one of some questions is answered with yes."""
    if len(lits) == 1:
        return lits[0]
    lit = draft.yes("either")
    draft.model.add(sum(lits) == lit)
    return lit


def moved(
    lots: Lots, rail: Rail, effort: Effort, plan_in: tuple[Plan, int], *, several: bool
) -> tuple[Plan | None, bool]:
    """A plan with the same orders and all its motions, done by so late, where one was found; and whether none is
    shorter. `several`: with two stops aside too, where one is too few."""
    if any(visit.kind == "change" for who in rail.arms for visit in plan_in[0].orders.get(who, ())):
        return None, False
    for twice in (False, True) if several and not one_stop_does(lots, rail) else (False,):
        found, known = moving(lots, rail, effort, plan_in, several=twice)
        if found is not None and goes_round(timed(lots, found)):
            found, known = moving(lots, rail, effort, plan_in, ranked=True, several=twice)
        if found is not None or not known:
            break
    return found, known


def moving(
    lots: Lots,
    rail: Rail,
    effort: Effort,
    plan_in: tuple[Plan, int],
    *,
    ranked: bool = False,
    several: bool = False,
) -> tuple[Plan | None, bool]:
    """The same by one search; `ranked`: with an order of what happens at one moment; `several`: with two stops aside
    where one is too few."""
    plan, horizon = plan_in
    draft = draft_of(lots, horizon, effort.deadline)
    if ranked:
        add_ranks(draft)
    add_order(draft)
    add_rooms(draft)
    tours = add_tours(draft)
    if ranked:
        add_moments(draft, tours)
    for (hop, way), lit in draft.way.items():
        draft.model.add(lit == int(plan.carried[hop].way == way))
    for (out, new, *_), lit in draft.swap.items():
        draft.model.add(lit == int(plan.swaps.get(out) == new))
    asked = add_motions(draft, rail, plan, several=several)
    add_hints(draft, plan, tours)
    solver, status = run(draft, effort)
    if status != "found":
        return None, status == "impossible"
    found = plan_of(draft, tours, solver)
    found = replace(found, orders={**found.orders, **{who: plan.orders.get(who, ()) for who in lots.sharing}})
    return with_asides(found, asked, solver), found.end <= bound_of(solver)


def run(draft: Draft, effort: Effort) -> "tuple[CpSolver, str]":
    """The search: 'found', 'impossible' or, where time ran out, 'nothing'."""
    from ortools.sat.python.cp_model import FEASIBLE, INFEASIBLE, OPTIMAL, CpSolver

    solver = CpSolver()
    set_effort(solver, effort)
    status = solver.solve(draft.model)
    return solver, "found" if status in (OPTIMAL, FEASIBLE) else "impossible" if status == INFEASIBLE else "nothing"

"""The search for the shortest makespan: the model of the lots, a first plan to start from, and what the search says."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING, Literal

from millhand.errors import ToolError
from millhand.solvers.cycle.deadline import Deadline, TimeUp, within
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots
from millhand.solvers.cycle.lots.makespan_model import Draft, draft_of
from millhand.solvers.cycle.lots.makespan_moments import add_moments, add_ranks
from millhand.solvers.cycle.lots.makespan_order import add_order
from millhand.solvers.cycle.lots.makespan_plan import Carried, Changed, Mark, Plan, Visit
from millhand.solvers.cycle.lots.makespan_rails import add_rails
from millhand.solvers.cycle.lots.makespan_rooms import add_rooms
from millhand.solvers.cycle.lots.makespan_tours import Follows, add_tours

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver, CpSolverSolutionCallback

Ranked = Literal["no", "any", "kept"]
Tell = Callable[[int | None, int], None]  # the best makespan so far, None before there is one; the bound


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How long and with what the search may go on: until when by a clock, the search's own deterministic time, threads,
    seed. Without a deadline no clock is looked at."""

    deadline: Deadline | None
    deterministic: float | None
    workers: int
    seed: int
    tell: Tell | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """What the search found: a plan or none, the best bound, and whether nothing better or nothing at all exists."""

    plan: Plan | None
    least: int
    best: bool
    impossible: bool


def searched(
    lots: Lots,
    effort: Effort,
    *,
    first: Plan | None,
    horizon: int,
    least: int,
    ranked: Ranked = "no",
) -> Searched:
    """Search for the shortest plan; `first` is a plan to start from, `least` a bound that is known. `ranked`: with an
    order of what happens at one moment, of any plan, or of the first one with its ways and times kept."""
    from ortools.sat.python import cp_model

    try:
        draft = draft_of(lots, horizon, effort.deadline)
        if ranked != "no":
            add_ranks(draft)
        add_order(draft)
        add_rooms(draft)
        tours = add_tours(draft) | add_rails(draft)
        if ranked != "no":
            add_moments(draft, tours)
    except TimeUp:
        return Searched(plan=None, least=least, best=False, impossible=False)
    draft.model.add(draft.end >= least)
    if first is not None and ranked == "kept":
        keep(draft, first)
    elif first is not None:
        add_hints(draft, first, tours)
    solver = cp_model.CpSolver()
    set_effort(solver, effort)
    status = solver.solve(draft.model, told(solver, effort.tell, (None if first is None else first.end, least)))
    if status == cp_model.MODEL_INVALID:
        raise ToolError(f"the model of the lots is not valid: {draft.model.validate()[:200]}")
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Searched(
        plan=plan_of(draft, tours, solver) if found else None,
        least=max(least, ceil(solver.best_objective_bound - 1e-6)) if status != cp_model.INFEASIBLE else least,
        best=status == cp_model.OPTIMAL,
        impossible=status == cp_model.INFEASIBLE,
    )


def set_effort(solver: "CpSolver", effort: Effort) -> None:
    """Limits, threads and seed; with several threads and a deterministic limit they take turns, so that the same comes
    out each time."""
    seconds = within(None, effort.deadline)
    solver.parameters.catch_sigint_signal = seconds is not None  # without a clock an interrupt is our caller's
    if seconds is not None:
        solver.parameters.max_time_in_seconds = seconds
    if effort.deterministic is not None:
        solver.parameters.max_deterministic_time = effort.deterministic
        solver.parameters.interleave_search = effort.workers > 1
    solver.parameters.num_workers = effort.workers
    solver.parameters.random_seed = effort.seed


def told(solver: "CpSolver", tell: Tell | None, known: tuple[int | None, int]) -> "CpSolverSolutionCallback | None":
    """Something that tells each better makespan and each better bound; `known` is both before the search."""
    if tell is None:
        return None
    from ortools.sat.python.cp_model import CpSolverSolutionCallback

    hears, (made, least) = tell, known
    hears(made, least)

    class Teller(CpSolverSolutionCallback):
        """Tells every solution."""

        def on_solution_callback(self) -> None:
            """A better plan was found."""
            nonlocal made
            made = round(self.objective_value)
            bound(self.best_objective_bound)

    def bound(value: float) -> None:
        """A better bound, or a better plan beside it."""
        nonlocal least
        least = max(least, ceil(value - 1e-6))
        hears(made, least)

    solver.best_bound_callback = bound
    return Teller()


def plan_of(draft: Draft, tours: Mapping[str, Follows], solver: "CpSolver") -> Plan:
    """The decisions of a solution."""
    carried: dict[Hop, Carried] = {}
    for (hop, way), lit in draft.way.items():
        if solver.boolean_value(lit):
            times = {kind: solver.value(draft.time[hop, kind]) for kind in ("lift", "lifted", "set", "placed")}
            carried[hop] = Carried(way=way, **times)
    changes, numbers = changes_of(draft, solver)
    return Plan(
        carried=dict(sorted(carried.items())),
        orders={who: tuple(order_of(follows, solver, numbers)) for who, follows in tours.items()},
        swaps={out: new for (out, new, _, _), lit in draft.swap.items() if solver.boolean_value(lit)},
        changes=tuple(changes),
        parks={
            (who, numbered(visit, numbers)): draft.lots.home[who] or ""
            for who, visit, made, parked in draft.rails.parks
            if solver.boolean_value(made) and solver.boolean_value(parked)
        },
        apart=tuple(apart_of(draft, solver, numbers)),
        ranks={key: solver.value(rank) for key, rank in draft.ranks.items()},
    )


def apart_of(draft: Draft, solver: "CpSolver", numbers: Mapping[int, int]) -> Iterator[tuple[Mark, Mark]]:
    """Which stretch of a shared track is over before which other begins."""
    for kept in draft.rails.apart:
        if all(solver.boolean_value(lit) for lit in kept.made):
            one, other = (renumbered(mark, numbers) for mark in kept.pair)
            if solver.boolean_value(kept.before):
                yield one, other
            elif solver.boolean_value(kept.after):
                yield other, one


def renumbered(mark: Mark, numbers: Mapping[int, int]) -> Mark:
    """A stretch with the number of its changeover among those that are made."""
    return mark if mark.visit is None else replace(mark, visit=numbered(mark.visit, numbers))


def numbered(visit: Visit, numbers: Mapping[int, int]) -> Visit:
    """A visit with the number of its changeover among those that are made."""
    return Visit(kind="change", hop=(numbers[visit.hop[0]], 0)) if visit.kind == "change" else visit


def changes_of(draft: Draft, solver: "CpSolver") -> tuple[list[Changed], dict[int, int]]:
    """The changeovers that are made, and their numbers by those of the ones that were possible."""
    found: list[Changed] = []
    numbers: dict[int, int] = {}
    for each in draft.changes:
        for who, lit in each.who.items():
            if solver.boolean_value(lit):
                numbers[each.number] = len(found)
                start, (j, step, station) = solver.value(each.start), each.spot
                end = start + each.set_up.takes_steps
                found.append(
                    Changed(set_up=each.set_up, station=station, part=j, step=step, who=who, start=start, end=end)
                )
    return found, numbers


def order_of(follows: Follows, solver: "CpSolver", numbers: Mapping[int, int]) -> Iterator[Visit]:
    """What one attendant does, one visit after the other."""
    after = {
        before: visit for (visit, before), lits in follows.items() if any(solver.boolean_value(lit) for lit in lits)
    }
    visit = after.get(None)
    while visit is not None:
        yield numbered(visit, numbers)
        visit = after.get(visit)


def keep(draft: Draft, plan: Plan) -> None:
    """Carry every part as a plan does, and when it does."""
    for (hop, way), lit in draft.way.items():
        draft.model.add(lit == (plan.carried[hop].way == way))
    for (hop, kind), instant in draft.time.items():
        draft.model.add(instant == getattr(plan.carried[hop], kind))


def add_hints(draft: Draft, plan: Plan, tours: Mapping[str, Follows]) -> None:
    """Tell the search a plan to start from."""
    model = draft.model
    for (hop, way), lit in draft.way.items():
        model.add_hint(lit, plan.carried[hop].way == way)
    for (hop, kind), instant in draft.time.items():
        model.add_hint(instant, getattr(plan.carried[hop], kind))
    for (out, new, *_), lit in draft.swap.items():
        model.add_hint(lit, plan.swaps.get(out) == new)
    for who, follows in tours.items():
        order = plan.orders.get(who, ())
        pairs = set(zip(order, (None, *order), strict=False))
        for pair, lits in follows.items():
            if len(lits) == 1:
                model.add_hint(lits[0], pair in pairs)
    model.add_hint(draft.end, plan.end)

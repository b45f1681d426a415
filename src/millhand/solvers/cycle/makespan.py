"""The shortest time in which a cell finishes its lots, with a bound below which nobody can finish them."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.errors import InputError, NotYet, ToolError
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.schedule import Bound, Schedule
from millhand.solvers.cycle.bounds import as_told
from millhand.solvers.cycle.checking.validate import passed
from millhand.solvers.cycle.deadline import Deadline, part
from millhand.solvers.cycle.kept import LEFT_OUT
from millhand.solvers.cycle.lots.makespan_bounds import attendant_bounds, path_bounds, station_bounds
from millhand.solvers.cycle.lots.makespan_check import lots_left_out, narrowed_words, unfinished
from millhand.solvers.cycle.lots.makespan_cycle import cycle_plan
from millhand.solvers.cycle.lots.makespan_events import in_own_words
from millhand.solvers.cycle.lots.makespan_graph import Timed, goes_round, retimed, timed
from millhand.solvers.cycle.lots.makespan_greedy import first_plan
from millhand.solvers.cycle.lots.makespan_handfuls import handful_bounds
from millhand.solvers.cycle.lots.makespan_heads import head_bounds
from millhand.solvers.cycle.lots.makespan_held import held_bounds
from millhand.solvers.cycle.lots.makespan_in_hand import keeps_a_hand
from millhand.solvers.cycle.lots.makespan_line import line_bounds
from millhand.solvers.cycle.lots.makespan_lots import Lots, Way, lots_of
from millhand.solvers.cycle.lots.makespan_plan import Plan
from millhand.solvers.cycle.lots.makespan_scale import coarse, with_set_ups
from millhand.solvers.cycle.lots.makespan_separate import separate_plan
from millhand.solvers.cycle.lots.makespan_shared import shared_plan
from millhand.solvers.cycle.lots.makespan_solve import Effort, Searched, Tell, searched
from millhand.solvers.cycle.lots.makespan_turns import turn_bounds
from millhand.solvers.cycle.trays import left_empty, unused_trays, with_trays, without_trays

CYCLE_SHARE = 0.5  # of the time, for a plan from the best cycle


def shortest_makespan(
    cell: Cell,
    *,
    deadline: Deadline | None,
    deterministic: float | None,
    workers: int,
    seed: int,
    tell: Tell | None = None,
) -> Schedule:
    """The best plan for the lots of a cell that was found in the given time, with all its events and arcs.

    The same seed, one worker (or a deterministic limit) and no deadline give the same schedule every time.
    `tell` hears of each better makespan and of the bound at that moment.
    """
    effort = Effort(deadline=deadline, deterministic=deterministic, workers=workers, seed=seed, tell=tell)
    unused = unused_trays(cell)
    try:
        found = best_plan(with_trays(without_trays(cell, unused)), effort)
    except InputError:
        with_trays(cell)  # with its trays there may be one: then only that they are not told is known
        raise
    found = bounded_by(cell, found, unused) if unused else found
    return replace(found, cell=content_hash(cell))


def bounded_by(cell: Cell, found: Schedule, unused: list[str]) -> Schedule:
    """A plan that leaves trays empty: it holds, and of others is known what is known of the cell with its trays,
    in which nobody stays at these machines."""
    bounds = makespan_bounds(lots_of(as_told(cell)))
    least = min(found.period_steps, max((round(bound.steps) for bound in bounds), default=0))
    proven = found.period_steps <= least
    how = "bound by load" if proven else f"{found.how}; {left_empty(unused, 'plan')}"
    return replace(found, bounds=bounds, least_steps=least, proven=proven, how=how)


def best_plan(cell: Cell, effort: Effort) -> Schedule:
    """The best plan for a cell whose trays are told as stores."""
    lots = lots_of(cell)
    unfinished(lots)
    rough, by = (lots, 1) if lots.sharing else coarse(lots)  # who passes whom falls between larger steps
    deadline, effort = effort.deadline, replace(effort, tell=scaled(effort.tell, by))
    theory = least = least_steps(rough)
    simple = simple_plans(rough, least, deadline)
    first, every, known = next(iter(simple), None), False, None
    if lots.sharing and (first is None or first.end > least):
        horizon = first.end if first is not None else far(rough)
        known = shared_plan(rough, effort, first=first, horizon=horizon, least=least)
        first, every = known.plan, known.all_orders
        least = least if narrowed_words(replace(lots, sharing=frozenset())) else known.least
    if first is not None and effort.tell is not None:
        effort.tell(first.end, least)
    if every or (first is not None and first.end <= least):
        found = Searched(plan=first, least=least, best=True, impossible=False)
    else:
        horizon = first.end if first is not None else far(rough)
        found = searched(rough, effort, first=first, horizon=horizon, least=least)
    if every and first is None:
        few = NotYet("lots that no plan with two stops aside between two visits at most finishes", where="/tracks")
        raise no_plan(lots) if known is not None and known.all_stops else few
    if found.impossible and not lots.sharing:  # on a track whole visits may not go where their motions do
        raise no_plan(lots) if first is None else ToolError("the search forbids a plan that keeps all rules")
    plans = shortest_first(lots, (found.plan, first), simple, by)
    least_known = Least(theory=theory * by, thought=least * by, searched=found.least * by, every=every)
    try:
        best = first_that_holds(cell, lots, plans, least_known)
        if lots.sharing or LEFT_OUT not in best.how:
            return best
    except ToolError as refused:
        if lots.sharing or refused.code == "no_plan_in_time":
            raise
        return in_order(cell, lots, effort, found) or ranked_plan(cell, lots, effort, None)
    return in_order(cell, lots, effort, found) or ranked_plan(cell, lots, effort, best)


def in_order(cell: Cell, lots: Lots, effort: Effort, found: Searched) -> Schedule | None:
    """The plan of a search without an order of what happens at one moment, each part carried as it is there and when it
    is, with such an order; None where it has none that holds."""
    if found.plan is None:
        return None
    rough, by = coarse(lots)
    least, horizon = least_steps(rough), found.plan.end
    made = searched(rough, effort, first=found.plan, horizon=horizon, least=least, ranked="kept")
    known = Least(theory=least * by, thought=least * by, searched=found.least * by, every=False)
    try:
        return first_that_holds(cell, lots, shortest_first(lots, (made.plan,), (), by), known)
    except ToolError:
        return None


def ranked_plan(cell: Cell, lots: Lots, effort: Effort, best: Schedule | None) -> Schedule:
    """The plan of a search that knows an order of what happens at one moment, where one without it made a plan that did
    not hold; the one that is known, with the bound of this search, where it finds none that holds and is no longer.
    Where none is known, ToolError says whether it found none either, which is a matter of time, or one that did not
    hold."""
    rough, by = coarse(lots)
    least, horizon = least_steps(rough), far(rough) if best is None else best.period_steps // by
    found = searched(rough, effort, first=None, horizon=horizon, least=least, ranked="any")
    if found.impossible and best is None:
        raise no_plan(lots)
    known = Least(theory=least * by, thought=least * by, searched=found.least * by, every=False)
    try:
        return first_that_holds(cell, lots, shortest_first(lots, (found.plan,), (), by), known)
    except ToolError:
        if best is None:
            raise
    if found.plan is not None or found.impossible or narrowed_words(lots):
        return best
    least = min(best.period_steps, max(best.least_steps, found.least * by))
    return replace(best, least_steps=least, proven=best.period_steps <= least)


def simple_plans(lots: Lots, least: int, deadline: Deadline | None) -> tuple[Plan, ...]:
    """The plans made by simple rules, shortest first; where that is longer than need be, also by going round the best
    cycle."""
    if lots.sharing:
        apart = separate_plan(lots, deadline)
        return () if apart is None or not keeps_a_hand(lots, apart) else (apart,)
    first = first_plan(lots, deadline)
    other = cycle_plan(lots, part(deadline, CYCLE_SHARE)) if first is None or first.end > least else None
    made = (plan for plan in (first, other) if plan is not None and keeps_a_hand(lots, plan))
    return tuple(sorted(made, key=lambda plan: plan.end))


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """What no plan is shorter than, in grid steps: by thinking alone, before the last search, and after it; and whether
    every order of visits on a shared track was looked at."""

    theory: int
    thought: int
    searched: int
    every: bool


def first_that_holds(cell: Cell, lots: Lots, plans: Iterator[Timed], least: Least) -> Schedule:
    """The first of some plans, shortest first, that the validator has nothing against. Where it refuses one, the search
    that made it is not believed in what it says of others."""
    wrong: ToolError | None = None
    for plan in plans:
        made = schedule_of(cell, lots, plan, least)
        if least.every and not made.proven:
            made = replace(made, how=f"{made.how}; none of these is shorter")
        try:
            if plan.circle:
                raise ToolError("the plan found waits for itself at one moment", code="invalid_cycle")
            return checked(cell, made if wrong is None else replace(made, how=f"{made.how}; {LEFT_OUT}"))
        except ToolError as refused:
            wrong = wrong or refused
            least = Least(theory=least.theory, thought=least.theory, searched=least.theory, every=False)
    raise wrong or ToolError("no plan for the lots was found in the time given; give more", code="no_plan_in_time")


def checked(cell: Cell, found: Schedule) -> Schedule:
    """The schedule, when the validator has nothing against it; what that cannot check is said."""
    try:
        return passed(cell, found, "plan")
    except NotYet as refused:
        return replace(found, how=f"{found.how}; not checked: {refused.thing}")


def no_plan(lots: Lots) -> InputError:
    """What to say where no plan exists at all."""
    count = len(lots.pieces)
    return InputError(
        where="/parts",
        read=f"lots of {count} parts for which no plan keeps all stays and finds room for every part",
        write="longer stays (stay_max_s), a store between stations, or an attendant who comes in time"
        + (", or a place on the track where each attendant is out of the others' way" if lots.sharing else ""),
        code="lots_cannot_finish",
    )


def far(lots: Lots) -> int:
    """A time by which everything is over if it can be done at all: all that takes time, one after the other."""
    total = 1
    for hop in lots.hops():
        j, step = hop
        ways = lots.ways_of(hop)
        total += max(visit_most(lots, way, j) + lots.carry_steps(way) for way in ways)
        total += max(lots.route(j)[step + 1].times_steps)
    total += sum(max(column) for column in most_travel(lots)) * 2 * (1 + sum(1 for _ in lots.hops()))
    set_up = max((each.takes_steps + each.response_steps for each in lots.set_ups.values()), default=0)
    return total + len(lots.pieces) * (max(lots.turnaround_steps.values(), default=0) + set_up)


def visit_most(lots: Lots, way: Way, j: int) -> int:
    """The longest that lift and set-down can take, with all that lies before and after."""
    if way.who is None:
        return 0
    turn = lots.view.movers[way.who].turn_steps
    found = 0
    for station in (way.start, way.goal):
        phases = [lots.phase(way.who, station, j, kind) for kind in ("pick", "place", "swap")]
        found += max(each.lead_steps + each.hold_steps + each.tail_steps for each in phases) + turn
    return found


def most_travel(lots: Lots) -> Iterator[tuple[int, ...]]:
    """The longest way of each attendant."""
    for mover in lots.view.movers.values():
        yield tuple(way or 0 for row in mover.empty_steps for way in row) or (0,)


def shortest_first(lots: Lots, best: tuple[Plan | None, ...], before: tuple[Plan, ...], by: int) -> Iterator[Timed]:
    """Plans that were found in larger steps, as early as their arcs allow: the best ones by their time, then those that
    were found before them."""
    made = [(timed(lots, plan), plan) for plan in (with_set_ups(plan, by) for plan in best if plan is not None)]
    for each, _ in made:
        if not each.possible:
            raise ToolError(f"a plan that goes round in a circle: {', '.join(each.circle[:8])}")
    for each, plan in sorted(made, key=lambda pair: pair[0].makespan_steps):
        yield told(lots, plan, each)
    for plan in (with_set_ups(plan, by) for plan in before if plan not in best):
        yield told(lots, plan, timed(lots, plan))


def told(lots: Lots, plan: Plan, found: Timed) -> Timed:
    """A plan in the words of its cell; with a circle where it waits for itself at one moment, without an order."""
    circle = () if plan.ranks or lots.sharing or not goes_round(found) else ("one moment",)
    return replace(in_own_words(lots, retimed(plan, found, lots), found), circle=circle)


def makespan_bounds(lots: Lots) -> tuple[Bound, ...]:
    """All bounds, largest first; of several for the same resource the largest."""
    found = [
        *path_bounds(lots),
        *station_bounds(lots),
        *turn_bounds(lots),
        *attendant_bounds(lots),
        *handful_bounds(lots),
        *line_bounds(lots),
        *held_bounds(lots),
        *head_bounds(lots),
    ]
    best: dict[str, Bound] = {}
    for bound in sorted(found, key=lambda bound: -bound.steps):
        best.setdefault(bound.resource, bound)
    return tuple(best.values())


def least_steps(lots: Lots) -> int:
    """The largest bound by thinking alone."""
    return max((round(bound.steps) for bound in makespan_bounds(lots)), default=0)


def scaled(tell: Tell | None, by: int) -> Tell | None:
    """The same in grid steps."""
    if tell is None:
        return None
    hears = tell
    return lambda made, least: hears(None if made is None else made * by, least * by)


def schedule_of(cell: Cell, lots: Lots, best: Timed, known: Least) -> Schedule:
    """The plan as a schedule, with what is known of others."""
    bounds = makespan_bounds(lots)
    theory = round(max((bound.steps for bound in bounds), default=0.0))
    least = min(best.makespan_steps, known.thought if narrowed_words(lots) else max(known.thought, known.searched))
    return Schedule(
        cell=content_hash(cell),
        grid_s=cell.grid_s,
        period_steps=best.makespan_steps,
        parts_per_period=len(lots.pieces),
        bounds=bounds,
        events=best.events,
        arcs=best.arcs,
        critical=best.critical,
        proven=best.makespan_steps <= least,
        how=how_words(best.makespan_steps, theory, () if best.makespan_steps <= least else narrowed_words(lots)),
        left_out=lots_left_out(cell),
        goal="makespan",
        least_steps=least,
    )


def how_words(made: int, theory: int, narrowed: tuple[str, ...]) -> str:
    """How the plan was found."""
    if made == theory:
        return "bound by load"
    return f"search over all plans{''.join(f', {words}' for words in narrowed)}"

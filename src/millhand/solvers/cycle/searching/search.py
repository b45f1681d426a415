"""One search: the best cycle with so many part sets a period, between a least and a longest period."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import gcd
from typing import Any

from millhand.errors import ToolError
from millhand.solvers.cycle.deadline import Deadline, TimeUp, within
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.searching.alone import add_alone
from millhand.solvers.cycle.searching.batches import add_batches
from millhand.solvers.cycle.searching.hands import add_hands
from millhand.solvers.cycle.searching.jobs import Jobs, jobs_of
from millhand.solvers.cycle.searching.pairs import add_pairs
from millhand.solvers.cycle.searching.program import Program, add_swaps, started
from millhand.solvers.cycle.searching.ranks import add_ranks
from millhand.solvers.cycle.searching.solved import inside_of, tour_of
from millhand.solvers.cycle.searching.stays import add_stays
from millhand.solvers.cycle.tours.tour import Cycle, Inside, Stay, cycle_of
from millhand.solvers.cycle.view import Mover, Phase, Steady, Stop

FINE_UNITS = 20_000  # a longer period is one on a fine grid
MANY_WORKERS = 8  # so many of the solver's own searches run at once that some of them go without relaxations
PARTS_OF_UNIT = (12, 6, 4, 3, 2)  # periods are mostly whole durations divided by few laps
CONFLICTS_PER_UNIT = 60_000
"""A bound that creeps up by single grid steps takes a millisecond for each and next to nothing of the unit of work: a
search that met 7 500 conflicts in 6 s had used 0.006 of it. Searches that get on meet 7 000 to 45 000 in a unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The periods looked at, in grid steps, both ends included."""

    least: int
    longest: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The best cycle found, if any, and the least period that may still be possible (in grid steps).

    `complete`: no period below the one found (or, where none was, none in the span) is possible.
    """

    cycle: Cycle | None
    least_steps: int
    complete: bool
    spent: float = 0.0  # of the solver's own units of work
    spent_s: float = 0.0
    crowded: bool = False  # on a track: none in the span in which everybody stands clear while another one is served
    parts_times: int = 1  # so many times the parts that were asked for, where a small answer was dealt out


def searched(view: Steady, jobs: Jobs, span: Span, effort: Effort) -> Answer:
    """The best cycle in a span of periods: first in coarse units of time, then whether a step or two are to be had.

    An order that is possible with one period is possible with every longer one, unless stays are limited: then coarse
    units can pass over it, what they say proves nothing, and the whole span is searched again on the full grid.
    """
    unit = unit_of(view)
    if unit > 1 and any(stop.stay_max_steps is not None for route in view.routes.values() for stop in route):
        return searched_again(view, jobs, span, effort, unit)
    coarse = twice(view, jobs, span, effort, unit)
    if not coarse.complete or unit == 1:
        return coarse
    longest = span.longest if coarse.cycle is None else coarse.cycle.period_steps - 1
    if longest < coarse.least_steps:
        return coarse
    fine = twice(view, jobs, Span(least=coarse.least_steps, longest=longest), less(effort, coarse), 1)
    return joined(coarse, fine)


def searched_again(view: Steady, jobs: Jobs, span: Span, effort: Effort, unit: int) -> Answer:
    """A cycle from coarse units with half of the effort, the proof from the full grid."""
    coarse = replace(solved(view, jobs, span, half(effort), unit), least_steps=span.least)
    longest = span.longest if coarse.cycle is None else coarse.cycle.period_steps - 1
    if longest < span.least:
        return replace(coarse, complete=True)
    return joined(coarse, twice(view, jobs, Span(least=span.least, longest=longest), less(effort, coarse), 1))


def twice(view: Steady, jobs: Jobs, span: Span, effort: Effort, unit: int) -> Answer:
    """A run without linear relaxations and, if that does not suffice, one with them for what is left open.

    Which of the two is better depends on the cell, by a factor of ten either way; many workers try both at once, few of
    them only the one with relaxations. On a fine grid little is found without them.
    """
    if effort.workers >= MANY_WORKERS:
        return solved(view, jobs, span, effort, unit)
    first = solved(view, jobs, span, half(effort), unit, relaxed=False)
    longest = span.longest if first.cycle is None else first.cycle.period_steps - 1
    if first.complete or longest < first.least_steps:
        return first
    return joined(first, solved(view, jobs, Span(least=first.least_steps, longest=longest), less(effort, first), unit))


def joined(first: Answer, then: Answer) -> Answer:
    """Two answers, the second of which looked for something better than the first."""
    both = replace(then, spent=first.spent + then.spent, spent_s=first.spent_s + then.spent_s)
    return both if then.cycle is not None else replace(both, cycle=first.cycle)


def half(effort: Effort) -> Effort:
    """Half of an effort."""
    return replace(
        effort,
        deterministic=None if effort.deterministic is None else effort.deterministic / 2,
        seconds=None if effort.seconds is None else effort.seconds / 2,
    )


def less(effort: Effort, answer: Answer) -> Effort:
    """What is left of an effort after an answer."""
    return replace(
        effort,
        deterministic=None if effort.deterministic is None else max(0.01, effort.deterministic - answer.spent),
        seconds=None if effort.seconds is None else max(0.1, effort.seconds - answer.spent_s),
    )


def solved(view: Steady, jobs: Jobs, span: Span, effort: Effort, unit: int, *, relaxed: bool = True) -> Answer:
    """One run of the solver, its times in units of so many grid steps."""
    least, longest = -(-span.least // unit), span.longest // unit
    if longest < least:
        return Answer(cycle=None, least_steps=max(span.least, longest * unit + 1), complete=True)
    try:
        program = built(view, jobs, Span(least=least, longest=longest), unit, deadline=effort.deadline)
    except TimeUp:
        return Answer(cycle=None, least_steps=span.least, complete=False)
    found = run(program, effort, relaxed=relaxed)
    answer = Answer(cycle=None, least_steps=span.least, complete=False, spent=found.spent, spent_s=found.spent_s)
    if found.status == "INFEASIBLE":
        return replace(answer, least_steps=longest * unit + 1, complete=True)
    bound = max(span.least, (found.bound - 1) * unit + 1)
    if found.tour is None:
        return replace(answer, least_steps=bound)
    cycle = cycle_of(view, found.tour, found.inside)
    return replace(answer, cycle=cycle, least_steps=bound, complete=found.status == "OPTIMAL")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What one run of the solver gave: a tour if it found one, and a bound in its own units of time."""

    status: str
    value: int  # of the objective, 0 where nothing was found
    bound: int
    tour: tuple[Stay, ...] | None
    inside: Inside
    spent: float
    spent_s: float


def built(view: Steady, jobs: Jobs, span: Span, unit: int, *, deadline: Deadline | None = None) -> Program:
    """The whole program, its times and span in units of so many grid steps; TimeUp where there is no time for it."""
    program = started(scaled(view, unit), jobs, least=span.least, longest=span.longest, deadline=deadline)
    program.unit = unit
    add_swaps(program)
    add_hands(program)
    add_stays(program)
    add_batches(program)
    add_alone(program)
    add_ranks(program)
    add_pairs(program)
    return program


def run(program: Program, effort: Effort, *, relaxed: bool = False) -> Run:
    """The solver after its run: the least of the objective, which is the period unless another one was given."""
    from ortools.sat.python import cp_model

    program.model.minimize(program.terms.get("objective", program.period))
    solver = cp_model.CpSolver()
    parameters = solver.parameters
    parameters.catch_sigint_signal = effort.seconds is not None  # without a clock an interrupt is our caller's
    parameters.num_workers = effort.workers
    parameters.random_seed = effort.seed
    parameters.linearization_level = 2 if relaxed else 0
    if not relaxed and 1 < effort.workers < MANY_WORKERS:
        parameters.subsolvers.append("no_lp")
    if effort.deterministic is not None:
        parameters.max_deterministic_time = effort.deterministic
        parameters.max_number_of_conflicts = round(CONFLICTS_PER_UNIT * effort.deterministic)
    seconds = within(effort.seconds, effort.deadline)
    if seconds is not None:
        parameters.max_time_in_seconds = seconds
    status = solver.status_name(solver.solve(program.model, *listeners(program, effort)))
    if status == "MODEL_INVALID":
        raise ToolError(f"the program for the solver is wrong: {program.model.validate()}", code="invalid_program")
    found = status in ("OPTIMAL", "FEASIBLE")
    return Run(
        status=status,
        value=round(solver.objective_value) if found else 0,
        bound=0 if status == "INFEASIBLE" else round(solver.best_objective_bound),
        tour=tour_of(program, solver) if found else None,
        inside=inside_of(program, solver) if found else {},
        spent=float(solver.response_proto.deterministic_time),
        spent_s=float(solver.wall_time),
    )


def listeners(program: Program, effort: Effort) -> list[Any]:
    """Who hears of each cycle that the solver finds."""
    if effort.heard is None:
        return []
    from ortools.sat.python import cp_model

    heard, unit, parts = effort.heard, program.unit, program.jobs.parts

    class Listener(cp_model.CpSolverSolutionCallback):
        """Passes on what the solver says."""

        def on_solution_callback(self) -> None:
            """A better cycle was found."""
            heard(self.objective_value * unit / parts, self.best_objective_bound * unit / parts)

    return [Listener()]


def unit_of(view: Steady) -> int:
    """The coarse unit of time: a part of what divides all durations."""
    whole = gcd(*durations(view))
    return next((whole // parts for parts in PARTS_OF_UNIT if whole and whole % parts == 0), 1)


def serial_steps(view: Steady, sets: int) -> int:
    """A period in which one part after the other is taken all the way: nothing has to be longer."""
    total = 1
    handled = max((p.lead_steps + p.hold_steps + p.tail_steps for p in view.phases.values()), default=0)
    tables = [table for mover in view.movers.values() for table in (mover.empty_steps, mover.loaded_steps)]
    way = max((each or 0 for table in tables for row in table for each in row), default=0)
    turn = max((mover.turn_steps for mover in view.movers.values()), default=0)
    gate = max(view.turnaround_steps.values(), default=0)
    for part, route in view.routes.items():
        works = sum(max(stop.times_steps, default=0) for stop in route)
        total += view.part_set[part] * sets * (works + gate + len(route) * 2 * (handled + way + turn))
    return total + len(jobs_of(view, sets).duties) * (handled + 2 * way)


def durations(view: Steady) -> Iterator[int]:
    """Every duration of a view."""
    for route in view.routes.values():
        for stop in route:
            yield from stop.times_steps
            yield stop.stay_max_steps or 0
    for phase in view.phases.values():
        yield from (phase.lead_steps, phase.hold_steps, phase.tail_steps)
    for mover in view.movers.values():
        yield mover.turn_steps
        for table in (mover.empty_steps, mover.loaded_steps):
            for row in table:
                yield from (each or 0 for each in row)
    yield from view.turnaround_steps.values()


def scaled(view: Steady, unit: int) -> Steady:
    """The same view with all durations in units of so many grid steps, which divides them."""
    return replace(
        view,
        routes={part: tuple(scaled_stop(stop, unit) for stop in route) for part, route in view.routes.items()},
        phases={key: scaled_phase(phase, unit) for key, phase in view.phases.items()},
        movers={who: scaled_mover(mover, unit) for who, mover in view.movers.items()},
        turnaround_steps=divided(view.turnaround_steps, unit),
    )


def divided(times: Mapping[str, int], unit: int) -> dict[str, int]:
    """Each time in units."""
    return {name: each // unit for name, each in times.items()}


def scaled_stop(stop: Stop, unit: int) -> Stop:
    """A step of a route in units."""
    longest = None if stop.stay_max_steps is None else stop.stay_max_steps // unit
    return replace(stop, times_steps=tuple(each // unit for each in stop.times_steps), stay_max_steps=longest)


def scaled_phase(phase: Phase, unit: int) -> Phase:
    """A kind of visit in units."""
    return replace(
        phase,
        lead_steps=phase.lead_steps // unit,
        hold_steps=phase.hold_steps // unit,
        tail_steps=phase.tail_steps // unit,
    )


def scaled_mover(mover: Mover, unit: int) -> Mover:
    """An attendant in units."""

    def table(rows: tuple[tuple[int | None, ...], ...]) -> tuple[tuple[int | None, ...], ...]:
        return tuple(tuple(None if each is None else each // unit for each in row) for row in rows)

    same = mover.loaded_steps is mover.empty_steps
    empty = table(mover.empty_steps)
    loaded = empty if same else table(mover.loaded_steps)
    return replace(mover, turn_steps=mover.turn_steps // unit, empty_steps=empty, loaded_steps=loaded)

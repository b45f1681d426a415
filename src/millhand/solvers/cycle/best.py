"""The best cycle of a cell, proven or with the bound that is known.

Where a simple cycle already meets the load bound nothing is searched. Otherwise periods of one, two, three rounds of
part sets are each given to the constraint program, which has to beat what was found before; what it finds is turned
back into an event graph, whose least period is the answer. A round is as many sets as serve all stations side by side
equally often.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import ceil

from millhand.errors import NotYet, ToolError
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import cycle_bound_steps, load_bounds
from millhand.solvers.cycle.effort import STUDY, Effort
from millhand.solvers.cycle.jobs import jobs_of, rounds
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.search import Answer, Span, searched
from millhand.solvers.cycle.simple import GIVEN, schedule
from millhand.solvers.cycle.steady import part_set
from millhand.solvers.cycle.tour import Cycle
from millhand.solvers.cycle.validate import violations
from millhand.solvers.cycle.view import Steady

SLACK = 6  # digits after which a bound in grid steps is whole


def best_cycle(cell: Cell, *, effort: Effort = STUDY) -> Schedule:
    """The best cycle that this effort finds, validated; NotYet names what this version cannot schedule."""
    bound = cycle_bound_steps(cell)
    quick = simple(cell)
    if quick is not None and (quick.how == GIVEN or quick.period_steps <= least_for(bound, cell, quick)):
        return quick
    hunt = Hunt(cell=cell, view=scope(cell), effort=effort, bound=bound, best=quick)
    hunt.run()
    if hunt.best is None:
        raise NotYet("a cycle for this cell: none was found with this effort")
    return hunt.told(hunt.best)


def simple(cell: Cell) -> Schedule | None:
    """The best simple cycle; None where there is none."""
    try:
        return schedule(cell)
    except NotYet:
        return None


def least_for(bound: float, cell: Cell, found: Schedule) -> int:
    """The least period for as many parts as a cycle makes, by the load bound."""
    return ceil(round(bound * found.parts_per_period / sum(part_set(cell.parts).values()), SLACK))


@dataclass(slots=True, kw_only=True)
class Hunt:
    """The search of one cell: the best cycle so far, and what is known of each number of part sets."""

    cell: Cell
    view: Steady
    effort: Effort
    bound: float  # grid steps for one part set
    best: Schedule | None
    answers: dict[int, Answer] = field(default_factory=dict)

    def run(self) -> None:
        """Every number of part sets in turn, until a cycle meets the load bound."""
        tried = list(self.numbers())
        for sets in tried:
            if self.best is None or self.best.period_steps > least_for(self.bound, self.cell, self.best):
                self.look(sets, len(tried))

    def numbers(self) -> Iterator[int]:
        """The numbers of part sets that are tried: few moves first."""
        one = rounds(self.view)
        moves = len(jobs_of(self.view, 1).moves)
        for times in range(1, self.effort.most_sets + 1):
            if times == 1 or one * times * moves <= self.effort.most_moves:
                yield one * times

    def look(self, sets: int, shares: int) -> None:
        """One search, with its share of the effort."""
        span = Span(least=max(1, ceil(round(self.bound * sets, SLACK))), longest=self.longest(sets))
        jobs = jobs_of(self.view, sets)
        for move in jobs.moves:
            if not move.options:
                raise NotYet(f"a cycle in which nobody brings {move.part} from step {move.step + 1} of its route on")
        answer = searched(self.view, jobs, span, shared(self.effort, shares))
        self.answers[sets] = answer
        if answer.cycle is not None:
            self.best = self.schedule_of(answer.cycle, jobs.parts)

    def longest(self, sets: int) -> int:
        """The longest period worth looking at: shorter a part than the best, or else one part after the other."""
        if self.best is None:
            return serial_steps(self.view, sets)
        parts = self.view.set_size * sets
        return -(-self.best.period_steps * parts // self.best.parts_per_period) - 1

    def schedule_of(self, cycle: Cycle, parts: int) -> Schedule:
        """A cycle as a schedule, checked."""
        found = Schedule(
            cell=content_hash(self.cell),
            grid_s=self.cell.grid_s,
            period_steps=cycle.period_steps,
            parts_per_period=parts,
            bounds=load_bounds(self.cell),
            events=cycle.events,
            arcs=cycle.arcs,
            critical=cycle.critical,
            proven=False,
            how="",
            left_out=self.view.left_out,
        )
        wrong = violations(self.cell, found)
        if wrong:
            raise ToolError(f"the cycle found does not pass the validator: {'; '.join(wrong[:3])}", code="invalid_cycle")
        return found

    def told(self, best: Schedule) -> Schedule:
        """The best cycle with what is proven about it."""
        size = self.view.set_size
        sets = best.parts_per_period // size
        least = least_for(self.bound, self.cell, best)
        if sets in self.answers:
            least = max(least, self.answers[sets].least_steps)
        least = min(best.period_steps, max(least, best.least_steps))
        proven = best.period_steps <= least
        return replace(best, proven=proven, least_steps=least, how=self.words(best, sets, proven))

    def words(self, best: Schedule, sets: int, proven: bool) -> str:
        """How the cycle was found and what is known of others."""
        if best.period_steps <= least_for(self.bound, self.cell, best):
            setter = max(best.bounds, key=lambda each: each.cycle_steps).resource
            return f"searched with {sets_words(sets)} a period; equals the load bound of {setter}"
        closed = [each for each, answer in self.answers.items() if answer.complete]
        left = [each for each, answer in self.answers.items() if not answer.complete]
        told = best.how or f"searched with {sets_words(sets)} a period"
        if closed:
            told += f"; none with {listed(closed)} a period is shorter per part"
        if left:
            told += f"; with {listed(left)} the search was cut off"
        return told


def sets_words(sets: int) -> str:
    """So many part sets."""
    return f"{sets} part set{'s' if sets > 1 else ''}"


def listed(numbers: list[int]) -> str:
    """Some numbers of part sets in words."""
    *first, last = [str(each) for each in numbers]
    return sets_words(numbers[0]) if not first else f"{', '.join(first)} or {last} part sets"


def shared(effort: Effort, shares: int) -> Effort:
    """One of so many equal shares of an effort."""
    return replace(
        effort,
        deterministic=None if effort.deterministic is None else effort.deterministic / shares,
        seconds=None if effort.seconds is None else effort.seconds / shares,
    )


def serial_steps(view: Steady, sets: int) -> int:
    """A period in which one part after the other is taken all the way: nothing has to be longer."""
    total = 1
    handled = max((p.lead_steps + p.hold_steps + p.tail_steps for p in view.phases.values()), default=0)
    way = max(
        (each or 0 for mover in view.movers.values() for row in (*mover.empty_steps, *mover.loaded_steps) for each in row),
        default=0,
    )
    turn = max((mover.turn_steps for mover in view.movers.values()), default=0)
    gate = max(view.turnaround_steps.values(), default=0)
    for part, route in view.routes.items():
        works = sum(max(stop.times_steps, default=0) for stop in route)
        total += view.part_set[part] * sets * (works + gate + len(route) * 2 * (handled + way + turn))
    return total

"""The best cycle of a cell, proven or with the bound that is known.

Where a simple cycle already meets the bound nothing is searched. Otherwise small periods with alike stations pooled,
then periods of one, two, three rounds of part sets are each given to the constraint program, which has to beat what was
found before; what it finds is turned back into an event graph, whose least period is the answer. A round is as many
sets as serve all stations side by side equally often. At last it is asked whether a few part sets are quicker where the
stations side by side need not be served equally often.
"""

from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import partial
from math import ceil

from millhand.errors import Contradiction, NoneInTime, NotYet, ToolError
from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.schedule import Schedule
from millhand.solvers.cycle.bounds import SLACK, cycle_bound_steps, least_for, load_bounds
from millhand.solvers.cycle.checking.validate import passed
from millhand.solvers.cycle.contradictions import Question, contradiction
from millhand.solvers.cycle.deadline import TimeUp, is_over, within
from millhand.solvers.cycle.effort import STUDY, Effort, more, share
from millhand.solvers.cycle.empty_trays import bounded_by
from millhand.solvers.cycle.gates import kept_apart
from millhand.solvers.cycle.kept import LEFT_OUT, Kept
from millhand.solvers.cycle.loads.handfuls import handful_steps
from millhand.solvers.cycle.no_swaps import better_of, without_swaps
from millhand.solvers.cycle.one_hand import one_handed
from millhand.solvers.cycle.own_buffers import told_at_machines
from millhand.solvers.cycle.part_exchanges import exchanged_in_part, whole_only
from millhand.solvers.cycle.parts_duties import duties_left_out, has_duties
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_beside import beside
from millhand.solvers.cycle.rails.rail_hunt import Sharing, alone_steps, crowded, sharings, simply_alone, track_searched
from millhand.solvers.cycle.rails.rail_view import shared_rail, with_shortest_ways
from millhand.solvers.cycle.scope import scope
from millhand.solvers.cycle.searching.jobs import inner_stations, jobs_of, rounds, stations_of
from millhand.solvers.cycle.searching.pooled import pool_searched, pool_sets, pooled, pools_of
from millhand.solvers.cycle.searching.pooled_loads import Pools
from millhand.solvers.cycle.searching.search import FINE_UNITS, Answer, Span, less, searched, serial_steps, unit_of
from millhand.solvers.cycle.searching.uneven import dealt, may_be_uneven, uneven_steps
from millhand.solvers.cycle.set_words import listed, sets_words
from millhand.solvers.cycle.simple import follows_order, is_settled, meets_bound, order_of, simply
from millhand.solvers.cycle.tours.load_by_load import load_by_load
from millhand.solvers.cycle.tours.serial import serial_cycle
from millhand.solvers.cycle.tours.tour import Cycle
from millhand.solvers.cycle.trays import unused_trays, with_trays, without_trays
from millhand.solvers.cycle.view import Steady

MOVES_APART = 3  # on a shared track every pair of visits that are too near is a choice: so many times fewer moves
AGAIN_TIMES = 4  # the effort of a search that begins again
TRACK_TIMES = 4  # visits and then motions are looked for on a shared track: so many times the effort
NONE_FOUND = "a cycle for this cell: none was found with this effort"
POOLED = "searched with alike stations pooled"
UNEVEN = "like machines not loaded equally often"


def best_cycle(cell: Cell, *, effort: Effort = STUDY) -> Schedule:
    """The best cycle that this effort finds, validated; NotYet names what this version cannot schedule."""
    unused = unused_trays(cell)
    told = with_trays(without_trays(cell, unused))
    plain = without_swaps(told)
    try:
        found = hunted(told, effort) if plain is None else better_of(told, plain, hunted, effort)
    except Contradiction:
        with_trays(cell)  # with its trays there may be one: then only that they are not told is known
        raise
    if unused:
        found = bounded_by(cell, found, unused)
    return replace(found.told, cell=content_hash(cell))  # as it was given, not as its trays are written out


def hunted(cell: Cell, effort: Effort) -> Kept:
    """The best cycle with the exchanges that the cell has."""
    loads = cycle_bound_steps(cell)
    quick = simply(cell)
    if quick is not None and (not has_duties(cell) if meets_bound(cell, quick.cycle) else follows_order(cell)):
        return quick
    view = scope(cell)
    start = None if view.duties else quick
    if start is not None and is_settled(cell, start.cycle):
        return start
    rail = shared_rail(cell, view)
    left = effort if rail is None else more(effort, TRACK_TIMES)
    begun = None if start is None else start.cycle
    hunt = Hunt(cell=cell, view=view, left=left, loads=loads, hands=handful_steps(view), best=begun, rail=rail)
    hunt.run()
    if hunt.best is None and quick is not None:
        return quick
    if hunt.best is None and hunt.refused is not None:
        raise hunt.refused
    told = hunt.answers and all(answer.complete for answer in hunt.answers.values()) and not hunt.narrow
    if hunt.best is None and told:
        if hunt.whole_only:
            raise NotYet(f"a cycle for this cell: none keeps all of its demands {whole_only(hunt.whole_only)}")
        with suppress(TimeUp):
            raise contradiction(Question(view=view, sets=min(hunt.answers), effort=left, rail=rail))
    if hunt.best is None and is_over(effort.deadline):
        raise NoneInTime("cycle")
    if hunt.best is None:
        raise crowded() if any(each.crowded for each in hunt.answers.values()) else NotYet(NONE_FOUND)
    return hunt.told(hunt.best)


@dataclass(slots=True, kw_only=True)
class Hunt:
    """The search of one cell: the best cycle so far, and what is known of each number of part sets."""

    cell: Cell
    view: Steady
    left: Effort
    loads: float  # grid steps for one part set, by the loads of the resources
    hands: float  # the same, by what several hands save at most
    best: Schedule | None
    freely: bool = False  # the best one is of a search in which like machines need not share the work equally
    rail: Rail | None = None  # the track that attendants at work share with others
    answers: dict[int, Answer] = field(default_factory=dict)
    uneven: dict[int, Answer] = field(default_factory=dict)  # of like machines that need not share equally
    refused: ToolError | None = None  # the first cycle that did not pass the validator

    @property
    def narrow(self) -> list[str]:
        """The gates where the search keeps visits apart that a run need not: what it proves is not of all cycles."""
        return kept_apart(self.cell)

    def run(self) -> None:
        """Every way to search in turn, until a cycle meets the bound; once more with more effort where it was cut off
        before it had found anything better than the plainest cycle, one part after the other. Not for loads and duties,
        whose models are large, nor on a shared track."""
        given, known = self.left, self.best
        self.take_over()
        self.begin()
        plainest = self.best
        self.look_through()
        cut_off = any(not each.complete for each in self.answers.values())
        small = self.rail is None and not (self.view.loads or self.view.duties)
        if known is None and self.best is plainest and cut_off and given.seconds is None and small:
            self.left = more(given, AGAIN_TIMES)
            self.answers = {sets: each for sets, each in self.answers.items() if each.complete}
            self.look_through()

    def look_through(self) -> None:
        """Every way to search once."""
        self.go_through(list(self.tries()))
        self.go_through(list(self.free_tries()))

    def go_through(self, tries: list[Callable[[Effort], None]]) -> None:
        """One try after the other, each with its share of the effort."""
        for number, each in enumerate(tries):
            if self.best is None or self.best.period_steps > least_for(self.bound, self.cell, self.best):
                self.left = replace(self.left, seconds=within(self.left.seconds, self.left.deadline))
                half = self.rail is not None or (number == 0 and self.is_fine)
                each(share(self.left, min(len(tries) - number, 2) if half else len(tries) - number))

    def begin(self) -> None:
        """Where there is no simple cycle, the plainest one."""
        jobs = jobs_of(self.view, 1)
        for move in jobs.moves:
            if not move.options:
                raise NotYet(f"a cycle in which nobody brings {move.part} from step {move.step + 1} of its route on")
        if self.best is not None or self.view.orders or self.rail is not None:
            return
        how, plain = "one part after the other", None
        if not (self.view.loads or self.view.duties):
            plain = serial_cycle(self.view, jobs)
        else:
            how, jobs = "one load after the other", jobs_of(self.view, rounds(self.view), freely=True)
            plain = load_by_load(self.view, jobs)
        if plain is not None:
            self.took(Answer(cycle=plain, least_steps=0, complete=False), jobs.parts, how)

    def look_beside(self, rail: Rail, effort: Effort) -> None:
        """On a shared track: two arms with machines of their own, each on its own tour."""
        best = self.best.period_steps / self.best.parts_per_period if self.best else None
        apart = not (self.view.orders or self.view.duties)  # simple cycles hold no duties
        found = beside(self.cell, self.view, rail, effort.deadline, below=best) if apart else None
        if found is not None:
            answer = Answer(cycle=found[0], least_steps=0, complete=False)
            self.took(answer, found[1], "each arm with its own machines, one begun later than the other")

    def look_alone(self, rail: Rail, effort: Effort) -> None:
        """On a shared track: the simple cycles of each of its arms that could be better, the others out of its way."""
        for arm in rail.arms if not (self.view.orders or self.view.duties) else ():
            best = self.best.period_steps / self.best.parts_per_period * self.view.set_size if self.best else None
            needs = alone_steps(self.view, arm) if arm in self.view.movers else None
            if needs is None or (best is not None and best <= needs) or is_over(effort.deadline):
                continue
            found = simply_alone(self.cell, self.view, rail, arm)
            if found is not None:
                answer = Answer(cycle=found[0], least_steps=0, complete=False)
                self.took(answer, found[1], f"{arm} alone, the others out of its way")

    def take_over(self) -> None:
        """What the quick search has proven need not be proven again: one hand, one round, every order looked at."""
        best = self.best
        alike = all(len(stations_of(self.view, spot, rounds(self.view))) == 1 for spot in jobs_of(self.view, 1).stays)
        single = alike and all(self.view.slots[name] == 1 for name in inner_stations(self.view))
        if best is not None and best.proven and single and all(m.hands == 1 for m in self.view.movers.values()):
            sets = best.parts_per_period // self.view.set_size
            self.answers[sets] = Answer(cycle=None, least_steps=best.period_steps, complete=True)

    @property
    def is_fine(self) -> bool:
        """Whether the grid is so fine that what is tried first, the smallest period, is mostly all that is found."""
        return serial_steps(self.view, 1) // unit_of(self.view) > FINE_UNITS

    @property
    def whole_only(self) -> tuple[str, ...]:
        """Where no search has looked at exchanges of part of a load."""
        return exchanged_in_part(self.view)

    @property
    def bound(self) -> float:
        """The least period for one part set, as far as is known without a search."""
        return max(self.loads, self.hands)

    def tries(self) -> Iterator[Callable[[Effort], None]]:
        """Small periods with alike stations pooled, then whole rounds; few moves first."""
        one_hand = one_handed(self.cell, self.view) if self.rail is None else None
        if one_hand is not None:
            yield partial(self.look, rounds(one_hand), own=one_hand)
        pools = {} if self.view.orders or self.view.duties or self.rail is not None else pools_of(self.view)
        if self.rail is not None:
            yield partial(self.look_beside, self.rail)
            for each in sharings(self.view, self.rail, rounds(self.view)):
                if len(each.jobs.moves) <= self.most_apart():
                    yield partial(self.look_shared, self.rail, each)
            yield partial(self.look_alone, self.rail)
        for sets in pool_sets(self.view, self.left.most_sets) if pools else ():
            yield partial(self.look_pooled, pools, sets)
        one, moves = rounds(self.view), len(jobs_of(self.view, 1).moves)
        most = self.left.most_moves if self.rail is None else self.left.most_moves // MOVES_APART
        for times in range(1, 2 if self.view.loads else self.left.most_sets + 1):
            visits = one * times * moves * (2 if any(m.hands > 1 for m in self.view.movers.values()) else 1)
            few = visits <= most and (times == 1 or not self.view.orders)
            if times == 1 and self.left.seconds is not None:  # whoever waits for it may have it
                few = self.rail is None or visits <= self.most_apart()
            if few and one * times not in self.answers:
                yield partial(self.look, one * times)

    def free_tries(self) -> Iterator[Callable[[Effort], None]]:
        """Few part sets with machines side by side that may be loaded unequally, where that could be shorter."""
        if self.rail is not None or not may_be_uneven(self.view):
            return
        moves = len(jobs_of(self.view, 1).moves) * (2 if any(m.hands > 1 for m in self.view.movers.values()) else 1)
        for sets in range(1, self.left.most_sets + 1):
            known = sets in self.answers and not dealt(self.view, sets)
            if not known and sets * moves <= self.left.most_moves and not self.even_only(sets):
                yield partial(self.look_freely, sets)

    def even_only(self, sets: int) -> bool:
        """Whether so many part sets can only be as short a part as the best where like machines share them equally."""
        best, least = self.best, uneven_steps(self.view, sets)
        return best is not None and least * best.parts_per_period >= best.period_steps * sets * self.view.set_size

    def is_whole(self, sets: int) -> bool:
        """Whether a finished search with so many part sets leaves nothing out: no unequal shares of like machines."""
        freely = sets in self.uneven and self.uneven[sets].complete
        return freely or not dealt(self.view, sets) or self.even_only(sets)

    def look_freely(self, sets: int, effort: Effort) -> None:
        """One search with so many part sets a period that like machines need not share equally."""
        span = self.span(self.view, sets)
        span = replace(span, least=max(span.least, uneven_steps(self.view, sets)))
        jobs = jobs_of(self.view, sets, freely=True)
        answer = searched(self.view, jobs, span, effort)
        (self.uneven if dealt(self.view, sets) else self.answers)[sets] = answer
        self.took(answer, jobs.parts, f"searched with {sets_words(sets)} a period, {UNEVEN}", freely=True)

    def most_apart(self) -> int:
        """Moves of the longest period that is tried on a shared track: with many more the model alone takes minutes."""
        return self.left.most_moves if self.left.seconds is not None else self.left.most_moves // MOVES_APART

    def look(self, sets: int, effort: Effort, own: Steady | None = None) -> None:
        """One search with so many part sets a period; in a view of its `own`, with one hand each, it proves nothing."""
        view, span = own or self.view, self.span(self.view, sets)
        jobs = jobs_of(view if self.rail is None else with_shortest_ways(view, self.rail), sets)
        if self.rail is None:
            answer = searched(view, jobs, span, effort)
        else:
            answer = track_searched(view, self.rail, jobs, span, effort)
        if own is None:
            self.answers[sets] = answer
        hands = "one hand and " if own else ""
        self.took(answer, jobs.parts, f"searched with {hands}{sets_words(sets)} a period")

    def look_shared(self, rail: Rail, shared: Sharing, effort: Effort) -> None:
        """One search with the work on a track shared in one way: a small one, the same on every machine."""
        span = self.span(self.view, shared.jobs.sets)
        answer = track_searched(self.view, rail, shared.jobs, span, replace(effort, workers=1), bounded=False)
        self.took(answer, shared.jobs.parts, f"searched with {shared.words}")

    def look_pooled(self, pools: Pools, sets: int, effort: Effort) -> None:
        """One search with alike stations pooled."""
        view = pooled(self.view, pools)
        answer = pool_searched(self.view, pools, sets, self.span(view, sets), effort)
        self.took(answer, self.view.set_size * sets * answer.parts_times, POOLED)

    def span(self, view: Steady, sets: int) -> Span:
        """From the bound to the longest period worth looking at: shorter a part than the best, or all in a row."""
        least = max(1, ceil(round(self.bound * sets, SLACK)))
        if self.best is None:
            return Span(least=least, longest=serial_steps(view, sets))
        parts = self.view.set_size * sets
        return Span(least=least, longest=-(-self.best.period_steps * parts // self.best.parts_per_period) - 1)

    def took(self, answer: Answer, parts: int, how: str, *, freely: bool = False) -> None:
        """Keep what is better a part, and count the effort."""
        self.left = less(self.left, answer)
        best = self.best
        if answer.cycle is not None and (
            best is None or answer.cycle.period_steps * best.parts_per_period < best.period_steps * parts
        ):
            try:
                self.best, self.freely = self.schedule_of(answer.cycle, parts, how), freely
            except NotYet:
                raise
            except ToolError as refused:  # a mistake of the program: what was found before still holds
                self.refused = self.refused or refused
                self.answers = {sets: replace(each, complete=False) for sets, each in self.answers.items()}
        if self.left.heard is not None:
            found = None if self.best is None else self.best.period_steps / self.best.parts_per_period
            self.left.heard(found, self.bound / self.view.set_size)

    def schedule_of(self, cycle: Cycle, parts: int, how: str) -> Schedule:
        """A cycle as a schedule, checked."""
        if not cycle.period_steps:
            raise NotYet("a cycle in which nothing takes any time")
        cycle = told_at_machines(self.cell, cycle)
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
            how=how,
            left_out=(*self.view.left_out, *self.orders_left_out()),
            duties_left_out=duties_left_out(self.cell, self.view),
        )
        return passed(self.cell, found)

    def orders_left_out(self) -> list[str]:
        """Orders that the cell gives and the cycle does not follow."""
        free = [who for who in self.view.movers if order_of(self.cell, who) and who not in self.view.orders]
        return [f"the order that {who} goes by otherwise: the cycle has its own" for who in free]

    def told(self, best: Schedule) -> Kept:
        """The best cycle with what is proven about it."""
        sets = best.parts_per_period // self.view.set_size
        least = max(best.least_steps, least_for(self.bound, self.cell, best))
        looked = self.uneven if self.freely and sets in self.uneven else self.answers
        if sets in looked and not self.whole_only and not self.narrow:
            least = max(least, looked[sets].least_steps)
        least = min(best.period_steps, least)
        cycle = replace(best, proven=best.period_steps <= least, least_steps=least)
        whole = bool(self.closed and self.whole_only)
        return Kept(cycle=cycle, found=best.how, others=tuple(self.others(best)), whole=whole)

    @property
    def closed(self) -> list[int]:
        """The numbers of part sets a period of which a finished search leaves nothing out."""
        return sorted(each for each, answer in self.answers.items() if answer.complete and self.is_whole(each))

    def others(self, best: Schedule) -> Iterator[str]:
        """What is known of other cycles than the best, a clause each."""
        if best.period_steps <= least_for(self.loads, self.cell, best):
            setter = max(best.bounds, key=lambda each: each.cycle_steps).resource
            yield f"equals the load bound of {setter}"
            return
        if best.period_steps <= least_for(self.hands, self.cell, best):
            yield f"equals the least work of {next(iter(self.view.movers))} with all its hands"
            return
        yield from self.searches()
        if self.narrow:
            yield f"one attendant at a time at {' and '.join(self.narrow)}, where a run may let in more"
        if self.refused is not None:
            yield LEFT_OUT

    def searches(self) -> Iterator[str]:
        """How far the searches came."""
        even = sorted(each for each, answer in self.answers.items() if answer.complete and each not in self.closed)
        left = sorted(each for each, answer in self.answers.items() if not answer.complete)
        if self.closed:
            whole = f" {whole_only(self.whole_only)}" if self.whole_only else ""
            more_of = f", and none with {listed(even)} that loads like machines equally often" if even else ""
            yield f"none with {listed(self.closed)} a period is shorter per part{whole}{more_of}"
        elif even:
            yield f"none with {listed(even)} a period that loads like machines equally often is shorter per part"
        if left:
            yield f"with {listed(left)} the search was cut off"

"""Where to move aside: a model of all rests of known tours on a shared track, for a solver of integers.

Between two visits an attendant may go straight, or stop at any place on the way or aside, once or a given number of
times, and set out at any time.
For each place of a neighbour the model knows until when an attendant keeps clear of it before a rest (`until`), and
from when on it is clear again after it (`since`); rests in a row that are too near share both. Two rests that are too
near are then held one after the other, in every lap. Visits that are too near keep the order that they have.
"""

from dataclasses import dataclass, field, replace
from itertools import combinations
from math import ceil
from typing import TYPE_CHECKING

from millhand.solvers.cycle.deadline import Deadline, TimeUp, ask, is_over, within
from millhand.solvers.cycle.rails.rail_aside import nearest_clear
from millhand.solvers.cycle.rails.rail_lines import loop_of
from millhand.solvers.cycle.rails.rail_times import parked_rests
from millhand.solvers.cycle.rails.rail_tours import Asked, Call, Loop, Rest, Spell

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar

MOTIONS_SHARE = 0.25  # of what is left, for the motions of one order of the visits: another order may ask for none
NEAR = 1e-6  # by which a bound in whole steps may be off
FINE_STEPS = 20_000  # a longer period, in steps, is one on a fine grid
LEAST_WORK = 0.01  # of the solver's units: less is not worth a run
PLAIN_SHARE = 0.4  # of a search for visits, without a linear relaxation


@dataclass(slots=True, kw_only=True)
class Allowance:
    """How much is tried: what is left of the solver's own units of work, about a second each, how many of them go into
    one search for motions, and threads. With `seconds` None no clock is looked at: the answer is the same everywhere.
    `thorough`: of many visits motions are looked for at all places, too, where there are none at the nearest ones.
    """

    work: float = 60.0
    each: float = 5.0
    seconds: float | None = None
    workers: int = 1
    seed: int = 1
    deadline: Deadline | None = None
    thorough: bool = True

    @property
    def spent(self) -> bool:
        """Whether nothing is left."""
        return self.work <= 0 or (self.seconds is not None and self.seconds <= 0) or is_over(self.deadline)

    def solved(self, model: "CpModel", most: float) -> "CpSolver | None":
        """The solver after its search, which is paid from what is left; None where it found nothing."""
        return self.run(model, most, 1.0, relaxed=True).solver

    def solved_or_not(self, model: "CpModel", most: float, share: float) -> "Ran":
        """The same for visits, in a share of the seconds at most.

        Without a linear relaxation first: it holds the search up on whole seconds (twelve tanks and two hoists are
        proven in 4 s without, and not in 60 s with it). On fine grids nothing is found without it, and with next to no
        effort there is none for two runs.
        """
        fine = max(each.domain[-1] for each in model.proto.variables) > FINE_STEPS
        if fine or most * PLAIN_SHARE < LEAST_WORK:
            return self.run(model, most, share, relaxed=True)
        first = self.run(model, most * PLAIN_SHARE, share * PLAIN_SHARE, relaxed=False)
        if first.over or self.spent:
            return first
        left = 1.0 - PLAIN_SHARE
        second = self.run(model, most * left, share * left / (1.0 - share * PLAIN_SHARE), relaxed=True)
        if second.over:
            return second
        better = min((each for each in (first, second) if each.solver), key=lambda each: each.value, default=second)
        return replace(better, least=max(first.least, second.least))

    def run(self, model: "CpModel", most: float, share: float, *, relaxed: bool) -> "Ran":
        """One run of the solver."""
        from ortools.sat.python.cp_model import FEASIBLE, INFEASIBLE, OPTIMAL, CpSolver

        solver = CpSolver()
        solver.parameters.catch_sigint_signal = self.seconds is not None  # else an interrupt is our caller's
        solver.parameters.max_deterministic_time = max(LEAST_WORK, min(most, self.work))
        seconds = within(None if self.seconds is None else self.seconds * share, self.deadline)
        if seconds is not None:
            solver.parameters.max_time_in_seconds = max(0.01, seconds)
        solver.parameters.num_workers = self.workers
        solver.parameters.random_seed = self.seed
        solver.parameters.linearization_level = 2 if relaxed else 0
        status = solver.solve(model)
        self.work -= solver.response_proto.deterministic_time
        if self.seconds is not None:
            self.seconds -= solver.wall_time
        return Ran(
            solver=solver if status in (OPTIMAL, FEASIBLE) else None,
            over=status in (OPTIMAL, INFEASIBLE),
            least=0 if status == INFEASIBLE else ceil(solver.best_objective_bound - NEAR),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What a run of the solver gave: the solver where it has a solution, whether nothing is left to be looked for, and
    the least value of the objective that is not ruled out."""

    solver: "CpSolver | None"
    over: bool
    least: int

    @property
    def impossible(self) -> bool:
        """Whether it is known that there is no solution."""
        return self.over and self.solver is None

    @property
    def value(self) -> float:
        """The objective of the solution."""
        return self.solver.objective_value if self.solver else 0.0


@dataclass(slots=True, kw_only=True)
class Node:
    """One rest in the model; `at` holds for each place whether the rest is there. `early` and `late` are about when
    it is, at the times that are known."""

    at: "dict[str, IntVar]"
    arrive: "IntVar"
    depart: "IntVar"
    early: int
    late: int
    call: int | None = None
    until: "dict[tuple[str, str], IntVar]" = field(default_factory=dict)
    since: "dict[tuple[str, str], IntVar]" = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """The model while it is built: the solver's model, the period, the events, the rests of each attendant, and
    whether an attendant is at a place at all."""

    model: "CpModel"
    asked: Asked
    period: int
    times: "tuple[IntVar, ...]"
    yes: "IntVar"
    span: tuple[int, int]
    rests: int
    few_places: bool = False
    deadline: Deadline | None = None
    nodes: "dict[str, list[Node]]" = field(default_factory=dict)
    taken: "dict[tuple[str, str], IntVar]" = field(default_factory=dict)

    def time(self) -> "IntVar":
        """A new point of time, while there is any."""
        ask(self.deadline)
        return self.model.new_int_var(*self.span, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class At:
    """A period at which motions are looked for, with so many rests between two visits; `few_places`: only at those
    nearest to the way that are clear of what is done by others meanwhile."""

    period: int
    rests: int
    few_places: bool = False


def with_rests(asked: Asked, allowance: Allowance, at: At, *, most: float) -> dict[str, Loop] | None:
    """All rests at a given period; None where none were found with so much work at `most`.

    A given period is a question of yes or no, which is answered much sooner than which period is the shortest.
    """
    period = at.period
    draft = replace(drafted(asked, period, at.rests), deadline=allowance.deadline, few_places=at.few_places)
    try:
        add_all(draft)
    except TimeUp:
        return None
    solver = allowance.solved(draft.model, min(most, allowance.work * MOTIONS_SHARE))
    if solver is None:
        return None
    return {arm: loop_of(arm, rests_of(draft, solver, arm), period) for arm in asked.tours}


def add_all(draft: Draft) -> None:
    """The rests of every attendant, the ways between them, and what keeps them apart."""
    asked = draft.asked
    for arm, tour in asked.tours.items():
        add_nodes(draft, arm, tour)
        add_taken(draft, arm)
    for arm in asked.tours:
        add_ways(draft, arm)
    for below, above in combinations(asked.rail.arms, 2):
        for one in draft.nodes[below]:
            for other in draft.nodes[above]:
                ask(draft.deadline)
                add_turns(draft, (below, one), (above, other))


def drafted(asked: Asked, period: int, rests: int) -> Draft:
    """Events and their arcs."""
    from ortools.sat.python.cp_model import CpModel

    model = CpModel()
    laps = [asked.lap(event) for event in range(len(asked.times))]
    span = ((min(laps, default=0) - 2) * period, (max(laps, default=0) + 3) * period)
    times = tuple(model.new_int_var(*span, "") for _ in asked.times)
    for before, after, lag, over in asked.arcs:
        model.add(times[after] >= times[before] + lag - over * period)
    if times:
        model.add(times[0] == asked.times[0])
    return Draft(
        model=model, asked=asked, period=period, times=times, yes=model.new_constant(1), span=span, rests=rests
    )  # fmt: skip


def add_nodes(draft: Draft, arm: str, tour: tuple[Call, ...]) -> None:
    """The rests of one attendant: its visits, and after each of them one rest that may be anywhere.

    A rest at the same place as the visit is none at all. One with nothing to do has a single rest.
    """
    nodes = draft.nodes[arm] = []
    for number, call in enumerate(tour):
        first, last = draft.asked.laps(call)
        early, late = draft.asked.spell(call)
        node = new_node(draft, {call.place: draft.yes}, (early, late), number)
        begins = draft.times[call.first] - first * draft.period
        draft.model.add(node.arrive + call.lead_steps <= begins)
        if call.at_once:
            draft.model.add(node.arrive + call.lead_steps == begins)
        draft.model.add(node.depart >= draft.times[call.last] - last * draft.period)
        following = tour[(number + 1) % len(tour)]
        wrap = draft.asked.period_steps if number + 1 == len(tour) else 0
        about = late, draft.asked.spell(following)[0] + wrap
        nodes += [node, *(free_node(draft, arm, (call, following), about) for _ in range(draft.rests))]
    if not tour:
        rests = parked_rests(draft.asked, arm)
        places = [rest.place for rest in rests] if rests else draft.asked.rail.places(arm)
        at = {place: draft.model.new_bool_var("") for place in places}
        draft.model.add_exactly_one(at.values())
        nodes.append(new_node(draft, at, (0, 0), None))


def new_node(draft: Draft, at: "dict[str, IntVar]", about: tuple[int, int], call: int | None) -> Node:
    """A rest with its times."""
    node = Node(at=at, arrive=draft.time(), depart=draft.time(), early=about[0], late=about[1], call=call)
    draft.model.add(node.depart >= node.arrive)
    return node


def free_node(draft: Draft, arm: str, calls: tuple[Call, Call], about: tuple[int, int]) -> Node:
    """A rest between two visits at any place to which and from which there is a way."""
    rail, (one, other) = draft.asked.rail, calls

    def there_and_on(place: str) -> bool:
        ways = (one.place, place), (place, other.place)
        straight_on = place == other.place and draft.rests == 1  # the same as to go there at once
        return not straight_on and all(
            way[0] == way[1] or rail.steps(arm, way, one.goes_loaded) is not None for way in ways
        )

    places = [place for place in rail.places(arm) if place == one.place or there_and_on(place)]
    if draft.few_places:
        near = nearest_clear(draft.asked, arm, calls, draft.period - draft.asked.period_steps)
        places = [place for place in places if place in near]
    at = {place: draft.model.new_bool_var("") for place in places}
    draft.model.add_exactly_one(at.values())
    return new_node(draft, at, about, None)


def add_taken(draft: Draft, arm: str) -> None:
    """Which places an attendant is at; where it never is nobody has to keep clear of it."""
    for node in draft.nodes[arm]:
        for place, here in node.at.items():
            if here is draft.yes or (arm, place) not in draft.taken:
                draft.taken[arm, place] = draft.yes if here is draft.yes else draft.model.new_bool_var("")
    for node in draft.nodes[arm]:
        for place, here in node.at.items():
            draft.model.add_implication(here, draft.taken[arm, place])


def add_ways(draft: Draft, arm: str) -> None:
    """The motions from rest to rest: their times, and until and since when they are clear of others' places."""
    nodes, rail = draft.nodes[arm], draft.asked.rail
    if not draft.asked.tours[arm]:
        return
    spots = [spot for spot in draft.taken if spot[0] in rail.others(arm)]
    for node in nodes:
        near = [spot for spot in spots if any(rail.near((arm, place), spot) for place in node.at)]
        node.until = {spot: draft.time() for spot in near}
        node.since = {spot: draft.time() for spot in near}
    for index, node in enumerate(nodes):
        after = nodes[(index + 1) % len(nodes)]
        wrap = draft.period if index + 1 == len(nodes) else 0
        for way, steps, chosen in legs(draft, arm, index):
            draft.model.add(after.arrive + wrap == node.depart + steps).only_enforce_if(chosen)
            add_clear(draft, (arm, way, steps), (node, after), (wrap, chosen))


def legs(draft: Draft, arm: str, index: int) -> "list[tuple[tuple[str, str], int, IntVar]]":
    """The motions that may leave a rest, with their times and with what says that they are made."""
    nodes, found = draft.nodes[arm], []
    node, after = nodes[index], nodes[(index + 1) % len(nodes)]
    call = draft.asked.tours[arm][index // (1 + draft.rests)]
    for start, here in node.at.items():
        for goal, there in after.at.items():
            steps = 0 if start == goal else draft.asked.rail.steps(arm, (start, goal), call.goes_loaded)
            if steps is None:
                draft.model.add_bool_or(~here, ~there)
            else:
                found.append(((start, goal), steps, both(draft, here, there)))
    return found


def both(draft: Draft, here: "IntVar", there: "IntVar") -> "IntVar":
    """What holds where a motion leaves one place for another; visits are always made."""
    if here is draft.yes or there is draft.yes:
        return there if here is draft.yes else here
    chosen = draft.model.new_bool_var("")
    draft.model.add_bool_or(~here, ~there, chosen)
    return chosen


def add_clear(
    draft: Draft,
    leg: tuple[str, tuple[str, str], int],
    pair: tuple[Node, Node],
    when: "tuple[int, IntVar]",
) -> None:
    """What one motion says about being clear of each place of a neighbour before its goal and after its start."""
    (arm, way, steps), (node, after), (wrap, chosen) = leg, pair, when
    rail, model = draft.asked.rail, draft.model
    for spot in {**node.since, **after.until}:
        at_start, at_goal = (rail.near((arm, place), spot) for place in way)
        if at_goal and not at_start:
            entered = node.depart + rail.enters(arm, way, steps, spot)
            model.add(after.until[spot] + wrap <= entered).only_enforce_if(chosen, draft.taken[spot])
        elif at_goal:
            model.add(after.until[spot] + wrap <= node.until[spot]).only_enforce_if(chosen, draft.taken[spot])
            model.add(node.since[spot] >= after.since[spot] + wrap).only_enforce_if(chosen, draft.taken[spot])
        elif at_start:
            left = node.depart + rail.leaves(arm, way, steps, spot)
            model.add(node.since[spot] >= left).only_enforce_if(chosen, draft.taken[spot])


def add_turns(draft: Draft, lower: tuple[str, Node], upper: tuple[str, Node]) -> None:
    """Two rests that may be too near each other are held one after the other, in every lap."""
    (below, one), (above, other) = lower, upper
    near = [(p, q) for p in one.at for q in other.at if draft.asked.rail.near((below, p), (above, q))]
    moving = bool(draft.asked.tours[below]) and bool(draft.asked.tours[above])
    laps = {
        lap: draft.model.new_bool_var("")
        for lap in (laps_of(draft.asked, (below, one), (above, other)) if near and moving else ())
    }
    for p, q in near:
        draft.model.add_bool_or([*laps.values(), ~one.at[p], ~other.at[q]])
    for lap, here in laps.items():
        for q in dict.fromkeys(q for _, q in near):
            add_turn(draft, (one, other), (above, q), (lap, [here, other.at[q]]))
        for p in dict.fromkeys(p for p, _ in near):
            add_turn(draft, (other, one), (below, p), (1 - lap, [here, one.at[p]]))


def add_turn(draft: Draft, pair: tuple[Node, Node], spot: tuple[str, str], when: "tuple[int, list[IntVar]]") -> None:
    """The second's rest at a spot comes after the first's, so many laps on, and before the first's next one."""
    (one, other), (lap, chosen), model = pair, when, draft.model
    model.add(one.since[spot] <= other.arrive + lap * draft.period).only_enforce_if(chosen)
    model.add(other.depart + (lap - 1) * draft.period <= one.until[spot]).only_enforce_if(chosen)


def laps_of(asked: Asked, lower: tuple[str, Node], upper: tuple[str, Node]) -> range:
    """How many laps on the second may come after the first: visits as they do, rests aside wherever they can be."""
    (below, one), (above, other) = lower, upper
    first, last = (-((a - b) // asked.period_steps) for a, b in ((other.late, one.early), (other.early, one.late)))
    if one.call is not None and other.call is not None:
        calls = asked.tours[below][one.call], asked.tours[above][other.call]
        spells = [Spell(begins=n.early, ends=n.late, call=call) for n, call in zip((one, other), calls, strict=True)]
        last = asked.lap_between(*spells)
        return range(last, last + 1)
    return range(first - 1, last + 2)


def rests_of(draft: Draft, solver: "CpSolver", arm: str) -> list[Rest]:
    """One attendant's rests with the motions between them."""
    rail, nodes, tour = draft.asked.rail, draft.nodes[arm], draft.asked.tours[arm]
    places = [next(place for place, here in node.at.items() if solver.value(here)) for node in nodes]
    found = []
    for index, node in enumerate(nodes):
        way = places[index], places[(index + 1) % len(nodes)]
        steps = rail.steps(arm, way, tour[index // (1 + draft.rests)].goes_loaded) if tour and way[0] != way[1] else 0
        found.append(
            Rest(
                place=way[0],
                arrive=solver.value(node.arrive),
                depart=solver.value(node.depart),
                goes_steps=steps or 0,
                calls=() if node.call is None else ((node.call, 0),),
            )
        )
    return found

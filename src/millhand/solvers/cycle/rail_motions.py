"""The shortest period of known tours on a shared track, with every motion: when to go, and where to move aside.

Between two visits an attendant may go straight, or stop once at any place on the way or aside, and set out at any time.
All is exact in whole grid steps. For each place of a neighbour the model knows until when an attendant keeps clear of it
before a rest (`until`), and from when on it is clear again after it (`since`); rests in a row that are too near share
both. Two rests that are too near are then held one after the other, in every lap.
"""

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from millhand.solvers.cycle.rail import Rail
from millhand.solvers.cycle.rail_tours import Asked, Call, Rest, Timed

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpModel, CpSolver, IntVar, LinearExprT

LAPS = range(-3, 5)  # two tours may lie so many laps apart: each spans at most two periods, and both may slip by one


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How much is tried: seconds, threads of the solver, and whether moving aside is allowed."""

    seconds: float
    workers: int = 1
    aside: bool = True


@dataclass(slots=True, kw_only=True)
class Node:
    """One rest in the model; `at` holds for each place whether the rest is there."""

    at: dict[str, "IntVar"]
    arrive: "LinearExprT"
    depart: "LinearExprT"
    call: int | None = None
    until: dict[tuple[str, str], "IntVar"] = field(default_factory=dict)
    since: dict[tuple[str, str], "IntVar"] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """The model while it is built: the solver's model, the period, the events, and the rests of each attendant."""

    model: "CpModel"
    asked: Asked
    period: "IntVar"
    times: "tuple[IntVar, ...]"
    yes: "IntVar"
    span: tuple[int, int]
    nodes: "dict[str, list[Node]]"
    taken: "dict[tuple[str, str], IntVar]"  # whether an attendant is at a place at all

    def time(self) -> "IntVar":
        """A new point of time."""
        return self.model.new_int_var(*self.span, "")


def motions(asked: Asked, effort: Effort) -> Timed | None:
    """The tours with their motions at the shortest period that was found; None where none was found.

    Straight ways are tried first: where they reach the floor nothing can be gained by moving aside. Otherwise both are
    allowed, and among the shortest periods one with few rests aside is taken.
    """
    straight = searched(asked, effort, aside=False)
    if not effort.aside or (straight is not None and straight.period_steps == asked.floor_steps):
        return straight
    with_rests = searched(asked, effort, aside=True)
    if straight is None or with_rests is None or with_rests.period_steps < straight.period_steps:
        return with_rests or straight
    return replace(straight, least_steps=with_rests.least_steps)


def searched(asked: Asked, effort: Effort, *, aside: bool) -> Timed | None:
    """One search, with rests aside allowed or not; `least_steps` holds for motions of this kind."""
    draft = built(asked, aside)
    draft.model.minimize(draft.period)
    solver = solved(draft, effort)
    if solver is None:
        return None
    period, least = solver.value(draft.period), round(solver.best_objective_bound)
    if aside:
        rests = [~node.at[tour[number].place] for arm, tour in asked.tours.items()
                 for number, node in enumerate(draft.nodes[arm][1::2])]  # fmt: skip
        draft.model.add(draft.period == period)
        draft.model.minimize(sum(rests))
        solver = solved(draft, effort) or solver
    return timed(draft, solver, least)


def solved(draft: Draft, effort: Effort) -> "CpSolver | None":
    """The solver after its search; None where it found nothing."""
    from ortools.sat.python.cp_model import CpSolver

    solver = CpSolver()
    solver.parameters.max_time_in_seconds = effort.seconds
    solver.parameters.num_workers = effort.workers
    solver.parameters.random_seed = 1
    return solver if solver.solve(draft.model) in (2, 4) else None  # feasible, optimal


def built(asked: Asked, aside: bool) -> Draft:
    """The whole model."""
    draft = drafted(asked)
    for arm, tour in asked.tours.items():
        add_nodes(draft, arm, tour, aside)
    for arm in asked.tours:
        add_taken(draft, arm)
    for arm in asked.tours:
        add_ways(draft, arm)
    for below, above in zip(asked.rail.arms, asked.rail.arms[1:], strict=False):
        for one in draft.nodes[below]:
            for other in draft.nodes[above]:
                add_turns(draft, (below, one), (above, other))
    return draft


def drafted(asked: Asked) -> Draft:
    """Events, their arcs, and a period between the floor and a time in which all can be done one after the other."""
    from ortools.sat.python.cp_model import CpModel

    model = CpModel()
    longest = longest_steps(asked)
    laps = 2 + max((abs(asked.lap(event)) for event in range(len(asked.times))), default=0)
    span = (-3 * longest, (laps + 3) * longest)
    period = model.new_int_var(asked.floor_steps, longest, "period")
    times = tuple(model.new_int_var(*span, "") for _ in asked.times)
    for before, after, lag, over in asked.arcs:
        model.add(times[after] >= times[before] + lag - over * period)
    if times:
        model.add(times[0] == asked.times[0])
    return Draft(
        model=model, asked=asked, period=period, times=times, yes=model.new_constant(1), span=span,
        nodes={arm: [] for arm in asked.tours}, taken={},
    )  # fmt: skip


def longest_steps(asked: Asked) -> int:
    """A period that is long enough for anything: the known one, and every tour with the longest ways, one by one."""
    rail = asked.rail
    ways = {
        arm: max(
            (steps for a in rail.places(arm) for b in rail.places(arm) for hand in (False, True)
             if (steps := rail.steps(arm, (a, b), hand)) is not None), default=0)
        for arm in asked.tours
    }  # fmt: skip
    return 2 * asked.period_steps + sum(4 * ways[arm] * (len(tour) + 1) for arm, tour in asked.tours.items())


def add_nodes(draft: Draft, arm: str, tour: tuple[Call, ...], aside: bool) -> None:
    """The rests of one attendant: its visits, and after each of them one rest that may be anywhere.

    A rest at the same place as the visit is none at all. One with nothing to do has a single rest.
    """
    model, nodes = draft.model, draft.nodes[arm]
    for number, call in enumerate(tour):
        first, last = draft.asked.laps(call)
        node = Node(at={call.place: draft.yes}, arrive=draft.time(), depart=draft.time(), call=number)
        model.add(node.arrive + call.lead_steps <= draft.times[call.first] - first * draft.period)
        model.add(node.depart >= draft.times[call.last] - last * draft.period)
        model.add(node.depart >= node.arrive)
        nodes.append(node)
        if aside:
            nodes.append(free_node(draft, arm, ends(tour, number)))
    if not tour:
        at = {place: model.new_bool_var("") for place in parking(draft.asked, arm)}
        model.add_exactly_one(at.values())
        nodes.append(Node(at=at, arrive=draft.time(), depart=draft.time()))


def parking(asked: Asked, arm: str) -> tuple[str, ...]:
    """Where one with nothing to do may stand: at home where that is in nobody's way, otherwise anywhere."""
    rail = asked.rail
    home = rail.homes[arm]
    busy = [(other, call.place) for other in neighbours(rail, arm) for call in asked.tours.get(other, ())]
    return rail.places(arm) if any(rail.near((arm, home), spot) for spot in busy) else (home,)


def ends(tour: tuple[Call, ...], number: int) -> tuple[Call, Call]:
    """A visit and the one after it."""
    return tour[number], tour[(number + 1) % len(tour)]


def free_node(draft: Draft, arm: str, calls: tuple[Call, Call]) -> Node:
    """A rest between two visits at any place to which and from which there is a way."""
    rail, (one, other) = draft.asked.rail, calls
    places = [
        place
        for place in rail.places(arm)
        if place == one.place
        or (place != other.place and None not in (
            rail.steps(arm, (one.place, place), one.goes_loaded),
            rail.steps(arm, (place, other.place), one.goes_loaded),
        ))
    ]  # fmt: skip
    at = {place: draft.model.new_bool_var("") for place in places}
    draft.model.add_exactly_one(at.values())
    node = Node(at=at, arrive=draft.time(), depart=draft.time())
    draft.model.add(node.depart >= node.arrive)
    draft.model.add(node.depart == node.arrive).only_enforce_if(at[one.place])
    return node


def add_taken(draft: Draft, arm: str) -> None:
    """Which places an attendant is at; where it never is nobody has to keep clear of it."""
    for node in draft.nodes[arm]:
        for place, here in node.at.items():
            spot = arm, place
            if here is draft.yes or spot not in draft.taken:
                draft.taken[spot] = draft.yes if here is draft.yes else draft.model.new_bool_var("")
    for node in draft.nodes[arm]:
        for place, here in node.at.items():
            draft.model.add_implication(here, draft.taken[arm, place])


def neighbours(rail: Rail, arm: str) -> list[str]:
    """Those next to an attendant in the order along the track."""
    here = rail.arms.index(arm)
    return [rail.arms[index] for index in (here - 1, here + 1) if 0 <= index < len(rail.arms)]


def add_ways(draft: Draft, arm: str) -> None:
    """The motions from rest to rest: their times, and until and since when they are clear of others' places."""
    nodes = draft.nodes[arm]
    if len(nodes) == 1 and nodes[0].call is None:
        return
    spots = [spot for spot in draft.taken if spot[0] in neighbours(draft.asked.rail, arm)]
    for node in nodes:
        near = [spot for spot in spots if any(draft.asked.rail.near((arm, place), spot) for place in node.at)]
        node.until = {spot: draft.time() for spot in near}
        node.since = {spot: draft.time() for spot in near}
    loaded = False
    for index, node in enumerate(nodes):
        after = nodes[(index + 1) % len(nodes)]
        wrap = draft.period if index + 1 == len(nodes) else 0
        loaded = draft.asked.tours[arm][node.call].goes_loaded if node.call is not None else loaded
        for way, steps, chosen in legs(draft, arm, (node, after), loaded):
            draft.model.add(after.arrive + wrap == node.depart + steps).only_enforce_if(chosen)
            add_clear(draft, (arm, way, steps), (node, after), (wrap, chosen))


def legs(
    draft: Draft, arm: str, pair: tuple[Node, Node], loaded: bool
) -> "list[tuple[tuple[str, str], int, IntVar]]":
    """The motions between two rests, with their times and with what says that they are made."""
    found = []
    for start, here in pair[0].at.items():
        for goal, there in pair[1].at.items():
            steps = 0 if start == goal else draft.asked.rail.steps(arm, (start, goal), loaded)
            chosen = here if there is draft.yes else there
            if here is not draft.yes and there is not draft.yes:
                raise AssertionError("a rest whose place is free lies between visits")
            if steps is None:
                draft.model.add(chosen == 0)
            else:
                found.append(((start, goal), steps, chosen))
    return found


def add_clear(
    draft: Draft,
    leg: tuple[str, tuple[str, str], int],
    pair: tuple[Node, Node],
    when: "tuple[LinearExprT, IntVar]",
) -> None:
    """What one motion says about being clear of each place of a neighbour before its goal and after its start."""
    (arm, way, steps), (node, after), (wrap, chosen) = leg, pair, when
    rail, model = draft.asked.rail, draft.model
    for spot in {**node.since, **after.until}:
        at_start, at_goal = (rail.near((arm, place), spot) for place in way)
        when_so = [chosen, draft.taken[spot]]
        if at_goal and not at_start:
            entered = node.depart + rail.enters(arm, way, steps, spot)
            model.add(after.until[spot] + wrap <= entered).only_enforce_if(when_so)
        elif at_goal:
            model.add(after.until[spot] + wrap <= node.until[spot]).only_enforce_if(when_so)
            model.add(node.since[spot] >= after.since[spot] + wrap).only_enforce_if(when_so)
        elif at_start:
            left = node.depart + rail.leaves(arm, way, steps, spot)
            model.add(node.since[spot] >= left).only_enforce_if(when_so)


def add_turns(draft: Draft, lower: tuple[str, Node], upper: tuple[str, Node]) -> None:
    """Two rests that may be too near each other are held one after the other, in every lap."""
    (below, one), (above, other) = lower, upper
    rail, model, period = draft.asked.rail, draft.model, draft.period
    near = [(p, q) for p in one.at for q in other.at if rail.near((below, p), (above, q))]
    if not near:
        return
    moving = bool(one.until) and bool(other.until)
    laps = [model.new_bool_var("") for _ in LAPS] if moving else []
    for p, q in near:
        model.add_bool_or([*laps, ~one.at[p], ~other.at[q]])
    for lap, here in zip(LAPS, laps, strict=False):
        for q in dict.fromkeys(q for _, q in near):
            when = [here, other.at[q]]
            model.add(one.since[above, q] <= other.arrive + lap * period).only_enforce_if(when)
            model.add(other.depart + (lap - 1) * period <= one.until[above, q]).only_enforce_if(when)
        for p in dict.fromkeys(p for p, _ in near):
            when = [here, one.at[p]]
            model.add(other.since[below, p] + (lap - 1) * period <= one.arrive).only_enforce_if(when)
            model.add(one.depart <= other.until[below, p] + lap * period).only_enforce_if(when)


def timed(draft: Draft, solver: "CpSolver", least: int) -> Timed:
    """The solution as records; rests that are none are left out."""
    rests = {arm: rests_of(draft, solver, arm) for arm in draft.nodes}
    return Timed(
        period_steps=solver.value(draft.period),
        least_steps=least,
        times=tuple(solver.value(time) for time in draft.times),
        rests=rests,
    )


def rests_of(draft: Draft, solver: "CpSolver", arm: str) -> tuple[Rest, ...]:
    """One attendant's rests with the motions between them."""
    rail, nodes = draft.asked.rail, draft.nodes[arm]
    places = [next(place for place, here in node.at.items() if solver.value(here)) for node in nodes]
    if len(nodes) == 1 and nodes[0].call is None:
        return (Rest(place=places[0], arrive=0, depart=0, goes_steps=0),)
    found: list[Rest] = []
    loaded = False
    for index, node in enumerate(nodes):
        loaded = draft.asked.tours[arm][node.call].goes_loaded if node.call is not None else loaded
        way = places[index], places[(index + 1) % len(nodes)]
        steps = 0 if way[0] == way[1] else rail.steps(arm, way, loaded) or 0
        arrive, depart = (solver.value(each) for each in (node.arrive, node.depart))
        if node.call is None and places[index - 1] == places[index]:
            found[-1] = Rest(
                place=way[0], arrive=found[-1].arrive, depart=depart, goes_steps=steps, call=found[-1].call
            )
        else:
            found.append(Rest(place=way[0], arrive=arrive, depart=depart, goes_steps=steps, call=node.call))
    return tuple(found)

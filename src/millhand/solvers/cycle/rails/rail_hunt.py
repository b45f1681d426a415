"""The best cycle of attendants on a shared track: one arm alone, one arm for each piece of the route, all of them free.

What a few of these ways of sharing the work find is a cycle that the search over all of them has to beat: so that two
arms are never worse than one. Only that search says what is proven.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import permutations
from typing import Any

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.deadline import TimeUp, within
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_carries import add_carries
from millhand.solvers.cycle.rails.rail_cycle import Placed, asked_of, cycle_with_motions
from millhand.solvers.cycle.rails.rail_motions import Allowance
from millhand.solvers.cycle.rails.rail_order import add_orders, add_served, asks_more, pairs
from millhand.solvers.cycle.rails.rail_program import (
    add_order_at_once,
    add_stays_in_turn,
    carries_at_once,
    placed_of,
    rail_duties,
    rail_visits,
)
from millhand.solvers.cycle.rails.rail_rounds import Tried, Visits, tried_rounds
from millhand.solvers.cycle.rails.rail_search import motions
from millhand.solvers.cycle.rails.rail_tours import Asked
from millhand.solvers.cycle.rails.rail_view import with_shortest_ways, with_ways_of_one_stop
from millhand.solvers.cycle.searching.jobs import NOBODY, Jobs, Move, jobs_of
from millhand.solvers.cycle.searching.program import Program
from millhand.solvers.cycle.searching.search import Answer, Span, built
from millhand.solvers.cycle.simple import best_for
from millhand.solvers.cycle.tours.shape import check_shape, zone_of
from millhand.solvers.cycle.tours.stay import first_event
from millhand.solvers.cycle.tours.tour import Cycle, Stay, hold_steps, name_of
from millhand.solvers.cycle.view import Steady

WITHOUT_CLOCK = 60.0  # units of work where neither they nor the clock are limited
MUCH = 1e6  # units of work where the clock is the limit
BOUND_SHARE = 0.3  # of what may be spent, for a bound that is asked for by itself
LAPS = 2  # a visit begins less than a period before or after the start of the period, and lasts less than one


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """One way of sharing the work: the moves with those who may make them."""

    words: str
    jobs: Jobs


def sharings(view: Steady, rail: Rail, sets: int) -> Iterator[Sharing]:
    """All arms, each handing on to the next, where they are more than two; two arms of which one hands on to the other;
    then one arm alone: each where it can do its moves."""
    jobs = jobs_of(view, sets)
    arms = [arm for arm in rail.arms if arm in view.movers]
    steps = max(len(route) for route in view.routes.values()) - 1
    if 2 < len(arms) <= steps:
        pieces = tuple(round(steps * number / len(arms)) for number in range(1, len(arms)))
        for chain in (tuple(arms), tuple(reversed(arms))):
            yield from sharing(jobs, rail, chain, pieces)
    for cut in dict.fromkeys((steps // 2, 1, steps - 1)) if steps > 1 else ():
        for pair in permutations(arms, 2):
            yield from sharing(jobs, rail, pair, (cut,))
    for arm in arms:
        yield from sharing(jobs, rail, (arm,), ())


def sharing(jobs: Jobs, rail: Rail, chain: tuple[str, ...], cuts: tuple[int, ...]) -> Iterator[Sharing]:
    """The first of a chain makes the moves up to a step of the routes, the next those from there on up to another one,
    the last the rest; nobody else of the track."""

    def kept(move: Move) -> Move:
        idle = {*rail.arms} - {chain[bisect_right(cuts, move.step)]}
        return replace(move, options=tuple(each for each in move.options if each.who not in idle))

    moves = tuple(kept(move) for move in jobs.moves)
    words = " handing on to ".join(chain) if len(chain) > 1 else f"{chain[0]} alone"
    if all(move.options for move in moves):
        yield Sharing(words=words, jobs=replace(jobs, moves=moves))


def alone_steps(view: Steady, arm: str) -> int | None:
    """What one part set asks of one arm with one hand at least: handling and the ways with a part; 0 with more hands,
    None where it cannot do every move."""
    total = 0
    for move in jobs_of(view, 1).moves:
        stays = [(move.pick(arm, o.start), move.place(arm, o.goal)) for o in move.options if o.who in (arm, NOBODY)]
        if not stays:
            return None
        one_hand = view.movers[arm].hands == 1 and all(o.who != NOBODY for o in move.options)
        total += min(alone_carry_steps(view, pick, place) for pick, place in stays) if one_hand else 0
    return total


def alone_carry_steps(view: Steady, pick: Stay, place: Stay) -> int:
    """A lift, its straight way and its set-down."""
    way = view.movers[pick.who].travel_steps(view.places[pick.station], view.places[place.station], loaded=True)
    return hold_steps(view, pick) + (way or 0) + hold_steps(view, place)


def simply_alone(cell: Cell, view: Steady, rail: Rail, arm: str) -> tuple[Cycle, int] | None:
    """The best simple cycle of one arm alone, the others out of its way, and its parts; None where there is none."""
    try:
        zone = zone_of(check_shape(replace(cell, tracks={})), arm)
        found = best_for(cell, zone, floor=0.0)
    except NotYet:
        return None
    at = {event.id: event.at_steps for event in found.cycle.events}
    starts = tuple(at[name_of(index, visit, first_event(visit))] for index, visit in enumerate(found.tour))
    placed = Placed(tour=found.tour, starts=starts, period_steps=found.cycle.period_steps, inside={})
    asked = asked_of(view, rail, placed)
    timed = motions(asked, Allowance(work=1.0), below=None)
    return None if timed is None else (cycle_with_motions(view, placed, asked, timed), found.parts)


def track_searched(view: Steady, rail: Rail, jobs: Jobs, span: Span, effort: Effort, *, bounded: bool = True) -> Answer:
    """The best cycle in a span of periods: visits first, then their motions, as long as these cost more.

    `bounded`: the least period is wanted, too, where it has to be looked for by itself; else only a cycle, soon.
    """
    if span.longest < span.least:
        return Answer(cycle=None, least_steps=span.least, complete=True)
    try:
        program = built(with_ways_of_one_stop(view, rail), jobs, span, 1, deadline=effort.deadline)
        choices = choices_of(program, rail)
    except TimeUp:
        return Answer(cycle=None, least_steps=span.least, complete=False)
    read: list[tuple[Placed, Asked]] = []

    def asked(solver: Any) -> Asked:
        placed = placed_of(program, solver)
        read.append((placed, asked_of(view, rail, placed)))
        return read[-1][1]

    few_arms = len(rail.arms) < 3  # more of them share the work in more ways, and each way would take its time
    allowance, started_with = replace(allowance_of(effort), thorough=bounded or few_arms), allowance_of(effort)
    visits = Visits(model=program.model, period=program.period, choices=choices, asked=asked)
    loose = with_shortest_ways(view, rail)
    known = least_loosely(program, (loose, rail, jobs, span), allowance) if bounded else None
    tried = tried_rounds(visits, allowance, least_steps=span.least)
    least = known.least_steps if known else tried.least_steps if bounded else span.least
    cycle = None
    if tried.best is not None:
        placed = next(placed for placed, own in read if own is tried.best.asked)
        cycle = cycle_with_motions(view, placed, tried.best.asked, tried.best.timed)
    return Answer(
        cycle=cycle,
        least_steps=span.longest + 1 if least is None else least,
        complete=least is None or (cycle is not None and cycle.period_steps <= least),
        crowded=tried.least_steps is None,
        spent=started_with.work - allowance.work,
        spent_s=0.0 if allowance.seconds is None else (started_with.seconds or 0.0) - allowance.seconds,
    )


def least_loosely(program: Program, asked: tuple[Steady, Rail, Jobs, Span], allowance: Allowance) -> Tried | None:
    """Where the visits are asked for more than every cycle does (to stand clear of each other, to leave room for those
    between them, to go ways of one stop): the least period of visits that are asked for no more than that; None where
    the visits as they are say it."""
    view, rail, jobs, span = asked
    visits = [*rail_visits(program, rail), *rail_duties(program, rail)]
    try:
        if view == program.view and not asks_more(rail, visits, allowance.deadline):
            return None
        loose = built(view, jobs, span, 1, deadline=allowance.deadline)
        choices_of(loose, rail, in_motion=True)
    except TimeUp:
        return Tried(best=None, least_steps=span.least)
    ran = allowance.solved_or_not(loose.model, allowance.work * BOUND_SHARE, BOUND_SHARE)
    return Tried(best=None, least_steps=None if ran.impossible else max(span.least, ran.least))


def choices_of(program: Program, rail: Rail, *, in_motion: bool = False) -> list[Any]:
    """Demand what the track demands of the visits; given back is all that says which tours a solution stands for."""
    add_order_at_once(program)
    visits = rail_visits(program, rail)
    served = [*visits, *rail_duties(program, rail)]
    add_served(program.model, rail, served, in_motion=in_motion)
    turns = pairs(rail, served, program.deadline, in_motion=in_motion)
    shifts, turns = add_carries(program, rail, carries_at_once(program, rail, visits), turns)
    orders = add_orders(program.model, turns, program.period, laps=LAPS, deadline=program.deadline)
    add_stays_in_turn(program, rail, visits, orders)
    program.model.minimize(program.terms.get("objective", program.period))
    return [
        *shifts,
        *(here for order in orders for here in order.laps.values()),
        *program.over,
        *(each for chosen in program.chosen for each in chosen.values()),
        *(leg.gone for legs in program.legs.values() for leg in legs),
        *program.swaps.values(),
        *(each for _, who in program.duties for each in who.values()),
        *(each for laps in program.laps.values() for each in laps),
    ]


def crowded() -> NotYet:
    """What is said where no visits were found during which everybody has a place to stand."""
    return NotYet(
        "a cycle in which somebody has no place to stand while another one serves a station",
        where="/tracks",
        cure="places for it on the track (track_m) and their travel times, beyond the outermost stations or between",
    )


def allowance_of(effort: Effort) -> Allowance:
    """An effort as what the search on a track may spend."""
    unlimited = WITHOUT_CLOCK if effort.seconds is None else MUCH
    work = unlimited if effort.deterministic is None else effort.deterministic
    seconds = within(effort.seconds, effort.deadline)
    return Allowance(work=work, seconds=seconds, workers=effort.workers, seed=effort.seed, deadline=effort.deadline)

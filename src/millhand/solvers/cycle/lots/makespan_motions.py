"""Every motion for visits on a shared track whose orders are given: when each sets out, and where it stands aside.

Between two visits an attendant waits where it is, goes on at once, or stands aside at one other place, and before its
first and after its last visit too. Each two pieces of two ways are kept apart as exactly as positions ask for. So for
these orders nothing shorter exists with one stop aside between two visits; where that is too few, two are tried.
"""

from collections.abc import Generator, Iterator
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from millhand.solvers.cycle.lots.makespan_in_hand import is_slower_loaded
from millhand.solvers.cycle.lots.makespan_model import Draft
from millhand.solvers.cycle.lots.makespan_motion_order import Order
from millhand.solvers.cycle.lots.makespan_passing import Known, Piece, WayOut, pairs_of, ways_out
from millhand.solvers.cycle.lots.makespan_plan import Moment, Plan, Visit
from millhand.solvers.cycle.lots.makespan_rides import is_exchange
from millhand.solvers.cycle.lots.makespan_tours import Call, calls_of, turn_between
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.view import Mover

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver, IntVar, LinearExpr


@dataclass(slots=True, kw_only=True)
class Asides:
    """What is asked about motions: where somebody stands aside after a visit, and who comes first where two meet."""

    several: bool = False  # whether somebody may stop twice
    aside: "dict[tuple[str, Visit | None], dict[str, IntVar]]" = field(default_factory=dict)
    again: "dict[tuple[str, Visit | None], dict[str, IntVar]]" = field(default_factory=dict)
    after: "dict[tuple[str, Visit], tuple[str, Visit | None]]" = field(default_factory=dict)  # a visit: what was before
    meets: "list[tuple[tuple[IntVar, ...], list[tuple[IntVar, WayOut]]]]" = field(default_factory=list)
    order: Order = field(default_factory=Order)  # what comes first at one moment, if asked


@dataclass(slots=True, kw_only=True)
class Going:
    """An attendant while its visits are gone through: where it stands since when, from when it may go, what it has in
    hand, and its visit before."""

    mover: Mover
    at: str
    since: "LinearExpr | int" = 0
    came: Moment | None = None
    free: "LinearExpr | int" = 0
    held: int = 0
    before: Call | None = None

    @property
    def key(self) -> tuple[str, Visit | None]:
        """After what it would stand aside."""
        return self.mover.id, None if self.before is None else self.before.visit

    @property
    def loaded(self) -> bool:
        """Whether it goes with a part in one of several hands."""
        return self.mover.hands > 1 and self.held > 0


def add_motions(draft: Draft, rail: Rail, plan: Plan, *, several: bool = False) -> Asides:
    """The ways of all attendants on tracks with others, for the orders of a plan, kept apart; `several`: with two stops
    aside where one is too few."""
    asked, known = Asides(several=several), Known()
    draft.model.add_max_equality(draft.end, [draft.time[hop, "placed"] for hop in draft.lots.hops()])
    own = {who: list(run_of(draft, rail, (who, plan), asked)) for who in rail.arms}
    for one, other in pairs_of(rail, own):
        out = ways_out(rail, one, other, known)
        if out is None:
            continue
        made = (*one.made, *other.made)
        lits = []
        for way in out:
            lit = draft.yes(f"{one.who} {other.who} {len(asked.meets)}")
            draft.model.add(way.after >= way.before + way.lag).only_enforce_if([lit, *made])
            if way.lag == 0:
                asked.order.meet(draft, (way.before, way.after), way.moments, [lit, *made])
            lits.append((lit, way))
        draft.model.add_bool_or([*(lit for lit, _ in lits), *(~each for each in made)])
        asked.meets.append((made, lits))
    return asked


def run_of(draft: Draft, rail: Rail, of: tuple[str, Plan], asked: Asides) -> Iterator[Piece]:
    """All pieces of one attendant's way, from its start to the end of all lots."""
    who, plan = of
    mover = draft.lots.view.movers[who]
    going = Going(mover=mover, at=rail.homes[who])
    calls = {call.visit: call for call in calls_of(draft, mover) if is_meant(draft, plan, call)}
    for visit in plan.orders.get(who, ()):
        call = calls[visit]
        if going.before is None or not is_exchange(plan, going.before.visit, visit):
            yield from to_visit(draft, rail, (going, call), asked)
        if visit.kind == "carry":
            yield from carried(draft, plan, (going, call), asked)
        going.held += {"pick": 1, "place": -1}.get(visit.kind, 0)
        going.free, going.before = call.ends, call
    yield from at_last(draft, rail, going, asked)


def is_meant(draft: Draft, plan: Plan, call: Call) -> bool:
    """Whether a visit is the one that the plan makes, of all the ways that a transfer has."""
    if call.visit.kind == "change":
        return True
    way = plan.carried[call.visit.hop].way
    return call.station == (way.goal if call.visit.kind == "place" else way.start) and (
        call.visit.kind != "carry" or call.made is draft.way[call.visit.hop, way]
    )


def to_visit(draft: Draft, rail: Rail, on: tuple[Going, Call], asked: Asides) -> Iterator[Piece]:
    """The rest before, the way to a visit, straight or with one stop aside, and the rest there before it begins."""
    (going, call), model, who = on, draft.model, on[0].mover.id
    goal = call.place_in or ""
    quits, departs, arrives = (draft.instant(f"{what} {who} {call.visit}") for what in ("quits", "departs", "arrives"))
    model.add(quits >= going.free)
    sets_out = Moment(who=who, visit=call.visit, name="to", what="depart")
    reached = replace(sets_out, what="arrive")
    straight = going.mover.travel_steps(going.at, goal, loaded=going.loaded)
    asides = asides_of(draft, rail, going, goal)
    asked.aside[going.key] = asides
    asked.after[who, call.visit] = going.key
    none = draft.yes(f"straight {who} {call.visit}")
    model.add_exactly_one([none, *asides.values()])
    off = replace(sets_out, name="off")
    asked.order.leave(draft, (going.free, quits), (going.key[1], off))
    asked.order.come(draft, (arrives, call.begins), (reached, call.visit))
    yield rest(going, quits, off)
    if straight is None:
        model.add(none == 0)
    else:
        model.add(quits == departs).only_enforce_if(none)
        model.add(arrives == departs + straight).only_enforce_if(none)
        asked.order.same(draft, (off, sets_out), none)
        asked.order.way(draft, (sets_out, reached), (straight, none))
        if going.at != goal:
            yield Piece(who=who, places=(going.at, goal), begins=departs, steps=straight, made=(none,), first=sets_out)
    for place, lit in asides.items():
        asked.order.aside(draft, (off, going.key), (going_steps(going, place), lit))
    for place, last in (yield from stops(draft, going, asked, quits, departs, sets_out)):
        on_to = going.mover.travel_steps(place, goal, loaded=going.loaded) or 0
        model.add(arrives == departs + on_to).only_enforce_if(last)
        asked.order.way(draft, (sets_out, reached), (on_to, last))
        yield Piece(who=who, places=(place, goal), begins=departs, steps=on_to, made=(last,), first=sets_out)
    turn = 0 if going.before is None else turn_between(draft, going.mover, (going.before, call))
    model.add(call.begins >= arrives + call.lead)
    model.add(call.begins >= arrives + call.lead + turn).only_enforce_if(none)
    going.at, going.since, going.came = goal, arrives, reached


def stops(
    draft: Draft, going: Going, asked: Asides, quits: "IntVar", until: "IntVar | None", leaves: Moment | None
) -> "Generator[Piece, None, list[tuple[str, IntVar]]]":
    """The ways to places aside and the rests there; in the end from which place one goes on."""
    firsts = asked.aside[going.key]
    if not asked.several or not firsts:
        for place, lit in firsts.items():
            yield from first_stop(draft, going, asked, (place, lit, quits), (lit, until, leaves))
        return list(firsts.items())
    model, who, visit = draft.model, *going.key
    seconds = asked.again[going.key] = {place: draft.yes(f"again {going.key} {place}") for place in firsts}
    goes = draft.instant(f"again {going.key}")
    found = []
    off = Moment(who=who, visit=visit, name="again", what="depart")
    for place, lit in firsts.items():
        on, only = (draft.yes(f"{what} {going.key} {place}") for what in ("twice", "once"))
        model.add(on + only == lit)
        ends = [seconds[other] for other in firsts if other != place]
        model.add_bool_or([*ends, ~on])
        model.add(sum(seconds.values()) == 0).only_enforce_if(only)
        yield from first_stop(draft, going, asked, (place, lit, quits), (only, until, leaves))
        yield from first_rest(draft, going, asked, (place, lit, quits), (on, goes, off))
        found.append((place, only))
    model.add_at_most_one(seconds.values())
    model.add(sum(seconds.values()) <= sum(firsts.values()))
    yield from second_stop(draft, going, asked, (goes, off), (until, leaves))
    return [*found, *seconds.items()]


def first_stop(
    draft: Draft,
    going: Going,
    asked: Asides,
    spot: "tuple[str, IntVar, IntVar]",
    on: "tuple[IntVar, IntVar | None, Moment | None]",
) -> Iterator[Piece]:
    """The way to a place aside, and the rest there until one goes on from there."""
    (place, lit, quits), who = spot, going.mover.id
    gone = Moment(who=who, visit=going.key[1], name="home", what="depart")
    yield Piece(
        who=who, places=(going.at, place), begins=quits, steps=going_steps(going, place), made=(lit,), first=gone
    )
    yield from first_rest(draft, going, asked, spot, on)


def first_rest(
    draft: Draft,
    going: Going,
    asked: Asides,
    spot: "tuple[str, IntVar, IntVar]",
    on: "tuple[IntVar, IntVar | None, Moment | None]",
) -> Iterator[Piece]:
    """The rest at a place aside until some moment, if that is the one."""
    (place, _, quits), (lit, until, leaves) = spot, on
    begins, who = quits + going_steps(going, place), going.mover.id
    stands = Moment(who=who, visit=going.key[1], name="home", what="arrive")
    if until is not None:
        draft.model.add(until >= begins).only_enforce_if(lit)
        asked.order.meet(draft, (begins, until), (stands, leaves), [lit])
    yield Piece(who=who, places=(place, place), begins=begins, ends=until, made=(lit,), first=stands, last=leaves)


def second_stop(
    draft: Draft,
    going: Going,
    asked: Asides,
    off: "tuple[IntVar, Moment]",
    on: "tuple[IntVar | None, Moment | None]",
) -> Iterator[Piece]:
    """The ways from one place aside to another, and the rest at that."""
    (goes, gone), (until, leaves), firsts = off, on, asked.aside[going.key]
    model, who, there = draft.model, going.mover.id, replace(gone, what="arrive")
    for goal, last in asked.again[going.key].items():
        stands = draft.instant(f"stands {going.key} {goal}")
        for place, lit in firsts.items():
            steps = going.mover.travel_steps(place, goal, loaded=going.loaded)
            if place == goal or not steps:
                model.add_bool_or([~lit, ~last])
                continue
            model.add(stands == goes + steps).only_enforce_if([lit, last])
            yield Piece(who=who, places=(place, goal), begins=goes, steps=steps, made=(lit, last), first=gone)
        model.add(stands <= (draft.end if until is None else until)).only_enforce_if(last)
        if until is not None:
            asked.order.meet(draft, (stands, until), (there, leaves), [last])
        yield Piece(who=who, places=(goal, goal), begins=stands, ends=until, made=(last,), first=there, last=leaves)


def going_steps(going: Going, place: str) -> int:
    """The way to a place aside."""
    return going.mover.travel_steps(going.at, place, loaded=going.loaded) or 0


def asides_of(draft: Draft, rail: Rail, going: Going, goal: str | None) -> "dict[str, IntVar]":
    """The places where somebody can stand aside on its way, or after its last visit."""
    mover = going.mover
    if going.held and (going.mover.hands == 1 or is_slower_loaded(mover)):
        return {}

    def reaches(way: tuple[str, str]) -> bool:
        return mover.travel_steps(*way, loaded=going.loaded) is not None

    return {
        place: draft.yes(f"aside {going.key} {place}")
        for place in rail.places(mover.id)
        if place != going.at and reaches((going.at, place)) and (goal is None or reaches((place, goal)))
        if place != goal
    }


def rest(going: Going, quits: "LinearExpr | int", leaves: Moment | None) -> Piece:
    """Standing where one is until one sets out."""
    return Piece(
        who=going.mover.id, places=(going.at, going.at), begins=going.since, ends=quits, first=going.came, last=leaves
    )


def carried(draft: Draft, plan: Plan, on: tuple[Going, Call], asked: Asides) -> Iterator[Piece]:
    """The rest where a part is lifted, and the way with it."""
    going, call = on
    hop, who, goal = call.visit.hop, going.mover.id, call.place_out or ""
    lifted, steps = draft.time[hop, "lifted"], draft.lots.carry_steps(plan.carried[hop].way)
    if going.at == goal:
        return
    begins = Moment(who=who, visit=call.visit, name="on", what="depart")
    asked.order.carried(draft, begins, (lifted + steps, steps))
    yield rest(going, lifted, begins)
    yield Piece(who=who, places=(going.at, goal), begins=lifted, steps=steps, first=begins)
    going.at, going.since, going.came = goal, lifted + steps, replace(begins, what="arrive")


def at_last(draft: Draft, rail: Rail, going: Going, asked: Asides) -> Iterator[Piece]:
    """After the last visit somebody stays where it is for good, or goes aside and stays there."""
    who, forever = going.mover.id, draft.horizon + draft.margin + 1
    quits = draft.model.new_int_var(0, forever, f"quits {who} at last")
    draft.model.add(quits >= going.free)
    asides = asked.aside[going.key] = asides_of(draft, rail, going, None)
    stays = draft.yes(f"stays {who}")
    draft.model.add_exactly_one([stays, *asides.values()])
    draft.model.add(quits == forever).only_enforce_if(stays)
    for place, lit in asides.items():  # who would not be there when all is over stays
        draft.model.add(quits + going_steps(going, place) <= draft.end).only_enforce_if(lit)
    draft.model.add(quits < draft.end).only_enforce_if(~stays)
    gone = Moment(who=who, visit=going.key[1], name="home", what="depart")
    asked.order.leave(draft, (going.free, quits), (going.key[1], gone))
    yield rest(going, quits, gone)
    for place, lit in asides.items():
        asked.order.way(draft, (gone, replace(gone, what="arrive")), (going_steps(going, place), lit))
    yield from stops(draft, going, asked, quits, None, None)


def with_asides(plan: Plan, asked: Asides, solver: "CpSolver") -> Plan:
    """The plan with its stops aside, and who waits for whom on the track."""
    parks = {
        key: place for key, places in asked.aside.items() for place, lit in places.items() if solver.boolean_value(lit)
    }
    again = {
        key: place for key, places in asked.again.items() for place, lit in places.items() if solver.boolean_value(lit)
    }
    clear = []
    for made, lits in asked.meets:
        if all(solver.boolean_value(lit) for lit in made):
            way = next(way for lit, way in lits if solver.boolean_value(lit))
            before, after = way.moments
            if before is not None and after is not None:
                clear.append((leaving(before, parks, asked), after, way.lag))
    return replace(plan, parks=parks, again=again, apart=(), clear=tuple(dict.fromkeys(clear)))


def leaving(moment: Moment, parks: "dict[tuple[str, Visit | None], str]", asked: Asides) -> Moment:
    """A rest ends when its attendant sets out, first for a place aside where it goes to one."""
    if moment.name != "off" or moment.visit is None:
        return moment
    key = asked.after[moment.who, moment.visit]
    return replace(moment, visit=key[1], name="home") if key in parks else replace(moment, name="to")

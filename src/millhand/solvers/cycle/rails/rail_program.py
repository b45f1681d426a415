"""The visits of the constraint program on a shared track, and a solution of it as tours that need motions."""

from collections.abc import Iterator, Sequence
from typing import Any

from millhand.solvers.cycle.rails.passing import Stretch
from millhand.solvers.cycle.rails.rail import Rail
from millhand.solvers.cycle.rails.rail_carries import Carry
from millhand.solvers.cycle.rails.rail_cycle import Placed
from millhand.solvers.cycle.rails.rail_order import Order, RailVisit
from millhand.solvers.cycle.searching.jobs import Option
from millhand.solvers.cycle.searching.nodes import carry_steps, duties_done, stays_for, stays_with_load
from millhand.solvers.cycle.searching.program import Literal, Node, Program, Whole, measured
from millhand.solvers.cycle.searching.solved import inside_of, timed_tour
from millhand.solvers.cycle.tours.tour import Stay, hold_steps
from millhand.solvers.cycle.view import Steady


def rail_visits(program: Program, rail: Rail) -> list[RailVisit]:
    """Every lift and set-down that an attendant on the track may make."""
    return [
        rail_visit(program, rail, (number, lifts), who, station) for number, lifts, who, station in keys(program, rail)
    ]


def rail_duties(program: Program, rail: Rail) -> list[RailVisit]:
    """Every duty that an attendant on the track may do; with one hand only while it is empty."""
    return [
        RailVisit(
            who=who,
            place=program.view.places[node.arrives.station] or "",
            task=f"duty {node.move}",
            start=node.starts,
            end=node.starts + node.from_start,
            present=node.made,
            comes_loaded=False if program.view.movers[who].hands == 1 else None,
            goes_loaded=False if program.view.movers[who].hands == 1 else None,
        )
        for who in rail.arms
        for node in duties_done(program, who)
    ]


def keys(program: Program, rail: Rail) -> Iterator[tuple[int, bool, str, str]]:
    """Of each visit the move, whether it lifts, by whom and where."""
    for move in program.jobs.moves:
        for lifts in (True, False):
            stations = dict.fromkeys((o.who, o.start if lifts else o.goal) for o in move.options if o.who in rail.arms)
            for who, station in stations:
                yield move.number, lifts, who, station


def add_stays_in_turn(program: Program, rail: Rail, visits: Sequence[RailVisit], orders: Sequence[Order]) -> None:
    """Who sets a part down at a station for one part, and who lifts it there, come as the part's stay has it.

    With times for handling this follows from the times, too.
    """
    known = {id(visit): key for visit, key in zip(visits, keys(program, rail), strict=True)}
    for order in orders:
        if any(id(each) not in known for each in (order.turns.first, order.turns.second)):  # a duty moves no part
            continue
        (one, lifts, _, station), (other, _, _, there) = known[id(order.turns.first)], known[id(order.turns.second)]
        coming, going = (other, one) if lifts else (one, other)
        spot = program.jobs.moves[going].start
        same = station == there and station in program.view.singles and program.jobs.stays.get(spot) == (coming, going)
        for lap, here in order.laps.items() if same else ():
            periods = 1 - lap if lifts else lap
            known_laps = 0 <= periods < len(program.laps[spot])
            program.model.add_bool_or([~here, *([program.laps[spot][periods]] if known_laps else [])])


def rail_visit(program: Program, rail: Rail, of: tuple[int, bool], who: str, station: str) -> RailVisit:
    """One of them; with one hand it is known whether a part is carried before and after."""
    number, lifts = of
    move, one_hand = program.jobs.moves[number], program.view.movers[who].hands == 1
    stay = move.pick(who, station) if lifts else move.place(who, station)
    stays: Whole = 0
    if one_hand and not lifts:
        stays = stays_for(program.view, stay) + stays_with_load(program, number, station)
    start: Whole = (program.lift if lifts else program.set_down)[number]
    made = (program.picks if lifts else program.places)(number, who, station)
    return RailVisit(
        who=who,
        place=program.view.places[station] or "",
        task=str(number),
        start=start - least_lead(program.view, stay),
        end=start + measured(program, number, "lift" if lifts else "set", "hold") + stays,
        present=program.some(made),
        comes_loaded=not lifts if one_hand else None,
        goes_loaded=lifts if one_hand else None,
        goes_to=other_end(program, rail, of, who, station) if one_hand and lifts else None,
        comes_from=other_end(program, rail, of, who, station) if one_hand and not lifts else None,
    )


def other_end(program: Program, rail: Rail, of: tuple[int, bool], who: str, station: str) -> str | None:
    """Where one hand carries the part that it lifts here, or whence it brings the one that it sets down here; None
    where there are several such places, the part may wait on its way, or a way with a stop is as short."""
    number, lifts = of
    move, view = program.jobs.moves[number], program.view
    here = view.places[station] or ""
    ends = {
        view.places[o.goal if lifts else o.start] or ""
        for o in move.options
        if o.who == who and station == (o.start if lifts else o.goal)
    }
    if len(ends) != 1 or not view.goes_at_once(move.part, move.step):
        return None
    (end,) = ends
    return end if is_straight(rail, who, (here, end) if lifts else (end, here)) else None


def least_empty_way(rail: Rail, who: str, place: str, *, leaves: bool) -> int:
    """How long before a lift, or after a set-down, an attendant stands at a place or is on its way to or from there:
    all that counts under the rule 'order'. Under the other it may be anywhere near."""
    if rail.track(who).rule != "order":
        return 0
    ways = ((place, other) if leaves else (other, place) for other in rail.places(who) if other != place)
    return min((steps for way in ways if (steps := rail.steps(who, way, False)) is not None), default=0)


def is_straight(rail: Rail, who: str, way: tuple[str, str]) -> bool:
    """Whether the shortest loaded way is the straight one, and any with a stop longer."""
    straight = rail.steps(who, way, True)
    return straight is not None and not any(
        first + then <= straight
        for place in set(rail.places(who)) - set(way)
        if (first := rail.steps(who, (way[0], place), True)) is not None
        and (then := rail.steps(who, (place, way[1]), True)) is not None
    )


def carries_at_once(program: Program, rail: Rail, visits: Sequence[RailVisit]) -> list[Carry]:
    """The carries in one hand that are gone straight and at once, each between two stations only."""
    known = dict(zip(keys(program, rail), visits, strict=True))
    found = []
    for move in program.jobs.moves:
        for who in rail.arms:
            own = [option for option in move.options if option.who == who]
            if len(own) == 1 and move.number not in program.waits and program.view.movers[who].hands == 1:
                (option,) = own
                two = (known[move.number, True, who, option.start], known[move.number, False, who, option.goal])
                carry = carry_of(program, rail, option, move.number, two)
                found += [] if carry is None else [carry]
    return found


def carry_of(
    program: Program, rail: Rail, option: Option, number: int, visits: tuple[RailVisit, RailVisit]
) -> Carry | None:
    """One of them; None where its way or its end is not known."""
    view, move = program.view, program.jobs.moves[number]
    pick, place = move.pick(option.who, option.start), move.place(option.who, option.goal)
    attended = place.station in view.attended and place.station in view.loads
    way = rail.steps(option.who, (visits[0].place, visits[1].place), True)
    if attended or way is None or not is_straight(rail, option.who, (visits[0].place, visits[1].place)):
        return None
    gone, set_down = hold_steps(view, pick), carry_steps(program, number, option)
    over = set_down + hold_steps(view, place) + stays_for(view, place)
    comes, there = -least_lead(view, pick), set_down - least_lead(view, place)
    here_m, there_m = (rail.at_m[visit.place] for visit in visits)
    coming = least_empty_way(rail, option.who, visits[0].place, leaves=False)
    going = least_empty_way(rail, option.who, visits[1].place, leaves=True)
    stretches = (
        Stretch(begins=comes - coming, ends=comes, from_m=here_m, to_m=here_m),
        Stretch(begins=comes, ends=gone, from_m=here_m, to_m=here_m, stands=True),
        Stretch(begins=gone, ends=gone + way, from_m=here_m, to_m=there_m),
        Stretch(begins=gone + way, ends=over, from_m=there_m, to_m=there_m, stands=True),
        Stretch(begins=over, ends=over + going, from_m=there_m, to_m=there_m),
    )
    return Carry(
        move=number,
        who=option.who,
        made=program.chosen[number][option],
        visits=((visits[0], comes, gone), (visits[1], there, over)),
        stretches=tuple(each for each in stretches if each.ends > each.begins),
    )


def add_order_at_once(program: Program) -> None:
    """What one hand has set down in a station for one part is what it lifts there next, handled in no time or not.

    With times for handling this follows from the times; without, a part could be lifted at the moment at which the hand
    still holds the one that comes after it.
    """
    for who in (each for each in program.view.railed if each in program.legs):
        if program.view.movers[who].hands == 1:
            for leg in program.legs[who]:
                add_same_part(program, (leg.before, leg.after), [leg.gone], 0)
            for one in program.ends[who]:
                for other in program.ends[who]:
                    over, both = program.over[one.node.move], [one.last, other.first]
                    add_same_part(program, (one.node, other.node), [*both, ~over], 1)
                    add_same_part(program, (one.node, other.node), [*both, over], 0)


def add_same_part(program: Program, pair: tuple[Node, Node], when: list[Literal], ends: int) -> None:
    """The second of two carries in a row begins where the first ended: with its part, so many period ends later."""
    station, moves = pair[0].leaves.station, program.jobs.moves
    spot = moves[pair[1].move].start
    if pair[1].arrives.station != station or station not in program.view.singles or spot not in program.laps:
        return
    periods = program.laps[spot]
    known = moves[pair[0].move].goal == spot and ends < len(periods)
    program.model.add_bool_or([*(~each for each in when), *([periods[ends]] if known else [])])


def least_lead(view: Steady, stay: Stay) -> int:
    """How long before the visit its attendant has to be there in any case, by an exchange or not."""
    keys = ((stay.who, stay.station, stay.part, kind) for kind in (stay.kind, "swap"))
    return min(view.phases[key].arrival_lead_steps for key in keys if key in view.phases)


def placed_of(program: Program, solver: Any) -> Placed:
    """The visits of a solution with their times, in the order of time."""
    tour = timed_tour(program, solver)
    return Placed(
        tour=tuple(stay for stay, _ in tour),
        starts=tuple(at for _, at in tour),
        period_steps=solver.value(program.period),
        inside=inside_of(program, solver),
    )

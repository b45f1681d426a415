"""A first plan for lots, made by simple rules: whatever can be lifted soonest is carried next, one part at a time.

Parts get in each other's way when many are in the cell at once. So the same is tried with fewer and fewer parts, down
to one after the other, and the best plan that works is kept. Where somebody has two hands, parts are exchanged.
"""

from collections.abc import Iterator
from itertools import product
from typing import Literal

from millhand.solvers.cycle.deadline import Deadline, TimeUp, ask, part
from millhand.solvers.cycle.lots.makespan_chains import chains_of, take_chain
from millhand.solvers.cycle.lots.makespan_graph import retimed, timed
from millhand.solvers.cycle.lots.makespan_line import orders_in_a_row
from millhand.solvers.cycle.lots.makespan_loads import even_load
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, Way
from millhand.solvers.cycle.lots.makespan_making import (
    Choice,
    Making,
    Room,
    Rule,
    change_for,
    enter,
    has_room,
    has_rows,
    leads_on,
    leave,
    left_at,
)
from millhand.solvers.cycle.lots.makespan_plan import Carried, Changed, Plan, Visit
from millhand.solvers.cycle.pieces import pieces_of_lots

RULES: tuple[Rule, ...] = ("soonest", "latest step", "most left")
ENDS = ("out", "in")  # of each transfer, in the order in which they were made
TRIES_SHARE = 0.25  # of the time, for more simple plans once there is one


def first_plan(lots: Lots, deadline: Deadline | None = None) -> Plan | None:
    """The best of the simple plans; None where none of them works, or none was ready by the deadline.

    Once there is one, others are tried in a part of the time only: the search that comes after it finds better ones.
    """
    best: Plan | None = None
    until, early = deadline, part(deadline, TRIES_SHARE)
    entries = ((), *orders_in_a_row(lots))
    for together, rule, entry in product(tries(len(lots.pieces)), RULES, entries):
        try:
            made = made_plan(lots, (together, rule, entry), until)
        except TimeUp:
            break
        found = None if made is None else timed(lots, made)
        if made is not None and found is not None and found.possible:
            if best is None or found.makespan_steps < best.end:
                best = retimed(made, found, lots)
            until = early
    return best


def tries(count: int) -> Iterator[int]:
    """How many parts may be in the cell at once: all, then fewer."""
    yield from dict.fromkeys([count, *(each for each in (8, 6, 5, 4, 3, 2, 1) if each < count)])


def made_plan(lots: Lots, how: tuple[int, Rule, tuple[int, ...]], deadline: Deadline | None = None) -> Plan | None:
    """One simple plan; None where it comes to a point at which nothing can be moved, TimeUp where it takes too long."""
    together, rule, entry = how
    making = Making(lots=lots, together=together, rule=rule, step=[0] * len(lots.pieces), entry=entry)
    making.free = {who: (0, lots.home[who]) for who in lots.view.movers}
    making.orders = {who: [] for who in lots.view.movers}
    making.rooms = {name: Room() for name in lots.cell.stations}
    moves = sum(1 for _ in lots.hops())
    while len(making.carried) < moves:
        ask(deadline)
        choices = list(choices_of(making))
        if not choices:
            return None
        take(making, min(choices, key=lambda each: rank(making, each)))
    return Plan(
        carried=dict(sorted(making.carried.items())),
        orders={who: tuple(order) for who, order in making.orders.items()},
        swaps=making.swaps,
        changes=tuple(making.changes),
        ranks={(hop, end): 2 * at + late for at, hop in enumerate(making.carried) for late, end in enumerate(ENDS)},
    )


def rank(making: Making, choice: Choice) -> tuple[int, ...]:
    """Smaller is better."""
    j, h = choice.hop
    left = sum(min(stop.times_steps) for stop in making.lots.route(j)[h + 1 :])
    if making.rule == "latest step":
        return (-h if h else 1, choice.lift, j)
    if making.rule == "most left":
        return (choice.lift, -left, j)
    return (choice.lift, -h, j)


def choices_of(making: Making) -> Iterator[Choice]:
    """Every transfer that could be made now."""
    lots = making.lots
    begun = sum(1 for j, step in enumerate(making.step) if 0 < step < len(lots.route(j)) - 1)
    given = given_next(making)
    for j, step in enumerate(making.step):
        if step == len(lots.route(j)) - 1 or (step and j not in making.ready):
            continue
        full = step == 0 and begun >= making.together and not fills_up(making, j)
        for way in (each for each in lots.ways_of((j, step)) if step or (j, each.start) in given):
            choice = None if full else choice_of(making, (j, step), way)
            if choice is not None:
                yield choice
            yield from (each for each in chains_of(making, (j, step), way) if not full or goes_out(lots, each))


def goes_out(lots: Lots, chain: Choice) -> bool:
    """Whether a chain brings one part out of the cell for the one that it brings in."""
    j, step = chain.links[-1][0]
    return step + 2 == len(lots.route(j))


def given_next(making: Making) -> set[tuple[int, str]]:
    """The part that each supply gives next, with the supply; one part where it is given in which order all come."""
    lots, found = making.lots, dict[str, int]()
    left = making.entry or sorted(range(len(lots.pieces)), key=lambda j: lots.pieces[j].turn)
    for j in (each for each in left if making.step[each] == 0):
        for supply in (name for name in lots.supplies(j) if has_more(making, name)):
            found.setdefault(supply, j)
        if making.entry:
            break
    return {(j, supply) for supply, j in found.items()}


def has_more(making: Making, supply: str) -> bool:
    """Whether a supply has parts left to give."""
    stock = making.lots.stock(supply)
    if stock is None:
        return True
    gone = sum(h == 0 and each.way.start == supply for (_, h), each in making.carried.items())
    return gone + pieces_of_lots(making.lots.cell)[supply] < stock


def fills_up(making: Making, j: int) -> bool:
    """Whether the part completes a load of which others are already under way."""
    lots = making.lots
    for step in range(1, len(lots.route(j)) - 1):
        load = making.loads.get((j, lots.place_of(j, step)), ())
        (size, *others) = lots.sizes(j, step)
        if not others:
            load = tuple(even_load(lots, j, size))
        if len(load) > 1:
            return any(making.step[other] > 0 for other in load)
    return False


def choice_of(making: Making, hop: Hop, way: Way) -> Choice | None:
    """A transfer by one way as soon as it can be made; None where it cannot."""
    lots, (j, step) = making.lots, hop
    room = making.rooms[way.goal]
    here = making.carried[j, step - 1].way.goal if step else way.start
    again = way.goal == way.start and (way.who is None or (room.inside == [j] and lots.batch(way.goal) == 1))
    takes = again or has_room(making, hop, way.goal)
    if here != way.start or not takes or not (has_rows(lots, hop, way) and leads_on(lots, hop, way)):
        return None
    pick = lots.phase(way.who, way.start, j, "pick")
    place = lots.phase(way.who, way.goal, j, "place")
    change = change_for(making, hop, way)
    lift = max(making.ready.get(j, 0) + pick.lead_steps, change.end if change else 0)
    lift = max(lift, making.lifted.get(way.start, 0) if step == 0 else 0)
    lift = max(lift, making.gate.get(way.start, 0))
    if way.who is not None:
        since, place_now = making.free[way.who]
        if change is not None and change.who == way.who:
            since, place_now = change.end, change.set_up.place
        travel = lots.view.movers[way.who].travel_steps(place_now, lots.view.places[way.start], loaded=False)
        if travel is None:
            return None
        lift = max(lift, since + travel + pick.arrival_lead_steps)
    carry = pick.hold_steps + lots.carry_steps(way) + place.arrival_lead_steps
    if lots.holds_one_load(way.goal) or lots.room(way.goal) is not None:
        lift = max(lift, room.clear + place.lead_steps - carry)
    longest = lots.route(j)[step].stay_max_steps
    if step and longest is not None and lift > making.carried[lots.stays_from(hop)].placed + longest:
        return None
    return Choice(hop=hop, way=way, lift=lift, change=change)


def take(making: Making, choice: Choice) -> None:
    """Make the transfer, or the chain of them."""
    if choice.links:
        take_chain(making, choice)
        return
    lots, (j, step), way = making.lots, choice.hop, choice.way
    pick, place = lots.phase(way.who, way.start, j, "pick"), lots.phase(way.who, way.goal, j, "place")
    lifted = choice.lift + pick.hold_steps
    sets = lifted + lots.carry_steps(way) + place.arrival_lead_steps
    placed = sets + place.hold_steps
    making.carried[j, step] = Carried(way=way, lift=choice.lift, lifted=lifted, set=sets, placed=placed)
    if choice.change is not None:
        note_change(making, choice.change)
    making.step[j] += 1
    making.ready.pop(j, None)
    leave(making, choice, lifted + pick.tail_steps)
    enter(making, choice, placed + place.tail_steps)
    if way.who is not None:
        mover = lots.view.movers[way.who]
        kinds: tuple[Literal["carry", "pick", "place"], ...] = ("carry",) if mover.hands == 1 else ("pick", "place")
        making.orders[way.who] += [Visit(kind=kind, hop=(j, step)) for kind in kinds]
        making.free[way.who] = left_at(making, ((j, step), making.carried[j, step]))


def note_change(making: Making, change: Changed) -> None:
    """Somebody changes the station over."""
    making.orders[change.who].append(Visit(kind="change", hop=(len(making.changes), 0)))
    making.changes.append(change)
    making.free[change.who] = (change.end, change.set_up.place)

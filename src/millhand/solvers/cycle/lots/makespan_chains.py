"""Exchanges in a simple plan: an attendant with two hands brings a part, takes the old one out for it, and goes on.

Where the next station is full too the old part is exchanged there again, and so on until one has room: a chain.
"""

from collections.abc import Iterator

from millhand.solvers.cycle.lots.makespan_lots import Hop, Way
from millhand.solvers.cycle.lots.makespan_making import (
    Choice,
    Link,
    Making,
    change_for,
    enter,
    has_room,
    leave,
    left_at,
)
from millhand.solvers.cycle.lots.makespan_model import swaps_between
from millhand.solvers.cycle.lots.makespan_plan import Carried, Visit


def chains_of(making: Making, hop: Hop, way: Way) -> Iterator[Choice]:
    """The chain that begins with a lift and goes to a station that is full; nothing where there is none."""
    lots, (j, step) = making.lots, hop
    if way.who is None or lots.view.movers[way.who].hands < 2 or not lots.can(way.who, way.start, j, "pick"):
        return
    here = making.carried[j, step - 1].way.goal if step else way.start
    since, place = making.free[way.who]
    mover, phase = lots.view.movers[way.who], lots.phase(way.who, way.start, j, "pick")
    travel = mover.travel_steps(place, lots.view.places[way.start], loaded=False)
    if here != way.start or travel is None or has_room(making, hop, way.goal):
        return
    lift = max(making.ready.get(j, 0) + phase.lead_steps, since + travel + phase.arrival_lead_steps)
    lift = max(lift, making.gate.get(way.start, 0), making.lifted.get(way.start, 0) if step == 0 else 0)
    links = linked(making, hop, way, (lift, lift + phase.hold_steps))
    if links and in_windows(making, links):
        first = links[0][1]
        yield Choice(hop=hop, way=way, lift=first.set - first.lifted + 2 * lift - first.lift, links=links)


def linked(making: Making, hop: Hop, way: Way, lift: tuple[int, int]) -> tuple[Link, ...]:
    """All transfers of a chain, one exchange after the other; empty where it cannot be brought to an end."""
    lots, links, seen = making.lots, [], set()
    who = way.who or ""
    while not has_room(making, hop, way.goal):
        old = old_part(making, hop, way)
        if old is None or old in seen:
            return ()
        seen.add(old)
        phase = lots.phase(who, way.goal, hop[0], "swap")
        come = lift[1] + lots.carry_steps(way) + phase.arrival_lead_steps
        begins = max(come, making.ready[old] + phase.lead_steps)
        ends = begins + phase.hold_steps + lots.view.movers[who].turn_steps
        links.append((hop, Carried(way=way, lift=lift[0], lifted=lift[1], set=begins, placed=ends)))
        hop, lift = (old, making.step[old]), (begins, ends)
        onward = next_way(making, hop, (who, way.goal))
        if onward is None:
            return ()
        way = onward
    if not lots.can(who, way.goal, hop[0], "place"):
        return ()
    place = lots.phase(who, way.goal, hop[0], "place")
    sets = lift[1] + lots.carry_steps(way) + place.arrival_lead_steps
    if lots.holds_one_load(way.goal) or lots.room(way.goal) is not None:
        sets = max(sets, making.rooms[way.goal].clear + place.lead_steps)
    last = Carried(way=way, lift=lift[0], lifted=lift[1], set=sets, placed=sets + place.hold_steps)
    return (*links, (hop, last))


def old_part(making: Making, hop: Hop, way: Way) -> int | None:
    """The part that is taken out for the new one; None where it cannot be."""
    inside = making.rooms[way.goal].inside
    if len(inside) != 1 or inside[0] not in making.ready:
        return None
    old = inside[0]
    brought = (old, making.step[old] - 1)
    return old if (way.who, way.goal) in set(swaps_between(making.lots, brought, hop)) else None


def next_way(making: Making, hop: Hop, here: tuple[str, str]) -> Way | None:
    """By which way the same attendant goes on: to where there is room and nothing to be changed over, otherwise to what
    is done first."""
    who, station = here
    ways = [way for way in making.lots.ways_of(hop) if (way.who, way.start) == (who, station)]
    free = [way for way in ways if has_room(making, hop, way.goal) and change_for(making, hop, way) is None]
    ways = [way for way in ways if way in free or old_part(making, hop, way) is not None]

    def when(way: Way) -> int:
        room = making.rooms[way.goal]
        return room.clear if way in free else making.ready[room.inside[0]]

    return min(ways, key=when, default=None)


def in_windows(making: Making, links: tuple[Link, ...]) -> bool:
    """Whether no part stays longer than it may."""
    for hop, carried in links:
        longest = making.lots.route(hop[0])[hop[1]].stay_max_steps
        since = making.lots.stays_from(hop)
        if hop[1] and longest is not None and carried.lift > making.carried[since].placed + longest:
            return False
    return True


def take_chain(making: Making, choice: Choice) -> None:
    """Make all transfers of a chain."""
    lots, links = making.lots, choice.links
    who = choice.way.who or ""
    visits = [Visit(kind="pick", hop=links[0][0])]
    for number, (hop, carried) in enumerate(links):
        if number + 1 < len(links):
            old = links[number + 1][0]
            making.swaps[old] = hop
            visits.append(Visit(kind="pick", hop=old))
        visits.append(Visit(kind="place", hop=hop))
        making.carried[hop] = carried
        making.step[hop[0]] += 1
        making.ready.pop(hop[0], None)
    for number, ((j, step), carried) in enumerate(links):
        tail = 0 if number else lots.phase(who, carried.way.start, j, "pick").tail_steps
        leave(making, Choice(hop=(j, step), way=carried.way, lift=carried.lift), carried.lifted + tail)
    for number, (hop, carried) in enumerate(links):
        kind = "swap" if number + 1 < len(links) else "place"
        tail = lots.phase(who, carried.way.goal, hop[0], kind).tail_steps
        enter(making, Choice(hop=hop, way=carried.way, lift=carried.lift), carried.placed + tail)
    making.orders[who] += visits
    making.free[who] = left_at(making, links[-1])

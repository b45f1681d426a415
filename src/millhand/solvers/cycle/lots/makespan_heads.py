"""What one machine needs for all its parts when each comes no sooner than it can: heads, work and tails.

A supply gives its parts in an order, and whoever empties it with one hand for raw parts sets them down in that order:
so a part comes to its first machine only when those before it have been worked on there, and to every later machine by
so much later. With these heads, and what each part has before it afterwards as its tail, the least time of a machine is
that of always going on with the part that has the longest tail, put aside whenever a longer one comes.
"""

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush

from millhand.model.schedule import Bound
from millhand.solvers.cycle.lots.makespan_bounds import fills_steps, head_steps, tail_steps, told
from millhand.solvers.cycle.lots.makespan_lots import Lots

Job = tuple[int, int, int]  # head, fill, tail


def head_bounds(lots: Lots) -> Iterator[Bound]:
    """The bound of each machine for the parts that have to go there and nowhere else."""
    late = waits_before(lots)
    jobs: dict[str, list[Job]] = {}
    known: dict[tuple[str, int], Job] = {}
    for j, piece in enumerate(lots.pieces):
        for step in range(1, len(lots.route(j)) - 1):
            (station, *others) = lots.route(j)[step].stations
            if others or not lots.works(station) or lots.batch(station) > 1 or lots.room(station) != 1:
                continue
            if (piece.part, step) not in known:
                at = (j, step)
                known[piece.part, step] = (head_steps(lots, *at), fills_steps(lots, at), tail_steps(lots, *at))
            head, fill, tail = known[piece.part, step]
            jobs.setdefault(station, []).append((head + late[j], fill, tail))
    for station, own in jobs.items():
        yield told(lots, station, longest_of(own), f"{station}: every part when it can be there, then out, at least")


def waits_before(lots: Lots) -> list[int]:
    """By how much later than alone each part comes to its first machine, because of those that its supply gives before
    it."""
    found = [0] * len(lots.pieces)
    busy: dict[tuple[str, str], int] = {}  # a supply and a machine: until when parts of the one fill the other
    for j in sorted(range(len(lots.pieces)), key=lambda each: (lots.pieces[each].turn, each)):
        route = lots.route(j)
        if len(route) < 3 or len(route[0].stations) > 1 or not gives_in_order(lots, route[0].stations[0]):
            continue
        (station, *others) = route[1].stations
        if others or not lots.works(station) or lots.batch(station) > 1 or lots.room(station) != 1:
            continue
        head, key = head_steps(lots, j, 1), (route[0].stations[0], station)
        begins = max(head, busy.get(key, 0))
        found[j] = begins - head
        busy[key] = begins + fills_steps(lots, (j, 1))
    return found


def gives_in_order(lots: Lots, supply: str) -> bool:
    """Whether one attendant, never with more than one raw part in hand, brings away all that a supply gives."""
    firsts = [ways for (part, step), ways in lots.ways.items() if step == 0 and starts_at(lots, part, supply)]
    found = {way.who for ways in firsts for way in ways}
    return len(found) == 1 and all(who is not None and raw_hands(lots, who) == 1 for who in found)


def starts_at(lots: Lots, part: str, supply: str) -> bool:
    """Whether parts of a type come from a supply."""
    return supply in lots.view.routes[part][0].stations


def raw_hands(lots: Lots, who: str) -> int:
    """How many parts just taken from supplies somebody may hold: of several hands one stays free where it exchanges."""
    exchanges = any((name, kind) == (who, "swap") for name, _, _, kind in lots.view.phases)
    return lots.view.movers[who].hands - (1 if exchanges and lots.view.movers[who].hands > 1 else 0)


def longest_of(jobs: Sequence[Job]) -> int:
    """The least time until all have gone, if work may be put aside."""
    coming = sorted(jobs)
    waiting: list[list[int]] = []  # tail, largest first, and what is left to do
    now, at, longest = 0, 0, 0
    while at < len(coming) or waiting:
        if not waiting:
            now = max(now, coming[at][0])
        while at < len(coming) and coming[at][0] <= now:
            heappush(waiting, [-coming[at][2], coming[at][1]])
            at += 1
        tail, left = waiting[0]
        until = coming[at][0] if at < len(coming) else now + left
        done = min(left, until - now)
        now += done
        waiting[0][1] -= done
        if done == left:
            heappop(waiting)
            longest = max(longest, now - tail)
    return longest

"""What machines in a row cost that one attendant with two hands serves: between them one part at most is held.

Whoever sets a part down has one other in its hands at most, and a machine holds one part. So when a machine gets its
i-th part, i - 2 at least of those before have been set down at the next machine, i - 3 at the one behind it and so on,
and the attendant has come back from there. A held part may be passed by others, one at a time: of a machine's first n
parts each has been among the first n + 1 of the machine before. All orders of that kind are looked at, and for each the
least times follow from part to part; the least of all is the bound.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from millhand.model.schedule import Bound
from millhand.solvers.cycle.lots.makespan_bounds import told
from millhand.solvers.cycle.lots.makespan_gaps import go_steps
from millhand.solvers.cycle.lots.makespan_heads import raw_hands
from millhand.solvers.cycle.lots.makespan_line import queues_of, row_of
from millhand.solvers.cycle.lots.makespan_lots import Lots, Way

MOST_ORDERS = 3000  # of all machines together, that are looked at
Order = tuple[int, ...]  # parts, or of alike ones the first


def held_bounds(lots: Lots) -> Iterator[Bound]:
    """The bound of the machines in a row, where one attendant with two hands serves them from one supply."""
    row, queues = row_of(lots, hands=None), queues_of(lots)
    found = {way.who for ways in lots.ways.values() for way in ways}
    who = next(iter(found)) or ""
    if len(row) < 2 or len(queues) != 1 or len(found) != 1 or lots.sharing:
        return
    if lots.view.movers[who].hands != 2 or raw_hands(lots, who) != 1:
        return
    steps = Held(lots=lots, who=who, machines=row).best(alike(lots, queues[0]))
    if steps:
        names = f"{', '.join(row[:-1])} and {row[-1]}"
        yield told(lots, names, steps, f"{names} in a row, where {who} holds one part between two, at least")


def alike(lots: Lots, queue: Sequence[int]) -> Order:
    """The parts in the order in which they come, each by the first of its type."""
    first = {lots.pieces[j].part: j for j in reversed(queue)}
    return tuple(first[lots.pieces[j].part] for j in queue)


def delayed(order: Order) -> set[Order]:
    """Every order in which parts can come to the next machine: one at a time may be held while others pass."""
    found: set[tuple[Order, int | None, Order]] = {((), None, order)}
    for _ in order:
        more: set[tuple[Order, int | None, Order]] = set()
        for gone, held, left in found:
            if held is not None:
                more.add(((*gone, held), None, left))
            if left:
                more.add(((*gone, left[0]), held, left[1:]))
            if held is None and len(left) > 1:
                more.add(((*gone, left[1]), left[0], left[2:]))
        found = more
        if len(found) > MOST_ORDERS:
            return set()
    return {gone for gone, _, _ in found}


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A row of machines and who serves it; a part is at its k-th machine at step k of its route, from 1."""

    lots: Lots
    who: str
    machines: tuple[str, ...]
    known: dict[tuple[str, str], int] = field(default_factory=dict)

    def best(self, first: Order) -> int:
        """The least time until the last part is out, over all orders; 0 where there are too many to look at."""
        orders: list[tuple[Order, ...]] = [(first,)]
        for _ in self.machines[1:]:
            orders = [(*each, order) for each in orders for order in delayed(each[-1])]
            if not 0 < len(orders) <= MOST_ORDERS:
                return 0
        return min(self.ends(each) for each in orders)

    def ends(self, orders: Sequence[Order]) -> int:
        """The least time for these orders, by the ends of all set-downs, until none is later any more."""
        count = len(orders[0])
        placed = [[0] * count for _ in self.machines]
        where = [positions(one, other) for one, other in pairwise(orders)]
        later = True
        while later:
            later = False
            for k in range(len(self.machines)):
                for i in range(count):
                    least = self.least(orders, where, placed, (k, i))
                    later, placed[k][i] = later or least > placed[k][i], max(least, placed[k][i])
        return max(self.out(orders[-1], placed[-1], i) for i in range(count))

    def least(
        self,
        orders: Sequence[Order],
        where: Sequence[Sequence[int]],
        placed: Sequence[Sequence[int]],
        at: tuple[int, int],
    ) -> int:
        """The least end of the set-down of the i-th part of a machine."""
        k, i = at
        j, own = orders[k][i], placed[k]
        sets = self.hold(j, k + 1, "place")
        found = [self.from_hand(orders[k], own, at, sets)] if not k else []
        if k:
            p = where[k - 1][i]
            found.append(self.lifted(orders[k - 1][p], k, placed[k - 1][p]) + self.carry(j, k) + sets)
        if i:
            found.append(own[i - 1] + self.inside(orders[k][i - 1], k + 1) + self.change(orders[k][i - 1], j, k + 1))
        ahead = range(1, min(i, len(self.machines) - k + 1))
        found += [self.back(orders, placed, (k + m, i - 1 - m), self.machines[k]) + sets for m in ahead]
        return max(found)

    def back(self, orders: Sequence[Order], placed: Sequence[Sequence[int]], at: tuple[int, int], station: str) -> int:
        """The least time at which whoever set down the i-th part of a machine, or behind the last, is at a station."""
        k, i = at
        if k < len(self.machines):
            return placed[k][i] + self.go(self.machines[k], station)
        goal = self.station(orders[-1][i], len(self.machines) + 1)
        return self.out(orders[-1], placed[-1], i) + self.go(goal, station)

    def from_hand(self, order: Order, own: Sequence[int], at: tuple[int, int], sets: int) -> int:
        """The first machine: one raw part after the other is fetched."""
        j, i = order[at[1]], at[1]
        start = self.way(j, 0).start
        ready = own[i - 1] + self.go(self.machines[0], start) if i else self.from_home(start)
        return ready + self.hold(j, 0, "pick") + self.carry(j, 0) + sets

    def from_home(self, station: str) -> int:
        """The least way from home."""
        return go_steps(self.lots, self.who, (self.lots.home[self.who], self.lots.view.places[station]))

    def out(self, order: Order, own: Sequence[int], i: int) -> int:
        """The least time at which the i-th part of the last machine is out."""
        last = len(self.machines)
        return self.lifted(order[i], last, own[i]) + self.carry(order[i], last) + self.hold(order[i], last + 1, "place")

    def lifted(self, j: int, step: int, placed: int) -> int:
        """The least end of the lift of a part."""
        return placed + self.inside(j, step) + self.hold(j, step, "pick")

    def way(self, j: int, step: int) -> Way:
        """The only way of a part on from a step."""
        return self.lots.ways_of((j, step))[0]

    def station(self, j: int, step: int) -> str:
        """Where a step is done."""
        return self.lots.route(j)[step].stations[0]

    def carry(self, j: int, step: int) -> int:
        """The least loaded way on from a step."""
        return self.go(self.station(j, step), self.station(j, step + 1))

    def go(self, start: str, goal: str) -> int:
        """The least way between two stations, over whatever may lie in between."""
        if (start, goal) not in self.known:
            places = self.lots.view.places
            self.known[start, goal] = go_steps(self.lots, self.who, (places[start], places[goal]))
        return self.known[start, goal]

    def inside(self, j: int, step: int) -> int:
        """From the end of a set-down to the beginning of the lift, at least: the shortest tail, and the work."""
        station = self.station(j, step)
        tails = [self.lots.phase(self.who, station, j, kind).tail_steps for kind in self.kinds(j, step, "place")]
        return min(tails, default=0) + self.lots.work_steps(j, step, station)

    def kinds(self, j: int, step: int, kind: str) -> list[str]:
        """The visits by which a part can be lifted, or set down."""
        return [each for each in (kind, "swap") if self.lots.can(self.who, self.station(j, step), j, each)]

    def hold(self, j: int, step: int, kind: str) -> int:
        """The shortest hold of a lift or a set-down, an exchange with its turn."""
        station, turn = self.station(j, step), self.lots.view.movers[self.who].turn_steps
        holds = [
            self.lots.phase(self.who, station, j, each).hold_steps + (turn if each == "swap" else 0)
            for each in self.kinds(j, step, kind)
        ]
        return min(holds, default=0)

    def change(self, old: int, new: int, step: int) -> int:
        """From the beginning of a lift to the end of the next set-down: an exchange, or one after the other."""
        lots, station = self.lots, self.station(new, step)
        turn = lots.view.movers[self.who].turn_steps
        found = [
            lots.phase(self.who, station, j, "swap").hold_steps + turn for j in (old, new) if self.swaps(j, station)
        ]
        if lots.can(self.who, station, old, "pick") and lots.can(self.who, station, new, "place"):
            both = (lots.phase(self.who, station, old, "pick"), lots.phase(self.who, station, new, "place"))
            found.append(sum(phase.hold_steps for phase in both))
        return min(found, default=0)

    def swaps(self, j: int, station: str) -> bool:
        """Whether a part can be exchanged at a station."""
        return self.lots.can(self.who, station, j, "swap")


def positions(one: Order, other: Order) -> list[int]:
    """For each part of one order its place in another; of alike parts the first left is the first again."""
    left = list(enumerate(one))
    found = []
    for j in other:
        place = next(pair for pair in left if pair[1] == j)
        left.remove(place)
        found.append(place[0])
    return found

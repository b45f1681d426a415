"""What machines in a row cost that no part can pass: the least makespan over all orders of the parts, without the waits
for an attendant that is busy elsewhere.

Every part goes through the same machines one after the other, each machine holds one part, and each way from one to the
next is one attendant's, with one hand. So the parts keep their order on all machines, a part leaves a machine only when
the one in front has left the next, and whoever does both ways has carried that one on before it fetches this one. For a
given order the least times follow from part to part. Orders are looked at by how many parts each supply has given and
which gave the last: of two beginnings of that kind the one that is nowhere later is as good as the other.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import prod

from millhand.model.schedule import Bound
from millhand.solvers.cycle.lots.makespan_bounds import told
from millhand.solvers.cycle.lots.makespan_gaps import carried_steps, go_steps, held_steps
from millhand.solvers.cycle.lots.makespan_lots import Lots, Way

MOST_BEGINNINGS = 4000  # kinds of beginnings that are looked at
MOST_BESIDE = (
    40  # beginnings of one kind of which none is nowhere later than another; of more the earliest of each time
)
Times = tuple[int, ...]  # when a part is lifted out of each machine
State = tuple[tuple[int, ...], int]  # how many parts each supply has given, and which gave the last
Beginning = tuple[Times, tuple[int, ...]]  # of the last of the parts given, and all of them in their order


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """One part from one station of the row to the next: the steps from its lift to its set-down, and around it."""

    way: Way
    lift_steps: int
    carry_steps: int
    set_steps: int
    stays_steps: int  # from the end of the set-down to the earliest next lift
    room_steps: int  # from the end of the lift of the part before at the goal to the set-down
    tail_steps: int  # of the lift
    lead_steps: int  # before the lift, from when the attendant arrives

    @property
    def whole_steps(self) -> int:
        """From the beginning of the lift to the end of the set-down."""
        return self.lift_steps + self.carry_steps + self.set_steps


def line_bounds(lots: Lots) -> Iterator[Bound]:
    """The bound of the machines in a row, where all parts go through the same ones."""
    row = row_of(lots)
    if len(row) < 2:
        return
    steps, _ = Line(lots=lots, queues=queues_of(lots)).best()
    if steps:
        names = f"{', '.join(row[:-1])} and {row[-1]}"
        yield told(lots, names, steps, f"{names} in a row, where no part passes another, in the best order at least")


def orders_in_a_row(lots: Lots) -> Iterator[tuple[int, ...]]:
    """Orders in which parts of several supplies may well go through a row: that of the bound, which with several hands
    only is a guess, and one supply after the other."""
    queues = queues_of(lots)
    if len(queues) < 2 or not row_of(lots, hands=None):
        return
    _, order = Line(lots=lots, queues=queues).best()
    yield from dict.fromkeys(each for each in (order, tuple(j for queue in queues for j in queue)) if each)


def row_of(lots: Lots, *, hands: int | None = 1) -> tuple[str, ...]:
    """The machines of the row; none where some part has a choice, or could be passed by somebody with more hands."""
    rows = {tuple(stop.stations for stop in route[1:-1]) for route in lots.view.routes.values()}
    (first, *others) = rows
    names = tuple(name for stations in first for name in stations)
    single = len(names) == len(first) == len(set(names)) and not others and not lots.set_ups
    plain = all(lots.works(name) and lots.holds_one_load(name) and lots.batch(name) == 1 for name in names)
    return (
        names if single and plain and all(carried_by_one(lots, step, hands) for step in range(len(names) + 1)) else ()
    )


def carried_by_one(lots: Lots, step: int, hands: int | None) -> bool:
    """Whether one attendant, with so many hands, brings every part from a step to the next, each by one way."""
    ways = [each for (_, at), each in lots.ways.items() if at == step]
    found = {way.who for each in ways for way in each}
    return (
        len(found) == 1
        and all(len(each) == 1 for each in ways)
        and all(who is not None and hands in (None, lots.view.movers[who].hands) for who in found)
    )


def queues_of(lots: Lots) -> list[list[int]]:
    """The parts of each supply in the order in which it gives them."""
    found: dict[str, list[int]] = {}
    for j in sorted(range(len(lots.pieces)), key=lambda each: (lots.pieces[each].turn, each)):
        found.setdefault(lots.route(j)[0].stations[0], []).append(j)
    return list(found.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Parts that go through a row of machines; the queues of the supplies that they come from."""

    lots: Lots
    queues: list[list[int]]
    known: dict[tuple[str | None, str | None, str | None], int] = field(default_factory=dict)  # who, from, to: how soon

    def best(self) -> tuple[int, tuple[int, ...]]:
        """The least time until the last part is out, over all orders, and such an order; 0 and none where there are too
        many to look at."""
        if prod(len(queue) + 1 for queue in self.queues) * len(self.queues) > MOST_BEGINNINGS:
            return 0, ()
        rides = {j: self.rides(j) for queue in self.queues for j in queue}
        fronts: dict[State, list[Beginning]] = {}
        for number, queue in enumerate(self.queues):
            given = tuple(int(other == number) for other in range(len(self.queues)))
            fronts[given, number] = [(self.times(rides[queue[0]], None), (queue[0],))]
        for _ in range(sum(len(queue) for queue in self.queues) - 1):
            fronts = self.one_more(fronts, rides)
        ends = [
            (times[-1] + rides[order[-1]][-1].whole_steps, order) for front in fronts.values() for times, order in front
        ]
        return min(ends)

    def one_more(
        self, fronts: Mapping[State, Sequence[Beginning]], rides: Mapping[int, Sequence[Ride]]
    ) -> dict[State, list[Beginning]]:
        """Every beginning with one part more, of any supply that has one left."""
        found: dict[State, list[Beginning]] = {}
        for (given, _), front in fronts.items():
            for number, queue in enumerate(self.queues):
                if given[number] < len(queue):
                    j, more = queue[given[number]], (*given[:number], given[number] + 1, *given[number + 1 :])
                    found.setdefault((more, number), []).extend(
                        (self.times(rides[j], (rides[order[-1]], times)), (*order, j)) for times, order in front
                    )
        return {state: earliest(made) for state, made in found.items()}

    def rides(self, j: int) -> list[Ride]:
        """What a part's ways from station to station take."""
        lots, found = self.lots, []
        for h in range(len(lots.route(j)) - 1):
            (way,) = lots.ways_of((j, h))
            pick, place = lots.phase(way.who, way.start, j, "pick"), lots.phase(way.who, way.goal, j, "place")
            stays = 0
            if h + 2 < len(lots.route(j)):
                (next_way,) = lots.ways_of((j, h + 1))
                lead = lots.phase(next_way.who, next_way.start, j, "pick").lead_steps
                stays = place.tail_steps + lots.work_steps(j, h + 1, way.goal) + lead
            found.append(
                Ride(
                    way=way,
                    lift_steps=held_steps(lots, way, j, "pick"),
                    carry_steps=carried_steps(lots, way, j),
                    set_steps=held_steps(lots, way, j, "place"),
                    stays_steps=stays,
                    room_steps=place.lead_steps if lots.works(way.goal) else 0,
                    tail_steps=pick.tail_steps,
                    lead_steps=pick.arrival_lead_steps,
                )
            )
        return found

    def times(self, rides: Sequence[Ride], before: tuple[Sequence[Ride], Times] | None) -> Times:
        """When a part is lifted out of each machine at the earliest, after the part before it."""
        found: list[int] = []
        ready = self.way_steps(self.lots.home[rides[0].way.who or ""], rides[0])
        for k, ride in enumerate(rides):
            if before is not None and k + 1 < len(rides):  # the part before is out of the machine that this one goes to
                out, lifted = before[0][k + 1], before[1][k]
                over = lifted + out.lift_steps + out.tail_steps + ride.room_steps
                ready = max(ready, over - ride.lift_steps - ride.carry_steps)
                if out.way.who == ride.way.who:
                    ready = max(ready, lifted + out.whole_steps + self.way_steps(self.place(out.way.goal), ride))
            found.append(ready)
            ready += ride.whole_steps + ride.stays_steps
        return tuple(found[1:])

    def place(self, station: str) -> str | None:
        """Where a station is."""
        return self.lots.view.places[station]

    def way_steps(self, place: str | None, ride: Ride) -> int:
        """The least time to where a ride begins, and the lead there."""
        key = ride.way.who, place, self.place(ride.way.start)
        if key not in self.known:
            self.known[key] = go_steps(self.lots, key[0], key[1:])
        return self.known[key] + ride.lead_steps


def earliest(made: list[Beginning]) -> list[Beginning]:
    """Those of several beginnings than which none is nowhere later; where these are too many, the earliest of each
    time, than which all are later, with the order of one of them."""
    front: list[Beginning] = []
    for times, order in sorted(made):
        if not any(all(a <= b for a, b in zip(other, times, strict=True)) for other, _ in front):
            front.append((times, order))
    if len(front) <= MOST_BESIDE:
        return front
    return [(tuple(min(column) for column in zip(*(times for times, _ in front), strict=True)), front[0][1])]

"""A plan for one large lot from the best cycle of its cell: its visits in turn, as long as there are parts for them.

The cycle is gone round again and again from an empty cell: a visit for which there is no part is left out, an exchange
without an old part is a set-down, without a new one a lift. So the cell fills, goes on in its best rhythm, and empties.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import islice

from millhand.errors import Contradiction, NotYet, ToolError
from millhand.model.cell import Cell
from millhand.solvers.cycle.best import best_cycle
from millhand.solvers.cycle.deadline import Deadline, is_over, part
from millhand.solvers.cycle.effort import Effort
from millhand.solvers.cycle.lots.makespan_graph import retimed, timed
from millhand.solvers.cycle.lots.makespan_lots import Hop, Lots, Way, rate_cell
from millhand.solvers.cycle.lots.makespan_plan import Carried, Plan, Visit
from millhand.solvers.cycle.unrolled import Handled, handled, turns

MANY = 12  # parts from which on the rhythm counts for more than its beginning and its end
MOST_BEGINNINGS = 16
TRIED = 0.5  # of the solver's own units of work, for each cycle
TRIED_SHARE = 0.4  # of the time left, for the same


class StuckError(Exception):
    """The visits cannot be made in this order from an empty cell."""


def cycle_plan(lots: Lots, deadline: Deadline | None = None) -> Plan | None:
    """The best of the plans that begin at the several visits of the cycle; None where there is none."""
    best: Plan | None = None
    for cell in cells_of(lots) if is_plain(lots) else ():
        tour = tour_of(cell, deadline) if not is_over(deadline) else []
        for number in islice(range(len(tour)), MOST_BEGINNINGS):
            if is_over(deadline):
                break
            with suppress(StuckError):
                made = played(lots, [*tour[number:], *tour[:number]])
                found = timed(lots, made)
                if found.possible and (best is None or found.makespan_steps < best.end):
                    best = retimed(made, found, lots)
    return best


def cells_of(lots: Lots) -> Iterator[Cell]:
    """The cell as one that makes these parts for ever, with more and more of its machines, the nearest first: where
    the attendant sets the pace, the way to one more costs more than it brings. With few the cycle is found at once."""
    cell = rate_cell(lots)
    ((name, kind),) = cell.parts.items()
    several = [index for index, step in enumerate(kind.route) if len(step.at) > 1]
    if len(several) == 1:
        index = several[0]
        near = sorted(kind.route[index].at, key=lambda station: around_steps(lots, index, station))
        for count in range(1, len(near)):
            kept = tuple(station for station in kind.route[index].at if station in near[:count])
            route = tuple(replace(step, at=kept) if at == index else step for at, step in enumerate(kind.route))
            yield replace(cell, parts={name: replace(kind, route=route)})
    yield cell


def around_steps(lots: Lots, step: int, station: str) -> int:
    """The least carrying to a station and on from it."""
    comes = [lots.carry_steps(way) for way in lots.ways_of((0, step - 1)) if way.goal == station]
    goes = [lots.carry_steps(way) for way in lots.ways_of((0, step)) if way.start == station]
    return min(comes, default=0) + min(goes, default=0)


def is_plain(lots: Lots) -> bool:
    """Many parts of one type and one supply, none in loads, every station at one step of the route only, machines side
    by side with like buffers, everybody on free ways."""
    names = [name for route in lots.view.routes.values() for stop in route for name in stop.stations]
    alone = len(lots.view.routes) == 1 and len(set(names)) == len(names)
    free = not (lots.set_ups or lots.gates or lots.sharing) and len(lots.supplies(0)) == 1
    stops = [stop for route in lots.view.routes.values() for stop in route]
    alike = all(len({lots.works(name) for name in stop.stations}) == 1 for stop in stops)
    return len(lots.pieces) >= MANY and alone and alike and free and all(lots.batch(name) == 1 for name in names)


def tour_of(cell: Cell, deadline: Deadline | None) -> list[Handled]:
    """The visits of the best cycle in turn; none where no cycle is found."""
    effort = Effort(deterministic=TRIED, most_sets=1, deadline=part(deadline, TRIED_SHARE))
    try:
        found = best_cycle(cell, effort=effort)
    except (NotYet, Contradiction, ToolError):
        return []
    whole = [each for each in handled(found)[0] if each.kind in ("pick", "place", "swap", "self")]
    return [turn.visit for turn in turns(found, whole, 1)]


def played(lots: Lots, tour: Sequence[Handled]) -> Plan:
    """The tour made again and again until all parts have left; StuckError where that is never."""
    play = Play(lots=lots)
    moves = sum(1 for _ in lots.hops())
    while len(play.carried) < moves:
        before = play.made
        for visit in tour:
            play.make(visit)
        if play.made == before:
            raise StuckError
    return Plan(
        carried=dict(sorted(play.carried.items())),
        orders={who: tuple(play.orders.get(who, ())) for who in lots.view.movers},
        swaps=play.swaps,
    )


@dataclass(slots=True, kw_only=True)
class Play:
    """What is where while the tour is made; `made` counts the visits."""

    lots: Lots
    made: int = 0
    given: int = 0  # parts lifted from the supply
    inside: dict[str, list[int]] = field(default_factory=dict)
    held: dict[str, list[tuple[Hop, str, int]]] = field(default_factory=dict)  # transfer, from where, since when
    carried: dict[Hop, Carried] = field(default_factory=dict)
    orders: dict[str, list[Visit]] = field(default_factory=dict)
    swaps: dict[Hop, Hop] = field(default_factory=dict)

    def make(self, visit: Handled) -> None:
        """One visit, as far as there are parts for it."""
        who = visit.who
        old = self.at(visit.station) if visit.kind != "place" else None
        if visit.kind == "self":
            if old is not None:
                self.lift(who, visit.station, old)
                self.put(who, visit.target)
            return
        new = self.in_hand(who, visit.target) if visit.kind != "pick" else None
        if old is None and new is None:
            return
        if old is not None and new is not None:
            self.exchange(who, visit.station, old)
        elif old is not None:
            self.demand(self.lots.can(who, visit.station, old, "pick"))
            self.lift(who, visit.station, old)
        elif new is not None:
            self.demand(self.lots.can(who, visit.target, new, "place"))
            self.put(who, visit.target)

    def demand(self, holds: bool) -> None:
        """Go on only if this holds."""
        if not holds:
            raise StuckError

    def step_of(self, station: str) -> int:
        """The step of the route that a station belongs to."""
        return next(step for step, stop in enumerate(self.lots.route(0)) if station in stop.stations)

    def at(self, station: str) -> int | None:
        """The part that would be lifted there."""
        if self.step_of(station) == 0:
            return self.given if self.given < len(self.lots.pieces) else None
        return next(iter(self.inside.get(station, ())), None)

    def in_hand(self, who: str, station: str) -> int | None:
        """The part in hand that would be set down there."""
        step = self.step_of(station)
        return next((hop[0] for hop, _, _ in self.held.get(who, ()) if hop[1] == step - 1), None)

    def lift(self, who: str, station: str, j: int) -> None:
        """Take a part into a hand."""
        step = self.step_of(station)
        held = self.held.setdefault(who, [])
        if who:
            mover = self.lots.view.movers[who]
            exchanges = any((each, kind) == (who, "swap") for each, _, _, kind in self.lots.view.phases)
            raw = sum(hop[1] == 0 for hop, _, _ in held) + (step == 0)
            self.demand(len(held) < mover.hands and not (exchanges and raw >= mover.hands))
            if mover.hands > 1:
                self.orders.setdefault(who, []).append(Visit(kind="pick", hop=(j, step)))
        if step == 0:
            self.given += 1
        else:
            self.inside[station].remove(j)
        held.append(((j, step), station, self.made))
        self.made += 1

    def put(self, who: str, station: str) -> None:
        """Set a part down, where there is room for it."""
        lots, step = self.lots, self.step_of(station)
        held = self.held[who]
        taken = next(each for each in held if each[0][1] == step - 1)
        hop, start, since = taken
        room = 1 if lots.holds_one_load(station) else lots.room(station)
        last = step == len(lots.route(0)) - 1
        self.demand(last or room is None or len(self.inside.get(station, ())) < room)
        way = Way(who=who or None, start=start, goal=station)
        self.demand(way in lots.ways_of(hop))
        held.remove(taken)
        if not last:
            self.inside.setdefault(station, []).append(hop[0])
        self.carried[hop] = Carried(way=way, lift=since, lifted=since, set=self.made, placed=self.made)
        if who:
            several = lots.view.movers[who].hands > 1
            self.orders.setdefault(who, []).append(Visit(kind="place" if several else "carry", hop=hop))
        self.made += 1

    def exchange(self, who: str, station: str, old: int) -> None:
        """One part out, another in, at one moment."""
        self.lift(who, station, old)
        self.put(who, station)
        out = self.held[who][-1][0]
        self.swaps[out] = self.orders[who][-1].hop

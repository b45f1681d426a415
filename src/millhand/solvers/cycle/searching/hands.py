"""In which order each attendant works: a circuit through its visits, and how many parts are in its hands."""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from millhand.solvers.cycle.deadline import ask
from millhand.solvers.cycle.searching.nodes import add_carry, carries, duties_done, stays_for, visits
from millhand.solvers.cycle.searching.program import End, Leg, Literal, Node, Program, Whole, visit_time
from millhand.solvers.cycle.searching.raw import is_raw, raw_limit
from millhand.solvers.cycle.tours.stay import turn_between
from millhand.solvers.cycle.tours.tour import Group, Stay, phase_of
from millhand.solvers.cycle.view import Mover, Steady


def add_hands(program: Program) -> None:
    """The circuit of every attendant."""
    for move in program.jobs.moves:
        add_carry(program, move.number)
    for who, mover in program.view.movers.items():
        nodes = carries(program, who) if mover.hands == 1 else visits(program, who)
        nodes += duties_done(program, who)
        if nodes:
            Round(program=program, mover=mover, nodes=nodes).add()


class Round:
    """The circuit of one attendant through its nodes, from a depot that stands for the end of the period."""

    def __init__(self, *, program: Program, mover: Mover, nodes: list[Node]) -> None:
        """Nothing is added yet."""
        self.program, self.mover, self.nodes = program, mover, nodes
        self.model: Any = program.model
        self.first = [program.flag() for _ in nodes]
        self.last = [program.flag() for _ in nodes]
        self.legs: dict[tuple[int, int], Literal] = {}
        self.ways: dict[tuple[int, int], tuple[int | None, int | None]] = {}  # empty, loaded

    def add(self) -> None:
        """The circuit, the times along it, the load."""
        self.add_circuit()
        load = self.add_load() if self.mover.hands > 1 else None
        for a, b in product(range(len(self.nodes)), repeat=2):
            self.add_pair((a, b), load)
        self.add_length()
        self.program.legs[self.mover.id] = [
            Leg(before=self.nodes[a], after=self.nodes[b], gone=lit) for (a, b), lit in self.legs.items()
        ]
        self.program.ends[self.mover.id] = [
            End(node=node, first=first, last=last)
            for node, first, last in zip(self.nodes, self.first, self.last, strict=True)
        ]

    def add_circuit(self) -> None:
        """Every visit that is made comes once; an attendant with nothing to do stays at the depot."""
        arcs = []
        idle = self.program.flag()
        arcs.append((0, 0, idle))
        for number, node in enumerate(self.nodes):
            arcs.append((number + 1, number + 1, ~node.made))
            arcs.append((0, number + 1, self.first[number]))
            arcs.append((number + 1, 0, self.last[number]))
            self.model.add_implication(idle, ~node.made)
            if node.arrives.kind == "pick" and node.move == 0:
                self.model.add_implication(node.made, self.first[number])
        for a, b in product(range(len(self.nodes)), repeat=2):
            if a != b and self.may_follow(a, b):
                self.legs[a, b] = self.program.flag()
                arcs.append((a + 1, b + 1, self.legs[a, b]))
        self.model.add_circuit(arcs)

    def way(self, a: int, b: int, *, loaded: bool) -> int | None:
        """From the end of one node to the beginning of another, its lead on arrival included."""
        one, other = self.nodes[a].leaves, self.nodes[b].arrives
        try:
            return bare_way(self.program.view, one, other, loaded=loaded)
        except ValueError:
            return None

    def may_follow(self, a: int, b: int) -> bool:
        """Whether there is a way, and no part in two nodes at once."""
        one, other = self.nodes[a], self.nodes[b]
        ways = (self.way(a, b, loaded=False), self.way(a, b, loaded=True))
        if self.mover.hands == 1:
            ways = (ways[0], None)
        elif one.leaves.kind == "pick":
            ways = (None, ways[1])
        if self.lifts_another(one, other):
            ways = (None, None)
        self.ways[a, b] = ways
        same = one.move == other.move and one.leaves.kind == other.arrives.kind
        order = self.program.view.orders.get(self.mover.id)
        if order and order.index(other.arrives.station) != (order.index(one.arrives.station) + 1) % len(order):
            return False
        return ways != (None, None) and not same

    def lifts_another(self, one: Node, other: Node) -> bool:
        """Whether a part is set down where one fills the station, and then another one lifted there: never possible,
        also where none of it takes any time."""
        moves, place, pick = self.program.jobs.moves, one.leaves, other.arrives
        if (place.kind, pick.kind) != ("place", "pick") or place.station != pick.station:
            return False
        spots = (moves[one.move].goal, moves[other.move].start)
        alone = self.program.view.slots[place.station] == 1 and all(spot in self.program.jobs.stays for spot in spots)
        return alone and spots[0] != spots[1]

    def add_pair(self, pair: tuple[int, int], load: list[Whole] | None) -> None:
        """The time between two nodes that follow each other, within the period or over its end."""
        a, b = pair
        ask(self.program.deadline)
        if pair not in self.ways:
            self.may_follow(a, b)
        if pair in self.legs:
            self.add_gap(pair, [self.legs[pair]], 0, load)
        if a == b and self.mover.hands > 1:
            return
        if self.ways[pair] == (None, None):
            self.model.add_bool_or(~self.last[a], ~self.first[b])
            return
        self.add_gap(pair, [self.last[a], self.first[b]], self.program.period, load)

    def add_gap(self, pair: tuple[int, int], when: list[Literal], ends: Whole, load: list[Whole] | None) -> None:
        """b begins no sooner than a is over and the way is gone; an exchange begins and ends as one."""
        a, b = pair
        over = self.nodes[a].starts + self.nodes[a].takes + self.swap_longer(a) + self.swap_lead(b)
        swap = self.swap_between(a, b)
        unless = [] if swap is None else [~swap]
        for way, hands in self.ways_by_load(pair, load):
            if way is None:
                self.model.add_bool_or([~each for each in (*when, *hands)])
            else:
                self.model.add(self.nodes[b].starts + ends >= over + way).only_enforce_if(*when, *unless, *hands)

    def ways_by_load(
        self, pair: tuple[int, int], load: list[Whole] | None
    ) -> Iterator[tuple[int | None, list[Literal]]]:
        """The way between two nodes, or the empty and the loaded one where it depends on what else is in hand."""
        empty, loaded = self.ways[pair]
        if load is None or empty == loaded:
            yield empty, []
        elif self.nodes[pair[0]].leaves.kind == "pick":
            yield loaded, []
        else:
            yield empty, [self.carrying(pair[0], load, False)]
            yield loaded, [self.carrying(pair[0], load, True)]

    def carrying(self, a: int, load: list[Whole], yes: bool) -> Literal:
        """Whether something is in hand after a node."""
        name = f"carrying {self.mover.id} {a}"
        if name not in self.program.terms:
            lit = self.program.flag()
            self.model.add(load[a] >= 1).only_enforce_if(lit)
            self.model.add(load[a] == 0).only_enforce_if(~lit)
            self.program.terms[name] = lit
        lit = self.program.terms[name]
        return lit if yes else ~lit

    def swap_between(self, a: int, b: int) -> Literal | None:
        """The exchange that lifts with one node and sets down with the next."""
        one, other = self.nodes[a].leaves, self.nodes[b].arrives
        if (one.kind, other.kind) != ("pick", "place") or one.station != other.station:
            return None
        return self.program.swaps.get((self.mover.id, one.station, self.nodes[a].move, self.nodes[b].move))

    def swap_longer(self, a: int) -> Whole:
        """By how much longer a set-down takes as part of an exchange."""
        stay = self.nodes[a].leaves
        if stay.kind != "place" or self.mover.hands == 1:
            return 0
        total: Whole = 0
        for (who, station, lifting, setting), lit in self.program.swaps.items():
            if (who, station, setting) == (self.mover.id, stay.station, self.nodes[a].move):
                by_swap = self.program.jobs.moves[lifting].pick(who, station, "swap")
                longer = visit_time(self.program.view, by_swap, "hold") - visit_time(self.program.view, stay, "hold")
                total += lit * (longer + self.tail_longer(stay, by_swap))
        return total

    def tail_longer(self, stay: Stay, by_swap: Stay) -> int:
        """By how much longer the tail is that an attendant stays through."""
        if not stays_for(self.program.view, stay):
            return 0
        return visit_time(self.program.view, by_swap, "tail") - visit_time(self.program.view, stay, "tail")

    def swap_lead(self, b: int) -> Whole:
        """By how much longer the lead on arrival is before an exchange than before a lift."""
        stay = self.nodes[b].arrives
        if stay.kind != "pick" or self.mover.hands == 1:
            return 0
        total: Whole = 0
        for (who, station, lifting, _), lit in self.program.swaps.items():
            if (who, station, lifting) == (self.mover.id, stay.station, self.nodes[b].move):
                by_swap = self.program.jobs.moves[lifting].pick(who, station, "swap")
                total += lit * (arrival_lead(self.program.view, by_swap) - arrival_lead(self.program.view, stay))
        return total

    def add_load(self) -> list[Whole]:
        """How many parts are in hand after each node; at the depot those that are under way over the period's end."""
        hands, program = self.mover.hands, self.program
        load = [self.model.new_int_var(0, hands, "") for _ in self.nodes]
        over_by_move: dict[int, Literal] = {}
        for move in program.jobs.moves:
            mine = program.picks(move.number, self.mover.id)
            if mine:
                both = program.flag()
                self.model.add(both >= sum(mine) + program.over[move.number] - 1)
                self.model.add(both <= sum(mine))
                self.model.add(both <= program.over[move.number])
                over_by_move[move.number] = both
        over = list(over_by_move.values())
        for number, node in enumerate(self.nodes):
            change = {"pick": 1, "duty": 0}.get(node.arrives.kind, -1)
            self.model.add(load[number] == sum(over) + change).only_enforce_if(self.first[number])
            self.model.add(load[number] == sum(over)).only_enforce_if(self.last[number])
            for before in range(len(self.nodes)):
                lit = self.legs.get((before, number))
                if lit is not None:
                    self.model.add(load[number] == load[before] + change).only_enforce_if(lit)
        self.add_swaps_in_turn()
        self.add_raw(over_by_move)
        return load

    def add_raw(self, over: Mapping[int, Literal]) -> None:
        """One hand stays free of raw parts where a station may need an exchange; all are full only within a visit, from
        taking out the old part until the next one is put in."""
        view, limit = self.program.view, raw_limit(self.program.view, self.mover)
        raw = [
            int(node.arrives.kind != "duty" and is_raw(view, self.mover, self.lifted_of(node.move)))
            for node in self.nodes
        ]
        if limit == self.mover.hands or not any(raw):
            return
        held = [self.model.new_int_var(0, self.mover.hands, "") for _ in self.nodes]
        begins = sum(lit for move, lit in over.items() if is_raw(view, self.mover, self.lifted_of(move)))
        for number, node in enumerate(self.nodes):
            change = raw[number] if node.arrives.kind == "pick" else -raw[number]
            self.model.add(held[number] == begins + change).only_enforce_if(self.first[number])
            for before in range(len(self.nodes)):
                lit = self.legs.get((before, number))
                if lit is not None:
                    self.model.add(held[number] == held[before] + change).only_enforce_if(lit)
            within = self.puts_in_next(number) if node.arrives.kind == "pick" else 0
            self.model.add(held[number] <= limit + within)

    def puts_in_next(self, number: int) -> Whole:
        """Whether a part is set down next where one was just lifted: at once in an exchange, or after the turn."""
        here = self.nodes[number].leaves.station
        puts = [b for b, node in enumerate(self.nodes) if (node.arrives.kind, node.arrives.station) == ("place", here)]
        over_the_end = self.program.flag()
        self.model.add_implication(over_the_end, self.last[number])
        self.model.add_bool_or(~over_the_end, *(self.first[b] for b in puts))
        return over_the_end + sum(self.legs[number, b] for b in puts if (number, b) in self.legs)

    def lifted_of(self, number: int) -> Group:
        """The part type of a move, and the step that it leaves."""
        move = self.program.jobs.moves[number]
        return move.part, move.step

    def add_swaps_in_turn(self) -> None:
        """An exchange is two visits that follow each other."""
        for (a, b), lit in self.legs.items():
            swap = self.swap_between(a, b)
            if swap is not None:
                self.model.add_implication(swap, lit)
                if self.swap_is_as_good(a, b):
                    self.model.add_implication(lit, swap)

    def swap_is_as_good(self, a: int, b: int) -> bool:
        """Whether an exchange takes no longer than lifting and then setting down, where no window asks to wait; a lead
        that begins only on arrival is longer than one that was over before."""
        view, one, other = self.program.view, self.nodes[a].leaves, self.nodes[b].arrives
        swap = self.program.jobs.moves[self.nodes[a].move].pick(one.who, one.station, "swap")
        apart = visit_time(view, one, "hold") + visit_time(view, other, "hold") + self.mover.turn_steps
        both = visit_time(view, swap, "hold") <= apart and all(
            visit_time(view, swap, what) <= visit_time(view, alone, what)
            for what, alone in (("lead", one), ("tail", other))
        )
        both = both and arrival_lead(view, swap) <= arrival_lead(view, one)
        return both and all(stop.stay_max_steps is None for route in view.routes.values() for stop in route)

    def add_length(self) -> None:
        """The period is at least as long as the whole tour: what relaxations of the order know best."""
        total: Whole = 0
        for (a, b), lit in self.legs.items():
            ways = [way for way in self.ways[a, b] if way is not None]
            swap = self.swap_between(a, b)
            total += lit * (self.nodes[a].from_start + min(ways))
            if swap is not None:
                total -= swap * (self.nodes[a].from_start + min(ways))
        for number, node in enumerate(self.nodes):
            total += self.last[number] * (node.from_start + self.back_steps(number))
            total += self.swap_longer(number) + self.swap_lead(number)
        self.model.add(self.program.period >= total)

    def back_steps(self, number: int) -> int:
        """The least way from a node to the first one."""
        firsts = [b for b, node in enumerate(self.nodes) if node.move == 0 and node.arrives.kind == "pick"]
        goals = firsts if firsts and self.surely_first() else range(len(self.nodes))
        ways = [way for b in goals for way in self.ways.get((number, b), ()) if way is not None]
        return min(ways, default=0)

    def surely_first(self) -> bool:
        """Whether this attendant makes the first move whatever happens."""
        return all(option.who == self.mover.id for option in self.program.jobs.moves[0].options)


def arrival_lead(view: Steady, stay: Stay) -> int:
    """The lead of a visit that starts on arrival; none where that visit is never made."""
    known = (stay.who, stay.station, stay.part, stay.kind) in view.phases
    return phase_of(view, stay).arrival_lead_steps if known else 0


def bare_way(view: Steady, one: Stay, other: Stay, *, loaded: bool) -> int:
    """Travel, the turn of the hand, and the lead on arrival where the visit is ever made as such."""
    mover = view.movers[one.who]
    travel = mover.travel_steps(view.places[one.station], view.places[other.station], loaded=loaded)
    if travel is None:
        raise ValueError(f"{mover.id} cannot go from {one.station} to {other.station}")
    return travel + turn_between(view, one, other) + arrival_lead(view, other)

"""Loads of several parts in the program: which parts make up one, when it is complete, and when the one before is gone.

The set-downs at a station follow each other round the period, each with its place in its load. A load starts when its
last part is there; all its parts are done together and leave in the order in which they came. A part comes where the
load before has gone, or by an exchange, one for one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import product
from typing import Any

from millhand.solvers.cycle.searching.endless_loads import Mates, add_exchanges
from millhand.solvers.cycle.searching.jobs import Option, Spot
from millhand.solvers.cycle.searching.nodes import stays_with_load
from millhand.solvers.cycle.searching.program import Literal, Program, Whole, measured, visit_time
from millhand.solvers.cycle.searching.standing_loads import leaving
from millhand.solvers.cycle.searching.stays import MOST_LAPS, add_room, spots_at, stop_of
from millhand.solvers.cycle.tours.stay import Stay


def add_batches(program: Program) -> None:
    """Every station with loads of several parts."""
    for station in program.view.loads:
        here = spots_at(program, station)
        if here:
            room = program.view.slots[station]
            if room is not None:
                add_room(program, station, here, room)
            Loads(program=program, station=station, here=here).add()


@dataclass(slots=True, kw_only=True)
class Loads:
    """The loads of one station, by the stays of their parts."""

    program: Program
    station: str
    here: Mapping[Spot, Literal]
    opens: dict[Spot, Literal] = field(default_factory=dict)
    place: dict[Spot, Whole] = field(default_factory=dict)  # in its load, from 0
    whole: dict[Spot, Whole] = field(default_factory=dict)  # when its load is complete, by the period it is set down in
    gone: dict[Spot, Whole] = field(default_factory=dict)  # not before, the load before has gone
    out: dict[Spot, Whole] = field(default_factory=dict)  # when it is lifted
    mates: list[Mates] = field(default_factory=list)

    @property
    def rooms(self) -> int:
        """How many loads find room; more than one only where the period brings one load, or where room is endless."""
        room = self.program.view.slots[self.station]
        return MOST_LAPS if room is None else room // self.program.view.loads[self.station]

    def ends(self, spot: Spot) -> tuple[int, int]:
        """The moves by which a part comes here and leaves."""
        return self.program.jobs.stays[spot][0], leaving(self.program, spot, self.station)

    def add(self) -> None:
        """The circuit, and the times of each part."""
        for spot in self.here:
            self.add_part(spot)
        self.add_circuit()
        self.add_length()
        if self.program.view.slots[self.station] is None:
            add_exchanges(self.program, self.station, self.mates, self.place)

    def add_length(self) -> None:
        """The period is at least as long as all work and all handling here: none of it is at the same time."""
        program = self.program
        total: Whole = 0
        for spot, here in self.here.items():
            coming, going = self.ends(spot)
            total += here * (stop_of(program, spot).time_steps(self.station) // program.view.loads[self.station])
            for move, kind in ((coming, "place"), (going, "pick")):
                total += sum(
                    lit * visit_time(program.view, stay, "hold")
                    for option, lit in program.chosen[move].items()
                    if (stay := end_of(program, move, option, kind)).station == self.station
                )
        for (who, station, lifting, setting), lit in program.swaps.items():
            if station == self.station:
                moves = program.jobs.moves
                apart = [moves[lifting].pick(who, station), moves[setting].place(who, station)]
                both = visit_time(program.view, moves[lifting].pick(who, station, "swap"), "hold")
                total += lit * (both - sum(visit_time(program.view, stay, "hold") for stay in apart))
        program.model.add(program.period * self.rooms >= total)

    def add_part(self, spot: Spot) -> None:
        """The times of one part, if it is here."""
        program, model, here = self.program, self.program.model, self.here[spot]
        coming, going = self.ends(spot)
        batch, far = program.view.loads[self.station], program.longest * (len(program.laps[spot]) + 2)
        self.opens[spot] = program.flag()
        self.place[spot] = place = model.new_int_var(0, batch - 1, "")
        program.terms[f"place in the load {self.station} {spot}"] = place
        model.add(place == 0).only_enforce_if(self.opens[spot])
        model.add(place >= 1).only_enforce_if(~self.opens[spot])
        for times, least in ((self.whole, 0), (self.gone, -far), (self.out, 0)):
            times[spot] = model.new_int_var(least, far, "")
        for periods, lit in enumerate(program.laps[spot]):
            lifted = program.lift[going] + periods * program.period
            model.add(self.out[spot] == lifted).only_enforce_if(lit)
        down = program.set_down[coming]
        placed = down + measured(program, coming, "set", "hold") + measured(program, coming, "set", "tail")
        model.add(self.whole[spot] >= placed).only_enforce_if(here)
        done = self.whole[spot] + stop_of(program, spot).time_steps(self.station)
        model.add(self.out[spot] >= done + measured(program, going, "lift", "lead")).only_enforce_if(here)
        swaps = [
            lit for (_, name, _, setting), lit in program.swaps.items() if (name, setting) == (self.station, coming)
        ]
        self.add_attended(spot)
        free = self.gone[spot] + measured(program, coming, "set", "lead")
        model.add(down >= free).only_enforce_if(here, *(~swap for swap in swaps))

    def add_attended(self, spot: Spot) -> None:
        """At an attended station whoever completes a load stays through its process, and nobody else does."""
        program, (coming, _) = self.program, self.program.jobs.stays[spot]
        stays = stays_with_load(program, coming, self.station)
        if isinstance(stays, int):
            return
        last, model = program.flag(), program.model
        model.add(self.place[spot] == program.view.loads[self.station] - 1).only_enforce_if(last)
        model.add(self.place[spot] < program.view.loads[self.station] - 1).only_enforce_if(~last)
        works = stop_of(program, spot).time_steps(self.station)
        model.add(stays >= measured(program, coming, "set", "tail") + works).only_enforce_if(last, self.here[spot])

    def add_circuit(self) -> None:
        """The parts follow each other round the period."""
        program, spots = self.program, list(self.here)
        model: Any = program.model
        first, last = ([program.flag() for _ in spots] for _ in range(2))
        idle = program.flag()
        arcs = [(0, 0, idle)]
        for number, spot in enumerate(spots):
            arcs += [(0, number + 1, first[number]), (number + 1, 0, last[number])]
            arcs.append((number + 1, number + 1, ~self.here[spot]))
            model.add_implication(idle, ~self.here[spot])
        for a, b in product(range(len(spots)), repeat=2):
            self.add_next((spots[a], spots[b]), [last[a], first[b]], ends=1)
            if a != b:
                follows = program.flag()
                arcs.append((a + 1, b + 1, follows))
                self.add_next((spots[a], spots[b]), [follows], ends=0)
        model.add_circuit(arcs)

    def add_next(self, pair: tuple[Spot, Spot], when: list[Literal], *, ends: int) -> None:
        """One part is the next after another, in the same period or over its end."""
        one, then = pair
        program, model = self.program, self.program.model
        later, opens = ends * program.period, self.opens[then]
        batch, (coming, going) = program.view.loads[self.station], self.ends(one)
        model.add(self.place[then] == self.place[one] + 1 - batch * opens).only_enforce_if(when)
        if (one[0], one[2]) != (then[0], then[2]):  # of another type, or at another step: a load of its own
            model.add_bool_or(opens, *(~lit for lit in when))
        model.add(self.out[one] <= self.out[then] + later).only_enforce_if(when)
        if not ends:
            down = program.set_down[program.jobs.stays[then][0]]
            model.add(down >= program.set_down[coming]).only_enforce_if(when)
        if one != then:
            model.add(self.whole[one] == self.whole[then] + later).only_enforce_if(*when, ~opens)
            model.add(self.gone[then] + later >= self.gone[one]).only_enforce_if(*when, ~opens)
            self.mates.append((one, then, [*when, ~opens], ends))
            self.add_closing(pair, [*when, ~opens], later)
            self.add_mates(pair, [*when, ~opens], ends)
        cleared = measured(program, going, "lift", "hold") + measured(program, going, "lift", "tail")
        before = ends * program.period * self.rooms  # with room for several loads: one load a period
        if program.view.slots[self.station] is not None:
            model.add(self.gone[then] + before >= self.out[one] + cleared).only_enforce_if(*when, opens)
        self.add_order(pair, when, ends)

    def add_closing(self, pair: tuple[Spot, Spot], when: list[Literal], later: Whole) -> None:
        """Within a load one visit is over, its tail too, before the next one begins with its lead; both ways. In a pool
        of stations each load comes to one of them, which is not known here."""
        if self.rooms != 1 and self.program.view.slots[self.station] is not None:
            return
        program, ((came, left), (comes, leaves)) = self.program, (self.ends(spot) for spot in pair)
        for before, after, times, end in (
            (came, comes, (program.set_down[came], program.set_down[comes]), "set"),
            (left, leaves, (self.out[pair[0]], self.out[pair[1]]), "lift"),
        ):
            closing = measured(program, before, end, "hold") + measured(program, before, end, "tail")
            clear = times[0] + closing + measured(program, after, end, "lead")
            program.model.add(times[1] + later >= clear).only_enforce_if(*when)

    def add_mates(self, pair: tuple[Spot, Spot], when: list[Literal], ends: int) -> None:
        """Whoever is together in one load is so in all: else no empty cell could be filled by whole loads."""
        program = self.program
        if all(loads_on(program, part) < 2 for part, _, _ in pair):
            return
        one, then = (entered(program, spot) + periods_until(program, spot) for spot in pair)
        program.model.add(then == one + ends).only_enforce_if(*when)

    def add_order(self, pair: tuple[Spot, Spot], when: list[Literal], ends: int) -> None:
        """What comes first of visits at one moment: the part that came first, and the load before."""
        one, then = pair
        program, moves = self.program, [self.ends(spot) for spot in pair]
        lifts, downs = [("lift", going) for _, going in moves], [("set", coming) for coming, _ in moves]
        if not ends:
            program.before.append((downs[0], downs[1], when))
        for laps, lit in enumerate(program.laps[one]):
            gone_first = (lifts[0], downs[1]) if laps == ends else (downs[1], lifts[0])
            if laps <= ends and one != then and self.rooms == 1:
                program.before.append((*gone_first, [*when, self.opens[then], lit]))
            for more, other in enumerate(program.laps[then]) if one != then else ():
                order = (lifts[0], lifts[1]) if laps >= more + ends else (lifts[1], lifts[0])
                program.before.append((*order, [*when, lit, other]))


def loads_on(program: Program, part: str) -> int:
    """At how many steps of its route a part type is in loads of several."""
    route, loads = program.view.routes[part], program.view.loads
    return sum(any(name in loads for name in stop.stations) for stop in route)


def entered(program: Program, spot: Spot) -> Whole:
    """In which period a part counts as entered, so that all parts of its loads entered in one."""
    name = f"entered {spot[0]} {spot[1]}"
    if name not in program.terms:
        program.terms[name] = program.model.new_int_var(0, MOST_LAPS, name)
    return program.terms[name]


def periods_until(program: Program, spot: Spot) -> Whole:
    """How many periods end from a part's entry until it is set down for a step."""
    part, job, step = spot
    stays = [(part, job, each) for each in range(1, step + 1)]
    carried = sum(program.over[program.jobs.stays[each][0]] for each in stays)
    return carried + sum(count * lit for each in stays[:-1] for count, lit in enumerate(program.laps[each]))


def end_of(program: Program, move: int, option: Option, kind: str) -> Stay:
    """The lift or the set-down of a move."""
    each = program.jobs.moves[move]
    return each.pick(option.who, option.start) if kind == "pick" else each.place(option.who, option.goal)

"""The rules of a cell as the validator reads them, straight from its records."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from millhand.model.cell import Attendant, Cell, Step
from millhand.model.grid import grid_steps
from millhand.model.handling import Visit
from millhand.model.span import Span
from millhand.solvers.cycle.chains import goes_on, lies_at, may_come
from millhand.solvers.cycle.unrolled import Handled

NOTHING = Visit(hold_s=Span(mean_s=0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What a cell demands, looked up where it is needed; `inner`: the only way on from a buffer of a machine, and from
    a machine into its buffer, where these are stations of their own; `swapping`: who exchanges parts in one visit."""

    cell: Cell
    inner: Mapping[str, str] = field(default_factory=dict)
    swapping: frozenset[str] = frozenset()

    def steps(self, seconds: float) -> int:
        """Whole grid steps."""
        return grid_steps(seconds, grid_s=self.cell.grid_s)

    def pace(self, attendant: Attendant) -> float:
        """What a person's pace multiplies."""
        return attendant.pace if attendant.kind == "operator" else 1.0

    def visit(self, who: str, station: str, part: str, kind: str) -> Visit | None:
        """The handling of one kind of visit: the first row that names attendant, station and part."""
        if not self.cell.handling:
            return None if kind == "swap" else NOTHING
        for row in self.cell.handling:
            if who in row.who and station in row.at and (row.part is None or row.part == part):
                return {"pick": row.pick, "place": row.place, "swap": row.swap}[kind]
        return None

    def can(self, who: str, station: str, part: str, kind: str) -> bool:
        """Whether an attendant may make such a visit there."""
        attendant = self.cell.attendants[who]
        takes = kind == "place" or attendant.take_from is None or station in attendant.take_from
        puts = kind == "pick" or attendant.put_to is None or station in attendant.put_to
        hand = kind != "swap" or attendant.hands > 1
        return takes and puts and hand and self.visit(who, station, part, kind) is not None

    def found(self, visit: Handled) -> Visit:
        """The handling of a visit that was found to be possible; nothing where it is no visit of an attendant."""
        if visit.kind not in ("pick", "place", "swap"):
            return NOTHING
        return self.visit(visit.who, visit.station, visit.begins.part, visit.kind) or NOTHING

    def hold(self, visit: Handled) -> int:
        """How long a visit takes; an exchange includes the turn between the hands."""
        attendant = self.cell.attendants[visit.who]
        turn = self.steps(attendant.turn_s) if visit.kind == "swap" else 0
        return self.steps(self.found(visit).hold_s.mean_s * self.pace(attendant)) + turn

    def lead(self, visit: Handled, *, on_arrival: bool = False) -> int:
        """The station's time before the hold; `on_arrival`: only where it starts when the attendant comes."""
        row = self.found(visit)
        waits = row.lead_on == "arrival" or self.without_door(visit.station, visit.kind)
        return self.steps(row.lead_s.mean_s) if waits or not on_arrival else 0

    def tail(self, visit: Handled) -> int:
        """The station's time after the hold."""
        return 0 if self.without_door(visit.station, visit.kind) else self.steps(self.found(visit).tail_s.mean_s)

    def without_door(self, station: str, kind: str) -> bool:
        """Whether a part is handled where nothing is worked on, so that a tail binds nobody and a lead begins when the
        attendant arrives: at supplies, stores, sinks, gates and a machine's own buffers."""
        if station not in self.cell.stations:
            return False
        before, behind = self.queues(station)
        inside = {"place": before == 0, "pick": behind == 0}.get(kind, True)
        return self.cell.stations[station].kind != "process" or not inside

    def place(self, visit: Handled, *, leaving: bool) -> str | None:
        """Where an attendant is when it begins or ends something; None where it stands nowhere in particular."""
        event = visit.last if leaving else visit.first
        if visit.kind in ("motion", "duty", "home", "set_up", "stand"):
            return event.place
        return self.cell.stations[visit.station].place

    def travel(self, who: str, start: str | None, end: str | None, *, loaded: bool) -> int | None:
        """Travel between two places; 0 where the attendant does not move at all, None where it cannot go."""
        attendant = self.cell.attendants[who]
        table = self.cell.moves.get(attendant.moves_full or "")
        if table is None or not table.places:
            return 0
        if start not in table.places or end not in table.places:
            return None
        if start == end:
            return 0
        rows = table.empty_s if not loaded or table.loaded_s is None else table.loaded_s
        travel = rows[table.places.index(start)][table.places.index(end)]
        return None if travel is None else self.steps(travel * self.pace(attendant))

    def way(self, before: Handled, after: Handled, *, loaded: bool) -> int | None:
        """Travel, the turn to the other hand at one station, and the lead that starts on arrival."""
        start, end = self.place(before, leaving=True), self.place(after, leaving=False)
        travel = self.travel(after.who, start, end, loaded=loaded)
        if travel is None:
            return None
        return travel + self.turn(before, after) + self.lead(after, on_arrival=True)

    def turn(self, before: Handled, after: Handled) -> int:
        """The turn to the other hand between taking out and putting in at one station; a machine's own buffers lie
        apart from it and from each other."""
        turns = before.station == after.station and (before.kind, after.kind) == ("pick", "place")
        turns = turns and self.queues(after.station) == (0, 0)
        return self.steps(self.cell.attendants[after.who].turn_s) if turns else 0

    def route(self, part: str) -> list[tuple[int, Step]]:
        """The steps that every part visits, with their places in the route."""
        return [(index, step) for index, step in enumerate(self.cell.parts[part].route) if step.every == 1]

    def work_steps(self, part: str, station: str, step: int | None) -> int:
        """How long a station works on a part at its step; where that is unknown, on the shortest of those that it does
        for the part."""
        if step is not None and station in self.cell.parts[part].route[step].at:
            return self.process(part, step, station)
        return min((self.process(part, index, station) for index in self.steps_at(part, station)), default=0)

    def steps_lasting(self, part: str, station: str, takes: int) -> list[int]:
        """The steps at a station that take just so long."""
        return [index for index in self.steps_at(part, station) if self.process(part, index, station) == takes]

    def steps_at(self, part: str, station: str) -> list[int]:
        """The steps at which parts of a type lie that come to a station."""
        places = [step.at for step in self.cell.parts[part].route]
        here = [index for index, _ in self.route(part) if station in may_come(places, index, self.inner)]
        return [lies_at(places, index, station, self.inner) for index in here]

    def lies_at(self, part: str, step: int | None, station: str) -> int | None:
        """The step at which a part lies that comes to a station for a step."""
        places = [each.at for each in self.cell.parts[part].route]
        return None if step is None else lies_at(places, step, station, self.inner)

    def next_step(self, part: str, step: int) -> int | None:
        """The step after one."""
        return next((index for index, _ in self.route(part) if index > step), None)

    def next_stations(self, part: str, step: int) -> tuple[str, ...]:
        """Where a part belongs after a step."""
        following = self.next_step(part, step)
        return () if following is None else self.cell.parts[part].route[following].at

    def may_exchange(self, who: str) -> bool:
        """Whether an attendant can exchange a part of some type anywhere on its route."""
        stops = ((station, part) for part in self.cell.parts for _, step in self.route(part) for station in step.at)
        return any(self.can(who, station, part, "swap") for station, part in stops)

    def keeps_a_hand(self, who: str) -> bool:
        """Whether an attendant keeps a hand free: it may have to exchange a part somewhere on a route. Beside loads of
        several parts whoever exchanges nothing in the schedule need not, where it can do without."""
        stops = {(station, part) for part in self.cell.parts for _, step in self.route(part) for station in step.at}
        swapped = [(station, part) for station, part in stops if self.can(who, station, part, "swap")]
        if who in self.swapping or all(each.batch == 1 for each in self.cell.stations.values()):
            return bool(swapped)
        return not all(self.can(who, *stop, kind) for stop in swapped for kind in ("pick", "place"))

    def is_raw(self, who: str, part: str, step: int | None) -> bool:
        """Whether a part in hand goes to a station where this attendant may have to exchange it."""
        if step is None:
            return False
        return any(self.can(who, station, part, "swap") for station in self.next_stations(part, step))

    def only_step(self, part: str, station: str) -> int | None:
        """The step that a station does, where it does only one."""
        steps = self.steps_at(part, station)
        return steps[0] if len(steps) == 1 else None

    def is_start(self, station: str, part: str) -> bool:
        """Whether parts of this type come in here."""
        return station in self.cell.parts[part].route[0].at

    def process(self, part: str, step: int, station: str) -> int:
        """How long a step takes at a station."""
        route = self.cell.parts[part].route
        while step and station in route[step - 1].at and goes_on(route[step - 1].at, route[step].at, self.inner):
            step -= 1
        found = route[step]
        span = (found.times_s or {}).get(station) or found.time_s
        return self.steps(span.mean_s) if span else 0

    def attended(self, visit: Handled, step: int | None) -> int:
        """How long the attendant has to stay after a visit that brought a part to its step: tail and process of an
        attended station."""
        part = visit.begins.part
        if visit.kind not in ("place", "swap") or not self.cell.stations[visit.station].attended:
            return 0
        return self.tail(visit) + self.work_steps(part, visit.station, step)

    def stay_least(self, placed: Handled, lifted: Handled, part: str, step: int) -> int:
        """The least stay, from the end of a set-down to the start of the lift."""
        return self.tail(placed) + self.process(part, step, placed.target) + self.lead(lifted)

    def stay_longest(self, part: str, step: int) -> int | None:
        """The longest stay; None where there is no limit."""
        longest = self.cell.parts[part].route[step].stay_max_s
        return None if longest is None else self.steps(longest)

    def turnaround(self, placed: Handled, lifted: Handled) -> int:
        """A gate's least time from a set-down to the next lift."""
        station = self.cell.stations[placed.target]
        if self.cell.goal == "makespan":
            return self.steps(station.turnaround_s)
        return max(self.steps(station.turnaround_s), self.tail(placed)) + self.lead(lifted)

    def clearing(self, lifted: Handled, placed: Handled) -> int:
        """A station's least time from the end of a lift to the next set-down."""
        if self.without_door(placed.target, "place"):
            return 0
        return self.tail(lifted) + self.lead(placed)

    def room(self, station: str) -> tuple[int | None, int]:
        """How many loads a station holds, None where it holds any number, and how many parts are a load."""
        found = self.cell.stations[station]
        return found.capacity, found.batch if found.kind == "process" else 1

    def queues(self, station: str) -> tuple[int | None, int | None]:
        """A machine's own buffers, before and behind it."""
        found = self.cell.stations[station]
        return (found.in_queue, found.out_queue) if found.kind == "process" else (0, 0)

    def side_by_side(self, station: str) -> bool:
        """Whether a gate has room for several and no turnaround: what is lifted there waits for nothing set down."""
        gate = self.cell.stations[station]
        return gate.capacity != 1 and self.steps(gate.turnaround_s) == 0

    def comers(self, station: str) -> int:
        """How many attendants may come to a station to lift or set down."""
        visits = [(part, kind) for part in self.cell.parts for kind in ("pick", "place")]
        return sum(any(self.can(who, station, *each) for each in visits) for who in self.cell.attendants)

    def one_at_a_time(self, station: str) -> bool:
        """Whether only one attendant at a time can be at a station's part; at a gate with a turnaround, or with less
        room than attendants who may come, a cycle lets in one at a time."""
        gate = self.cell.stations[station]
        if gate.kind == "gate" and gate.capacity is not None and self.cell.goal == "rate":
            return not self.side_by_side(station) or gate.capacity < self.comers(station)
        if gate.kind == "gate" and self.cell.goal == "rate":
            return not self.side_by_side(station)
        return self.room(station)[0] == 1 and self.queues(station) == (0, 0)

    def moves_itself(self, start: str, end: str) -> bool:
        """Whether a part goes from one station to another without anybody."""
        if start in self.inner or end in self.inner.values():
            return self.inner.get(start) == end
        return self.cell.stations[start].self_out or self.cell.stations[end].self_in

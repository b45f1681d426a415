"""The rules of a cell as the validator reads them, straight from its records."""

from dataclasses import dataclass

from millhand.model.cell import Attendant, Cell, Step
from millhand.model.grid import grid_steps
from millhand.model.handling import Visit
from millhand.model.span import Span
from millhand.solvers.cycle.unrolled import Handled

NOTHING = Visit(hold_s=Span(mean_s=0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What a cell demands, looked up where it is needed."""

    cell: Cell

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
        """The handling of a visit that was found to be possible."""
        row = self.visit(visit.who, visit.station, visit.first.part, visit.kind) if visit.who else None
        return row or NOTHING

    def hold(self, visit: Handled) -> int:
        """How long a visit takes; an exchange includes the turn between the hands."""
        if not visit.who:
            return 0
        attendant = self.cell.attendants[visit.who]
        turn = self.steps(attendant.turn_s) if visit.kind == "swap" else 0
        return self.steps(self.found(visit).hold_s.mean_s * self.pace(attendant)) + turn

    def lead(self, visit: Handled, *, on_arrival: bool = False) -> int:
        """The station's time before the hold; `on_arrival`: only where it starts when the attendant comes."""
        row = self.found(visit)
        return 0 if on_arrival and row.lead_on == "finish" else self.steps(row.lead_s.mean_s)

    def tail(self, visit: Handled) -> int:
        """The station's time after the hold."""
        return self.steps(self.found(visit).tail_s.mean_s)

    def way(self, before: Handled, after: Handled, *, loaded: bool) -> int | None:
        """Travel, the turn to the other hand at one station, and the lead that starts on arrival."""
        attendant = self.cell.attendants[after.who]
        table = self.cell.moves.get(attendant.moves_full or "")
        start, end = (self.cell.stations[each.station].place for each in (before, after))
        travel: float | None = 0.0
        if table is not None and table.places:
            rows = table.empty_s if not loaded or table.loaded_s is None else table.loaded_s
            here, there = (table.places.index(place) if place in table.places else None for place in (start, end))
            travel = None if here is None or there is None else rows[here][there]
        if travel is None:
            return None
        turn = before.station == after.station and (before.kind, after.kind) == ("pick", "place")
        extra = self.steps(attendant.turn_s) if turn else 0
        return self.steps(travel * self.pace(attendant)) + extra + self.lead(after, on_arrival=True)

    def route(self, part: str) -> list[tuple[int, Step]]:
        """The steps that every part visits, with their places in the route."""
        return [(index, step) for index, step in enumerate(self.cell.parts[part].route) if step.every == 1]

    def next_step(self, part: str, step: int) -> int | None:
        """The step after one."""
        return next((index for index, _ in self.route(part) if index > step), None)

    def next_stations(self, part: str, step: int) -> tuple[str, ...]:
        """Where a part belongs after a step."""
        following = self.next_step(part, step)
        return () if following is None else self.cell.parts[part].route[following].at

    def only_step(self, part: str, station: str) -> int | None:
        """The step that a station does, where it does only one."""
        steps = [index for index, step in self.route(part) if station in step.at]
        return steps[0] if len(steps) == 1 else None

    def is_start(self, station: str, part: str) -> bool:
        """Whether parts of this type come in here."""
        return station in self.cell.parts[part].route[0].at

    def process(self, part: str, step: int, station: str) -> int:
        """How long a step takes at a station."""
        found = self.cell.parts[part].route[step]
        span = (found.times_s or {}).get(station) or found.time_s
        return self.steps(span.mean_s) if span else 0

    def attended(self, visit: Handled) -> int:
        """How long the attendant has to stay after a visit: tail and process of an attended station."""
        part = visit.sets.part if visit.sets is not None else visit.first.part
        if visit.kind == "pick" or not self.cell.stations[visit.station].attended:
            return 0
        step = self.only_step(part, visit.station)
        return 0 if step is None else self.tail(visit) + self.process(part, step, visit.station)

    def stays_through(self, visit: Handled) -> bool:
        """Whether the attendant stays through the process after a set-down, however short it is."""
        part = visit.sets.part if visit.sets is not None else visit.first.part
        last = visit.station in self.route(part)[-1][1].at
        return self.cell.stations[visit.station].attended and not last

    def stay(self, placed: Handled, lifted: Handled, part: str, step: int) -> tuple[int, int | None]:
        """The least and the longest stay, from the end of the set-down to the start of the lift."""
        longest = self.cell.parts[part].route[step].stay_max_s
        least = self.tail(placed) + self.process(part, step, placed.station) + self.lead(lifted)
        return least, None if longest is None else self.steps(longest)

    def turnaround(self, placed: Handled, lifted: Handled) -> int:
        """A gate's least time from a set-down to the next lift."""
        station = self.cell.stations[placed.station]
        return max(self.steps(station.turnaround_s), self.tail(placed)) + self.lead(lifted)

    def clearing(self, lifted: Handled, placed: Handled) -> int:
        """A station's least time from the end of a lift to the next set-down."""
        return self.tail(lifted) + self.lead(placed)

    def slots(self, station: str) -> int | None:
        """How many parts a station holds; None where it holds any number."""
        return self.cell.stations[station].capacity

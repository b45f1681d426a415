"""Which step of its route each part of a schedule has come to where it is lifted, and for which it is set down."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field

from millhand.model.grid import grid_steps
from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.chains import rhythm_of
from millhand.solvers.cycle.unrolled import Handled, Turn, handled, number_of, turns
from millhand.solvers.kernel.expanded import Expanded

MOVES = ("pick", "place", "swap", "self", "work")


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """Steps among all steps of all routes, by the number that the events of a visit, or of work, have in common: where
    the part lifted lies, what the part set down comes for, and what is done to the part that the machine begins."""

    lies_at: Mapping[str, int]
    comes_for: Mapping[str, int]
    begins: Mapping[str, int]
    came: "Came"


@dataclass(frozen=True, slots=True, kw_only=True)
class Came:
    """Which of the parts that come in in a period it is that is lifted, set down, or begun on, by the same numbers; and
    for each type that comes in by itself alone which of them are of it."""

    lifted: Mapping[str, int]
    placed: Mapping[str, int]
    begun: Mapping[str, int]
    by_itself: Mapping[str, tuple[int, ...]]
    each_period: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Under:
    """A part under way: its type, the period in which it came in, which of those that come in then it is, and the step
    of its route that it has come to."""

    part: str
    entered: int
    came: int
    step: int


@dataclass(slots=True, kw_only=True)
class Trace:
    """The schedule played from an empty cell on."""

    whole: Expanded
    first: Mapping[str, int]  # of each type: its first step among all
    held: dict[str, list[Under]] = field(default_factory=lambda: defaultdict(list))
    lying: dict[str, list[Under]] = field(default_factory=lambda: defaultdict(list))
    # What each machine has not begun yet, and the step that it came for.
    waiting: dict[str, list[tuple[Under, int]]] = field(default_factory=lambda: defaultdict(list))
    lies_at: dict[str, int] = field(default_factory=dict)
    comes_for: dict[str, int] = field(default_factory=dict)
    begins: dict[str, int] = field(default_factory=dict)
    coming: dict[str, tuple[str, bool, int]] = field(default_factory=dict)  # a part that comes in: type, who, which
    lifts: dict[str, int] = field(default_factory=dict)
    sets: dict[str, int] = field(default_factory=dict)
    begun: dict[str, int] = field(default_factory=dict)

    def turn(self, turn: Turn) -> None:
        """One visit, or one part that goes on by itself."""
        visit, who = turn.visit, turn.visit.who
        if visit.kind == "work":
            self.work(visit, turn.period)
            return
        coming = None if visit.kind in ("pick", "self") else self.from_hand(who, visit.begins, turn.period)
        gone = None if visit.kind == "place" else self.lifted(visit.first, turn.period)
        if visit.kind == "self":
            coming = gone
        elif gone is not None:
            self.held[who].append(gone)
        if coming is not None:
            self.set_down(visit.begins, coming)

    def work(self, visit: Handled, period: int) -> None:
        """A machine begins the part of its type and period that waits longest; of several steps, one that lasts so
        long."""
        event = visit.first
        asked, name = (event.part, period - event.lap), event.station
        alike = [each for each in self.waiting[name] if (each[0].part, each[0].entered) == asked]
        found = sorted(alike, key=lambda each: self.lasts(name, each) != visit.hold_steps)[:1]
        for each in found:
            self.waiting[name].remove(each)
            self.begins[number_of(event)] = self.first[event.part] + self.step_in(name, each)
            self.begun[number_of(event)] = each[0].came

    def step_in(self, name: str, waits: tuple[Under, int]) -> int:
        """At which step a part that came for one is in the machine itself."""
        token, came = waits
        route = range(came, len(self.whole.cell.parts[token.part].route))
        return next((i for i in route if name in self.whole.comes_to(token.part, i)), came)

    def lasts(self, name: str, waits: tuple[Under, int]) -> int:
        """Grid steps of the work that a machine does on a part."""
        told = self.whole.cell.parts[waits[0].part].route[self.step_in(name, waits)]
        span = (told.times_s or {}).get(name) or told.time_s
        return 0 if span is None else grid_steps(span.mean_s, grid_s=self.whole.cell.grid_s)

    def lifted(self, event: Event, period: int) -> Under | None:
        """The part lifted: of those of its type and period the one that lies longest, as the validator has it."""
        entered, station = period - event.lap, self.whole.cell.stations.get(event.station)
        if entered < 0:
            return None  # the cell is filling still
        if station is not None and station.kind == "supply":
            return self.comes_in(event, entered)
        lying = self.lying[event.station]
        found = next((each for each in lying if (each.part, each.entered) == (event.part, entered)), None)
        if found is not None:
            lying.remove(found)
            self.lies_at[number_of(event)] = self.first[found.part] + found.step
            self.lifts[number_of(event)] = found.came
        return found

    def comes_in(self, event: Event, entered: int) -> Under:
        """A part out of a supply: they are numbered in the order in which they come in a period."""
        number = number_of(event)
        _, _, which = self.coming.setdefault(number, (event.part, event.attendant is None, len(self.coming)))
        self.lifts[number] = which
        return Under(part=event.part, entered=entered, came=which, step=0)

    def from_hand(self, who: str, event: Event, period: int) -> Under | None:
        """The part in hand that belongs there next; of several alike the one lifted last."""
        asked = period - event.lap
        alike = [each for each in self.held[who][::-1] if (each.part, each.entered) == (event.part, asked)]
        found = next((each for each in alike if self.next_at(each, event.station) is not None), None)
        if found is not None:
            self.held[who].remove(found)
        return found

    def set_down(self, event: Event, token: Under) -> None:
        """It lies there from now on, and has come as far as the station brings it by itself."""
        step = self.next_at(token, event.station)
        if step is None:
            return
        self.comes_for[number_of(event)] = self.first[token.part] + step
        self.sets[number_of(event)] = token.came
        lies = step if self.whole.in_full else self.goes_on_to(token.part, step, event.station)
        there = Under(part=token.part, entered=token.entered, came=token.came, step=lies)
        self.lying[event.station].append(there)
        self.waiting[event.station].append((there, step))

    def goes_on_to(self, part: str, step: int, name: str) -> int:
        """The step at which a part stays that comes to a machine for a step: behind all that it goes through by itself,
        from the machine's own buffer to the other."""
        station = list(self.whole.cell.stations)[self.whole.served(name, sets=True)[0]]
        while station in self.whole.only_to:
            station, step = self.whole.only_to[station], step + 1
        return self.whole.lies_at(part, step, station)

    def next_at(self, token: Under, station: str) -> int | None:
        """The next step of its route, if a part comes to the station for it; steps by sample may be left out."""
        names, route = list(self.whole.cell.stations), self.whole.cell.parts[token.part].route
        at = {names[s] for s in self.whole.served(station, sets=True)}
        for i in range(token.step + 1, len(route)):
            if at & set(self.whole.comes_to(token.part, i)):
                return i
            if self.whole.comes_to(token.part, i) and rhythm_of(route, i) == 1:
                return None
        return None


def steps_of(whole: Expanded, best: Schedule) -> Steps:
    """The schedule played for as many periods as any part is under way in it, and two more."""
    first, count = {}, 0
    for name, part in whole.cell.parts.items():
        first[name] = count
        count += len(part.route)
    trace = Trace(whole=whole, first=first)
    periods = max((event.lap for event in best.events), default=0) + 3
    for turn in turns(best, handled(best)[0], periods):
        if turn.visit.kind in MOVES:
            trace.turn(turn)
    return Steps(lies_at=trace.lies_at, comes_for=trace.comes_for, begins=trace.begins, came=came_of(trace))


def came_of(trace: Trace) -> Came:
    """Which parts are which, of those that come in in a period."""
    coming = trace.coming.values()
    lifted = {name for name, by_itself, _ in coming if not by_itself}
    alone = {name for name, _, _ in coming} - lifted
    return Came(
        lifted=trace.lifts,
        placed=trace.sets,
        begun=trace.begun,
        by_itself={name: tuple(which for part, _, which in coming if part == name) for name in alone},
        each_period=len(coming),
    )

"""What one period has to do: the parts of k minimal sets, their moves from step to step, and their stays between."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import lcm

from millhand.solvers.cycle.chains import goes_on
from millhand.solvers.cycle.tours.tour import Stay
from millhand.solvers.cycle.view import Steady, Stop, VisitKind

NOBODY = ""  # who moves a part that moves by itself
Spot = tuple[str, int, int]  # part type, number of the part in the period, step of its route


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to make a move: who (NOBODY: by itself), from which station to which."""

    who: str
    start: str
    goal: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One part brought from one step of its route to the next, by one of several ways."""

    number: int
    part: str
    job: int
    step: int
    options: tuple[Option, ...]

    @property
    def start(self) -> Spot:
        """The stay that it ends."""
        return (self.part, self.job, self.step)

    @property
    def goal(self) -> Spot:
        """The stay that it begins."""
        return (self.part, self.job, self.step + 1)

    def pick(self, who: str, station: str, kind: VisitKind = "pick") -> Stay:
        """Its lift as a visit."""
        return Stay(who=who, kind=kind, station=station, part=self.part, step=self.step)

    def place(self, who: str, station: str, kind: VisitKind = "place") -> Stay:
        """Its set-down as a visit."""
        return Stay(who=who, kind=kind, station=station, part=self.part, step=self.step + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Jobs:
    """All moves of a period, the first one first: the period begins with its lift."""

    sets: int
    moves: tuple[Move, ...]
    stays: Mapping[Spot, tuple[int, int]]  # between which two moves a part stays, its ends left out
    duties: tuple[str, ...] = ()  # each as often as it comes

    @property
    def parts(self) -> int:
        """Parts that enter the cell in one period."""
        return sum(move.step == 0 for move in self.moves)


def jobs_of(view: Steady, sets: int, *, freely: bool = False) -> Jobs:
    """The moves of k minimal part sets; what nobody can do has no options. `freely`: alike stations are not dealt out,
    so that one may have more of the parts than another, or none."""

    def stations(spot: Spot) -> tuple[str, ...]:
        """Where a part may stay."""
        return view.routes[spot[0]][spot[2]].stations if freely else stations_of(view, spot, sets)

    found: list[Move] = []
    stays: dict[Spot, tuple[int, int]] = {}
    for part, route in view.routes.items():
        for job in range(view.part_set[part] * sets):
            for step in range(len(route) - 1):
                ends = (stations((part, job, step)), stations((part, job, step + 1)))
                number = len(found)
                if step:
                    stays[part, job, step] = (number - 1, number)
                places = (route[step].stations, route[step + 1].stations)
                inside = goes_on(*places, view.only_to)
                options = tuple(inner_options(view, ends) if inside else options_of(view, part, ends))
                found.append(Move(number=number, part=part, job=job, step=step, options=options))
    duties = tuple(name for name, often in view.duties.items() for _ in range(int(often * sets)))
    return Jobs(sets=sets, moves=tuple(found), stays=stays, duties=duties)


def stations_of(view: Steady, spot: Spot, sets: int) -> tuple[str, ...]:
    """Where a stay may be: one of the alternatives, of which the first alike ones of a route are dealt out in turn."""
    part, job, step = spot
    stations = view.routes[part][step].stations
    if step == dealt_step(view, part) and view.part_set[part] * sets % len(stations) == 0:
        return (stations[job % len(stations)],)
    return stations


def dealt_step(view: Steady, part: str) -> int | None:
    """The first step with several stations, if these are alike in everything but their places.

    Dealing them out in turn loses nothing among the cycles that use them equally: parts of one type are alike.
    """
    for step, stop in enumerate(view.routes[part]):
        if len(stop.stations) > 1:
            alike = {skills(view, part, step, name) for name in stop.stations}
            return step if len(alike) == 1 and len(view.routes) == 1 else None
    return None


def skills(view: Steady, part: str, step: int, station: str) -> tuple[object, ...]:
    """What is alike of two stations that differ in nothing but their places."""
    visits = tuple((key[0], key[3], phase) for key, phase in view.phases.items() if key[1:3] == (station, part))
    return (
        view.routes[part][step].time_steps(station),
        view.slots[station],
        view.loads.get(station, 1),
        station in view.attended,
        (station in view.self_in, station in view.self_out),
        visits,
    )


def inner_options(view: Steady, ends: tuple[tuple[str, ...], tuple[str, ...]]) -> Iterator[Option]:
    """Within a machine a part goes on by itself, or stands where it is while it would in other machines of its step."""
    for start in ends[0]:
        goal = view.only_to.get(start, start)
        if goal in ends[1]:
            yield Option(who=NOBODY, start=start, goal=goal)


def options_of(view: Steady, part: str, ends: tuple[tuple[str, ...], tuple[str, ...]]) -> Iterator[Option]:
    """Everybody who can bring this part from one of these stations to one of those; nobody where it moves by itself."""
    for start in ends[0]:
        for goal in ends[1]:
            if (start in view.self_out or goal in view.self_in) and belongs(view, start, goal):
                yield Option(who=NOBODY, start=start, goal=goal)
    for who, mover in view.movers.items():
        for start in (name for name in ends[0] if can(view, who, name, part, "pick")):
            for goal in (name for name in ends[1] if can(view, who, name, part, "place")):
                alone = start in view.self_out or goal in view.self_in
                way = mover.travel_steps(view.places[start], view.places[goal], loaded=True)
                if (way is not None or mover.hands > 1) and not alone:  # another hand may go on over a third station
                    yield Option(who=who, start=start, goal=goal)


def belongs(view: Steady, start: str, goal: str) -> bool:
    """Whether no own buffer of a machine forbids the way: each gives to or takes from its machine only."""
    tied = start in view.only_to or goal in view.only_to.values()
    return not tied or view.only_to.get(start) == goal


def can(view: Steady, who: str, station: str, part: str, kind: str) -> bool:
    """Whether an attendant can lift or set down there, by itself or within an exchange."""
    return (who, station, part, kind) in view.phases or (who, station, part, "swap") in view.phases


def rounds(view: Steady) -> int:
    """How many part sets serve each station of every step equally often, and with whole loads."""
    return lcm(
        *(
            turn_of(view, stop) // common(turn_of(view, stop), view.part_set[part])
            for part, route in view.routes.items()
            for stop in route[1:-1]
        ),
        *(often.denominator for often in view.duties.values()),
    )


def turn_of(view: Steady, stop: Stop) -> int:
    """The parts that give each station of a step one load."""
    return len(stop.stations) * lcm(*(view.loads.get(name, 1) for name in stop.stations))


def common(one: int, other: int) -> int:
    """The greatest common divisor."""
    while other:
        one, other = other, one % other
    return one


def inner_stations(view: Steady) -> set[str]:
    """The stations between the first and the last step of a route."""
    return {name for route in view.routes.values() for stop in route[1:-1] for name in stop.stations}

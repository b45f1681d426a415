"""The lots of a cell as single parts: in which order they are lifted, and by which ways each can go on.

Slots, own buffers and gates are written out as stations of their own first, as the simulation writes them out too.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import permutations

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.model.duty import Duty
from millhand.solvers.cycle.chains import first_of, goes_on
from millhand.solvers.cycle.own_buffers import long_stays
from millhand.solvers.cycle.pieces import refuse_pieces
from millhand.solvers.cycle.slots import is_told_in_full
from millhand.solvers.cycle.steady import mean_steps, steady, steps
from millhand.solvers.cycle.view import Mover, Phase, Steady, Stop
from millhand.solvers.kernel.expanded import Expanded, expanded

NONE = Phase()
FAR = 1 << 60
Table = tuple[tuple[int | None, ...], ...]
Hop = tuple[int, int]  # part, step of its route that it leaves


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One part of a lot: its type, its number among its type, and the round and turn in which its lot is given."""

    part: str
    number: int
    turn: int

    @property
    def name(self) -> str:
        """The part as it is called in events."""
        return f"{self.part} {self.number}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Somebody brings a part from one station to another; `who` None: it moves by itself."""

    who: str | None
    start: str
    goal: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadStep:
    """How many parts a load has in each of the machines between which there is a choice, and the step at which a part
    comes to the first of their places."""

    first: int
    sizes: frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """Who can change a station over between two families, in how many grid steps, where, how soon, and with how many
    hands empty."""

    duty: str
    who: tuple[str, ...]
    takes_steps: int
    place: str | None
    response_steps: int
    needs_hands: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lots:
    """Everything that the shortest makespan of a cell is about, in grid steps."""

    cell: Cell  # written out
    view: Steady
    pieces: tuple[Piece, ...]
    ways: Mapping[tuple[str, int], tuple[Way, ...]]  # part type, step
    set_ups: Mapping[tuple[str, str, str], SetUp]  # station, from, to
    home: Mapping[str, str | None]
    gates: Mapping[str, str]  # the supply of a gate: the sink at its place
    turnaround_steps: Mapping[str, int] = field(default_factory=dict)
    sharing: frozenset[str] = frozenset()  # attendants who share a track with others that move
    in_full: bool = False  # told slot by slot, with what lies in own buffers
    loads: Mapping[tuple[str, int], LoadStep] = field(default_factory=dict)  # part type, step

    def route(self, j: int) -> tuple[Stop, ...]:
        """The steps of a part."""
        return self.view.routes[self.pieces[j].part]

    def hops(self) -> Iterator[Hop]:
        """Every part with every step that it leaves."""
        return ((j, h) for j in range(len(self.pieces)) for h in range(len(self.route(j)) - 1))

    def stays_from(self, hop: Hop) -> Hop:
        """The transfer whose set-down begins the stay that ends where a part leaves a step."""
        return hop[0], hop[1] - 1 - self.route(hop[0])[hop[1]].stay_since

    def place_of(self, j: int, step: int) -> int:
        """The step at which a part comes to the first place of the machines that a step belongs to."""
        return self.loads[self.pieces[j].part, step].first

    def machine_at(self, j: int, step: int, station: str) -> str | None:
        """The machine for which a part comes to a station: the station itself, or that behind its own buffer."""
        part = self.pieces[j].part
        if self.works(station) or (part, step + 1) not in self.loads:
            return station if self.works(station) else None
        inside = self.place_of(j, step + 1) == self.place_of(j, step)
        ways = self.ways[part, step] if inside else ()
        return next((way.goal for way in ways if way.start == station and self.works(way.goal)), None)

    def ways_of(self, hop: Hop) -> tuple[Way, ...]:
        """The ways by which a part can leave a step."""
        return self.ways[self.pieces[hop[0]].part, hop[1]]

    def phase(self, who: str | None, station: str, j: int, kind: str) -> Phase:
        """What a visit takes; nothing where the part moves by itself or there is no such visit."""
        return NONE if who is None else self.view.phases.get((who, station, self.pieces[j].part, kind), NONE)

    def can(self, who: str, station: str, j: int, kind: str) -> bool:
        """Whether an attendant has such a visit there."""
        return (who, station, self.pieces[j].part, kind) in self.view.phases

    def mover(self, way: Way) -> Mover | None:
        """Who carries; None where the part moves by itself."""
        return None if way.who is None else self.view.movers[way.who]

    def carry_steps(self, way: Way) -> int:
        """The loaded way between two stations, at one of them the turn before the part is put in again; with several
        hands it may lead over others, where something is done."""
        mover = self.mover(way)
        if mover is None:
            return 0
        start, goal = self.view.places[way.start], self.view.places[way.goal]
        direct = mover.travel_steps(start, goal, loaded=True) or 0
        if mover.hands == 1 and way.start == way.goal:
            return direct + self.turn_steps(mover, way.goal)
        if mover.hands == 1 or start not in mover.rows or goal not in mover.rows or start is None or goal is None:
            return direct
        return min(direct, least_ways(mover.empty_steps, mover.loaded_steps)[mover.rows[start]][mover.rows[goal]])

    def turn_steps(self, mover: Mover, station: str) -> int:
        """From one hand to the other, after a lift, for a set-down at the same station. Of endless slots another one is
        always free, and slots are machines side by side."""
        return 0 if self.works(station) and self.room(station) is None else mover.turn_steps

    def work_steps(self, j: int, step: int, station: str) -> int:
        """How long a station works on a part."""
        return self.route(j)[step].time_steps(station)

    def works(self, station: str) -> bool:
        """Whether the station does something to a part."""
        return station in self.view.working

    def holds_one_load(self, station: str) -> bool:
        """Whether one load fills the station: a machine without endless slots, or a store for one part."""
        if self.works(station):
            return self.room(station) is not None
        return self.cell.stations[station].kind == "store" and self.room(station) == 1

    def room(self, station: str) -> int | None:
        """How many parts a station holds; None where it holds any number."""
        return self.cell.stations[station].capacity

    def batch(self, station: str) -> int:
        """Parts of one load."""
        return self.cell.stations[station].batch if self.works(station) else 1

    def supplies(self, j: int) -> tuple[str, ...]:
        """Where a part may come from."""
        return self.route(j)[0].stations

    def stock(self, name: str) -> int | None:
        """How many parts a stock gives, or a sink takes, where nobody brings or takes more; None where any number."""
        station = self.cell.stations[name]
        if station.capacity is None or station.refill is not None:
            return None
        return station.capacity - station.start if station.kind == "sink" else station.start

    def sizes(self, j: int, step: int) -> frozenset[int]:
        """Parts of one load in the machines between which there is a choice at a step."""
        return self.loads[self.pieces[j].part, step].sizes

    def family(self, j: int, step: int) -> str | None:
        """The family of a part at a step."""
        return self.cell.parts[self.pieces[j].part].route[step].family


@cache
def least_ways(empty: Table, loaded: Table) -> tuple[tuple[int, ...], ...]:
    """The least way between any two places, over others and with or without a part; far where there is none."""
    count = range(len(empty))
    known = [[min(FAR if each is None else each for each in (empty[a][b], loaded[a][b])) for b in count] for a in count]
    for c in count:
        for a in count:
            known[a] = [min(known[a][b], known[a][c] + known[c][b]) for b in count]
    return tuple(map(tuple, known))


def lots_of(cell: Cell) -> Lots:
    """The lots of a cell with the goal makespan; NotYet names what this version cannot schedule."""
    whole = expanded(without_samples(cell))
    view = without_doors(steady(whole.cell))
    view = replace(view, routes={part: long_stays(route, whole.only_to) for part, route in view.routes.items()})
    refuse_pieces(cell)
    check_people(cell, view)
    return Lots(
        cell=whole.cell,
        view=view,
        pieces=tuple(pieces_of(whole.cell)),
        ways={
            (part, step): tuple(ways_between(view, whole, (part, step)))
            for part, route in view.routes.items()
            for step in range(len(route) - 1)
        },
        set_ups=set_ups_of(whole.cell),
        home={name: each.home for name, each in whole.cell.attendants.items()},
        gates=whole.back_of,
        sharing=sharing_of(whole.cell, view),
        in_full=is_told_in_full(cell),
        turnaround_steps={name: steps(each, cell.grid_s) for name, each in whole.turnaround_s.items()},
        loads={(part, step): at for part, route in view.routes.items() for step, at in loads_along(whole, route)},
    )


def loads_along(whole: Expanded, route: Sequence[Stop]) -> Iterator[tuple[int, LoadStep]]:
    """Each step of a route with the loads of its machines, over all places that these have."""
    places = [stop.stations for stop in route]
    sizes: dict[int, set[int]] = {}
    for step, names in enumerate(places):
        stations = (whole.cell.stations[name] for name in names)
        own = sizes.setdefault(first_of(places, step, whole.only_to), set())
        own |= {station.batch for station in stations if station.kind == "process"}
    for step in range(len(places)):
        first = first_of(places, step, whole.only_to)
        yield step, LoadStep(first=first, sizes=frozenset(sizes[first] or {1}))


def without_doors(view: Steady) -> Steady:
    """The view as the simulation has it where nothing is worked on: at supplies, stores, sinks and own buffers a lead
    begins when the attendant arrives, and a tail binds nobody."""
    phases = {
        key: phase if key[1] in view.working else replace(phase, tail_steps=0, lead_on_finish=False)
        for key, phase in view.phases.items()
    }
    return replace(view, phases=phases)


def without_samples(cell: Cell) -> Cell:
    """The cell without the steps that only each so many parts visit."""
    kept = {
        name: replace(part, route=tuple(step for step in part.route if step.every == 1))
        for name, part in cell.parts.items()
    }
    return replace(cell, parts=kept)


def check_people(cell: Cell, view: Steady) -> None:
    """Refuse what attendants cannot be asked to do yet."""
    for who in sharing_of(cell, view):
        mover = view.movers[who]
        if any(cell.places[place].track_m is None for place in mover.rows):
            raise NotYet("a makespan of arms that share a track and also leave it", where="/tracks")
        for start, goal in permutations(mover.rows, 2):
            ways = (mover.travel_steps(start, goal, loaded=loaded) for loaded in (False, True))
            if cell.places[start].track_m != cell.places[goal].track_m and 0 in ways:
                raise NotYet("a makespan of arms that share a track and go along it in no time", where="/tracks")


def sharing_of(cell: Cell, view: Steady) -> frozenset[str]:
    """The attendants who share a track with others, if one of them carries parts; those that carry none may have to go
    out of the way."""
    moving = {who for transfer in view.transfers for who in transfer.who}
    shared = (track.attendants for track in cell.tracks.values() if len(track.attendants) > 1)
    return frozenset(who for attendants in shared if not moving.isdisjoint(attendants) for who in attendants)


def pieces_of(cell: Cell) -> Iterator[Piece]:
    """The parts type by type; `turn` counts the lots of all types in the order in which a supply gives them."""
    counts = {name: part.lot.count if part.lot else 1 for name, part in cell.parts.items()}
    turns = [(turn, name) for turn in range(max(counts.values(), default=0)) for name in counts if turn < counts[name]]
    given = {pair: number for number, pair in enumerate(turns)}
    for name, part in cell.parts.items():
        size = part.lot.size if part.lot else 1
        for number in range(size * counts[name]):
            yield Piece(part=name, number=number + 1, turn=given[number // size, name])


def ways_between(view: Steady, whole: Expanded, hop: tuple[str, int]) -> Iterator[Way]:
    """Every way of a part type from one step to the next."""
    part, step = hop
    starts, goals = (view.routes[part][step + more].stations for more in (0, 1))
    if goes_on(starts, goals, whole.only_to):  # within a machine, where a part may also stand where it is
        yield from (Way(who=None, start=start, goal=goal) for start, goal in zip(starts, goals, strict=True))
        return
    for start in starts:
        for goal in goals:
            if whole.only_to.get(start, goal) != goal:
                continue
            stations = whole.cell.stations
            if stations[start].self_out or stations[goal].self_in:
                yield Way(who=None, start=start, goal=goal)
                continue
            yield from (
                Way(who=who, start=start, goal=goal) for who in view.movers if carries(view, who, part, (start, goal))
            )


def carries(view: Steady, who: str, part: str, ends: tuple[str, str]) -> bool:
    """Whether an attendant can lift a part at one station and set it down at another."""
    mover, phases = view.movers[who], view.phases
    takes = any((who, ends[0], part, kind) in phases for kind in ("pick", "swap"))
    puts = any((who, ends[1], part, kind) in phases for kind in ("place", "swap"))
    places = (view.places[ends[0]], view.places[ends[1]])
    return takes and puts and mover.travel_steps(*places, loaded=True) is not None


def set_ups_of(cell: Cell) -> dict[tuple[str, str, str], SetUp]:
    """Each changeover by station and families; of several for the same families the first counts. Of endless slots one
    has never had another family in it, so these are not changed over."""
    found: dict[tuple[str, str, str], SetUp] = {}
    for change in cell.changeovers:
        for station in (name for name in change.at if cell.stations[name].capacity is not None):
            key = (station, change.from_family, change.to_family)
            if key not in found:
                found[key] = set_up_of(cell, change.duty, station)
    return found


def set_up_of(cell: Cell, name: str, station: str) -> SetUp:
    """One changeover at one station."""
    duty: Duty = cell.duties[name]
    return SetUp(
        duty=name,
        who=duty.who,
        takes_steps=mean_steps(duty.takes, 1.0, cell.grid_s),
        place=duty.place if duty.place is not None else cell.stations[station].place,
        response_steps=mean_steps(duty.response_s, 1.0, cell.grid_s),
        needs_hands=duty.needs_hands,
    )


def rate_cell(lots: Lots) -> Cell:
    """The cell, written out, as one that makes these parts for ever."""
    return replace(
        lots.cell, goal="rate", parts={name: replace(part, lot=None) for name, part in lots.cell.parts.items()}
    )

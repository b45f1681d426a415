"""Which cells the simple cycles cover: what is beyond them is refused by name."""

from dataclasses import replace

from millhand.errors import NotYet
from millhand.model.cell import Cell
from millhand.solvers.cycle.gates import with_plain_gates
from millhand.solvers.cycle.pieces import refuse_pieces
from millhand.solvers.cycle.steady import can_move, steady
from millhand.solvers.cycle.view import Steady, Stop


def check_shape(cell: Cell) -> Steady:
    """The steady view of a cell that the simple cycles cover, steps by sample taken out."""
    view = steady(with_plain_gates(cell))
    moving = {who for transfer in view.transfers for who in transfer.who}
    if cell.goal == "makespan":
        raise NotYet("the shortest makespan of lots", where="/goal")
    if any(moving & set(pair) for pair in view.track_pairs):
        raise NotYet("a cycle of several arms on one track", where="/tracks")
    if len(cell.parts) != 1:
        raise NotYet("a cycle of several part types", where="/parts")
    if comes_back(cell) and (chooses(cell) or any(attendant.hands > 1 for attendant in cell.attendants.values())):
        raise NotYet("a cycle in which a part passes a station twice, by exchange or by choice", where="/parts")
    if any(cell.stations[name].capacity != 1 for name in passed_twice(cell)):
        raise NotYet("a cycle in which a part passes a station of several slots twice", where="/parts")
    check_stations(cell)
    ((part, route),) = view.routes.items()
    kept = tuple(stop for stop in route if stop.every == 1)
    if len(kept) < 2:
        raise NotYet("a cycle for a route of fewer than two steps", where=f"/parts/{part}/route")
    return replace(view, routes={part: kept}, movers={who: view.movers[who] for who in view.movers if who in moving})


def comes_back(cell: Cell) -> bool:
    """True where a part passes a station twice on its way, its supply and outfeed apart."""
    return bool(passed_twice(cell))


def passed_twice(cell: Cell) -> set[str]:
    """The stations that a part passes more than once on its way, its supply and outfeed apart."""
    middles = ([name for step in part.route[1:-1] for name in step.at] for part in cell.parts.values())
    return {name for names in middles for name in names if names.count(name) > 1}


def chooses(cell: Cell) -> bool:
    """True where some step may be done at one of several stations."""
    return any(len(step.at) > 1 for part in cell.parts.values() for step in part.route)


def check_stations(cell: Cell) -> None:
    """Refuse what the event graph of a simple cycle does not hold."""
    for name, station in cell.stations.items():
        where = f"/stations/{name}"
        if station.batch > 1:
            raise NotYet("a cycle with loads of several parts", where=where)
        if station.in_queue != 0 or station.out_queue != 0:
            raise NotYet("a cycle with a machine's own buffers", where=where)
        if station.self_in or station.self_out:
            raise NotYet("a cycle with parts that move by themselves", where=where)
    refuse_pieces(cell)


def zones(view: Steady) -> list[Steady]:
    """One view per attendant: all of it for a single one, else the machines that only this one serves."""
    if not view.movers:
        raise NotYet("a cycle in which nobody moves the parts")
    if len(view.movers) == 1:
        return [view]
    found = [zone_of(view, who) for who in view.movers]
    seen: dict[str, str] = {}
    for who, zone in zip(view.movers, found, strict=True):
        for station in working_stations(zone):
            if seen.setdefault(station, who) != who:
                raise NotYet(f"a cycle of attendants who share {station}")
    return found


def working_stations(view: Steady) -> list[str]:
    """Every station between the first and the last step, and the ends where they hold one part only."""
    (route,) = view.routes.values()
    inner = [name for stop in route[1:-1] for name in stop.stations]
    return inner + [name for stop in (route[0], route[-1]) for name in stop.stations if name in view.singles]


def zone_of(view: Steady, who: str) -> Steady:
    """The view of one attendant: at each step the stations that it can serve from the step before and to the next."""
    ((part, route),) = view.routes.items()
    stops = []
    for index, stop in enumerate(route):
        kept = [name for name in stop.stations if serves(view, who, (part, route, index), name)]
        if not kept:
            raise NotYet(f"a cycle in which several attendants hand a part on ({who} does not do every step)")
        stops.append(narrowed(stop, kept))
    return replace(view, routes={part: tuple(stops)}, movers={who: view.movers[who]})


def serves(view: Steady, who: str, at: tuple[str, tuple[Stop, ...], int], station: str) -> bool:
    """Whether an attendant can bring parts to a station of a step and take them on."""
    part, route, index = at
    brings = index == 0 or can_move(view, who, part, (route[index - 1].stations, (station,)))
    takes = index == len(route) - 1 or can_move(view, who, part, ((station,), route[index + 1].stations))
    return brings and takes


def narrowed(stop: Stop, kept: list[str]) -> Stop:
    """A step at some of its stations only."""
    times = tuple(stop.time_steps(name) for name in kept)
    return Stop(stations=tuple(kept), times_steps=times, stay_max_steps=stop.stay_max_steps, every=stop.every)

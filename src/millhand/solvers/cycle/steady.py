"""From a Cell to its steady view: means for spreads, whole grid steps, and a list of what is left out."""

from collections.abc import Iterator
from dataclasses import replace

from millhand.model.cell import Attendant, Cell, MoveTable, Step
from millhand.model.grid import grid_steps
from millhand.model.handling import Handling, Visit
from millhand.model.mix import part_set
from millhand.model.span import Span
from millhand.model.station import Station
from millhand.solvers.cycle.left_out import left_out_words
from millhand.solvers.cycle.view import Mover, Phase, PhaseKey, Steady, Stop, Transfer

ZERO = Phase()


def steady(cell: Cell, *, left_out: tuple[str, ...] | None = None) -> Steady:
    """The steady view of a cell; every duration a whole number of grid steps, halves upwards. left_out: the words of
    what it leaves out, for who has them already, or will not tell them; else they are found here."""
    phases = phases_of(cell)
    routes = {name: tuple(stop_of(cell, step) for step in part.route) for name, part in cell.parts.items()}
    movers = {name: mover_of(cell, name, each) for name, each in cell.attendants.items()}
    view = Steady(
        grid_s=cell.grid_s,
        part_set=part_set(cell.parts),
        routes=routes,
        transfers=(),
        movers=movers,
        places={name: station.place for name, station in cell.stations.items()},
        slots={name: station.capacity for name, station in cell.stations.items()},
        turnaround_steps={
            name: steps(station.turnaround_s, cell.grid_s)
            for name, station in cell.stations.items()
            if station.kind == "gate"
        },
        phases=phases,
        track_pairs=tuple(
            pair for track in cell.tracks.values() for pair in zip(track.attendants, track.attendants[1:], strict=False)
        ),
        working=frozenset(name for name, station in cell.stations.items() if station.kind == "process"),
        singles=frozenset(name for name, station in cell.stations.items() if one_part_fills(station)),
        attended=frozenset(name for name, station in cell.stations.items() if station.attended),
        left_out=left_out_words(cell) if left_out is None else left_out,
        self_in=frozenset(name for name, station in cell.stations.items() if station.self_in),
        self_out=frozenset(name for name, station in cell.stations.items() if station.self_out),
    )
    return with_transfers(view, cell)


def one_part_fills(station: Station) -> bool:
    """Whether a station holds one part at a time and nothing beside it."""
    alone = (station.capacity, station.batch, station.in_queue, station.out_queue) == (1, 1, 0, 0)
    by_itself = station.self_in or station.self_out
    return alone and not by_itself and station.kind in ("process", "gate", "store")


def steps(value_s: float, grid_s: float) -> int:
    """Whole grid steps of a duration; the quick way where it lies on the grid already."""
    ratio = value_s / grid_s
    near = round(ratio)
    return near if abs(ratio - near) < 1e-6 else grid_steps(value_s, grid_s=grid_s)


def stop_of(cell: Cell, step: Step) -> Stop:
    """One step of a route in grid steps; a step without a time takes none."""
    spans = [(step.times_s or {}).get(station) or step.time_s for station in step.at]
    return Stop(
        stations=step.at,
        times_steps=tuple(steps(span.mean_s, cell.grid_s) if span else 0 for span in spans),
        stay_max_steps=None if step.stay_max_s is None else steps(step.stay_max_s, cell.grid_s),
        every=step.every,
    )


def mover_of(cell: Cell, name: str, attendant: Attendant) -> Mover:
    """One attendant in grid steps; a person's pace multiplies walking."""
    table = cell.moves.get(attendant.moves_full or "", MoveTable())
    pace = attendant.pace if attendant.kind == "operator" else 1.0
    empty = matrix(table.empty_s, pace, cell.grid_s)
    return Mover(
        id=name,
        kind=attendant.kind,
        hands=attendant.hands,
        turn_steps=steps(attendant.turn_s, cell.grid_s),
        rows={place: row for row, place in enumerate(table.places)},
        empty_steps=empty,
        loaded_steps=empty if table.loaded_s is None else matrix(table.loaded_s, pace, cell.grid_s),
    )


def matrix(
    table: tuple[tuple[float | None, ...], ...], pace: float, grid_s: float
) -> tuple[tuple[int | None, ...], ...]:
    """A travel table in grid steps; a place to itself takes none, whatever stands there."""
    return tuple(
        tuple(0 if at == to else None if each is None else steps(each * pace, grid_s) for to, each in enumerate(row))
        for at, row in enumerate(table)
    )


def phases_of(cell: Cell) -> dict[PhaseKey, Phase]:
    """What each attendant can do at each station of each route; the first handling row that fits counts.

    A cell with no handling at all has handling times of zero. An exchange needs a free hand. Where nothing is worked on
    nothing closes or is done: a tail binds nobody, and a lead begins when the attendant arrives.
    """
    found: dict[PhaseKey, Phase] = {}
    for part, route in cell.parts.items():
        stations = dict.fromkeys(station for step in route.route for station in step.at)
        for name, attendant in cell.attendants.items():
            for station in stations:
                stock = cell.stations[station].kind != "process"
                for kind, phase in visits_at(cell, name, station, part):
                    if may(attendant, station, kind):
                        open_one = replace(phase, tail_steps=0, lead_on_finish=False) if stock else phase
                        found[name, station, part, kind] = open_one
    return found


def visits_at(cell: Cell, who: str, station: str, part: str) -> Iterator[tuple[str, Phase]]:
    """The kinds of visit that the first fitting row gives, in grid steps."""
    pace = cell.attendants[who].pace if cell.attendants[who].kind == "operator" else 1.0
    row = row_for(cell.handling, who, station, part)
    if not cell.handling:
        yield from (("pick", ZERO), ("place", ZERO))
    elif row is not None:
        for kind, visit in (("pick", row.pick), ("place", row.place), ("swap", row.swap)):
            if visit is not None:
                yield kind, phase_of(visit, pace, cell.grid_s)


def row_for(rows: tuple[Handling, ...], who: str, station: str, part: str) -> Handling | None:
    """The first row that fits."""
    for row in rows:
        if station in row.at and who in row.who and row.part in (None, part):
            return row
    return None


def phase_of(visit: Visit, pace: float, grid_s: float) -> Phase:
    """A visit in grid steps; a person's pace multiplies what the person does, not what the station does."""
    return Phase(
        lead_steps=mean_steps(visit.lead_s, 1.0, grid_s),
        hold_steps=mean_steps(visit.hold_s, pace, grid_s),
        tail_steps=mean_steps(visit.tail_s, 1.0, grid_s),
        lead_on_finish=visit.lead_on == "finish",
    )


def mean_steps(span: Span, pace: float, grid_s: float) -> int:
    """The mean of a span in grid steps."""
    return steps(span.mean_s * pace, grid_s)


def may(attendant: Attendant, station: str, kind: str) -> bool:
    """Whether an attendant may make this kind of visit there."""
    takes = attendant.take_from is None or station in attendant.take_from
    puts = attendant.put_to is None or station in attendant.put_to
    if kind == "swap":
        return takes and puts and attendant.hands >= 2
    return takes if kind == "pick" else puts


def with_transfers(view: Steady, cell: Cell) -> Steady:
    """The view with the transfers of its routes, steps that only each n-th part visits included."""
    made = tuple(
        transfer_between(view, cell, part, (step, step + 1))
        for part, route in view.routes.items()
        for step in range(len(route) - 1)
    )
    return replace(view, transfers=made)


def transfer_between(view: Steady, cell: Cell, part: str, hop: tuple[int, int]) -> Transfer:
    """The transfer of a part between two steps of its route, with everybody who can do it."""
    starts, ends = (view.routes[part][step].stations for step in hop)
    return Transfer(
        part=part,
        step=hop[0],
        to_step=hop[1],
        who=tuple(name for name in view.movers if can_move(view, name, part, (starts, ends))),
        by_itself=any(cell.stations[name].self_out for name in starts)
        or any(cell.stations[name].self_in for name in ends),
    )


def can_move(view: Steady, who: str, part: str, ends: tuple[tuple[str, ...], tuple[str, ...]]) -> bool:
    """Whether an attendant can bring this part from one of these stations to one of those."""
    mover, phases = view.movers[who], view.phases
    takes = [s for s in ends[0] if (who, s, part, "pick") in phases or (who, s, part, "swap") in phases]
    puts = [s for s in ends[1] if (who, s, part, "place") in phases or (who, s, part, "swap") in phases]
    if mover.hands > 1 and takes and puts:
        return True  # where there is no straight way it may go over a third station, another hand at work there
    return any(mover.travel_steps(view.places[a], view.places[b], loaded=True) is not None for a in takes for b in puts)

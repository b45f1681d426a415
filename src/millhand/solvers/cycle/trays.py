"""The buffer before an attended machine is a tray: somebody takes each part out of it into the machine and stays.

Written out it is a store before the machine, `m_tray`, where parts are set down as the rows of the machine say. Whoever
may put to the machine takes them from there in no time, with a free hand, and remains while the machine works. So the
schedule, its check and the simulation take such a machine for what they know already.

Several slots have trays of their own, and a part goes into the machine behind its tray. Where a step has several of
them each tray has a place of its own, from which loaded ways lead to its machine only.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from millhand.errors import NotYet
from millhand.model.cell import Attendant, Cell, CellPart, Step
from millhand.model.handling import Handling, Visit
from millhand.model.span import NO_TIME
from millhand.model.station import Station
from millhand.solvers.cycle.closed import is_closed
from millhand.solvers.cycle.slots import has_slots, with_slots
from millhand.solvers.cycle.tray_places import with_places

AT_HAND = Visit(hold_s=NO_TIME)  # the tray lies at the machine


def trays_of(cell: Cell) -> dict[str, str]:
    """The attended machines with a buffer before them, each with the name of its tray: `m_tray`, `m_tray slot 2`."""
    named = [name for name, each in cell.stations.items() if has_tray(each)]
    trays = {name: f"{name.split(' ')[0]}_tray{name[len(name.split(' ')[0]) :]}" for name in named}
    taken = {*cell.stations, *cell.attendants, *cell.duties}
    while both := taken & set(trays.values()):
        trays = {name: f"{tray}_" if tray in both else tray for name, tray in trays.items()}
    return trays


def has_tray(station: Station) -> bool:
    """Whether a machine is attended and has a buffer before it."""
    return station.attended and station.in_queue != 0 and not is_closed(station)


def with_trays(cell: Cell) -> Cell:
    """The cell with each such buffer as a store; the same cell where there is none. NotYet names what a store before a
    machine does not say."""
    if not trays_of(cell):
        return cell
    for thing, where in tray_refusals(cell):
        raise NotYet(thing, where=where)
    if any(has_slots(cell.stations[name]) for name in trays_of(cell)):
        cell = with_slots(cell)
    trays = trays_of(cell)
    beside = {name: trays[name] for name in trays if is_beside(cell, name)}
    made = replace(
        cell,
        stations={each: made for name, old in cell.stations.items() for each, made in apart(name, old, trays)},
        handling=tuple(each for row in cell.handling for each in rows_at(row, trays)),
        parts={name: over_trays(part, trays) for name, part in cell.parts.items()},
        attendants={name: reaching_trays(each, trays) for name, each in cell.attendants.items()},
    )
    return with_places(made, beside)


def unused_trays(cell: Cell) -> list[str]:
    """The machines whose tray a schedule can do without, where no store says what it is: each part that is set down
    there is taken up at once, by whoever brought it. Not where a belt fills it."""
    unused: list[str] = []
    while found := [name for name in refused_at(cell) if not cell.stations[name].self_in]:
        unused += found
        cell = without_trays(cell, found)
    return unused


def left_empty(unused: Sequence[str], schedule: str) -> str:
    """What is said of a schedule in which these trays stay empty."""
    return f"the buffer before {' and '.join(unused)} stays empty in the {schedule}, where a run may use it"


def without_trays(cell: Cell, machines: Sequence[str]) -> Cell:
    """The cell without the buffers before these machines."""
    bare = {name: replace(cell.stations[name], in_queue=0) for name in machines}
    return replace(cell, stations={**cell.stations, **bare}) if bare else cell


def refused_at(cell: Cell) -> list[str]:
    """The machines with a tray that no store says."""
    return [where.split("/")[2] for _, where in tray_refusals(cell)]


def is_beside(cell: Cell, name: str) -> bool:
    """Whether a machine has several slots, or a step of some part may also be done at others."""
    steps = [step for part in cell.parts.values() for step in part.route if name in step.at]
    return has_slots(cell.stations[name]) or any(len(open_at(cell, step)) > 1 for step in steps)


def open_at(cell: Cell, step: Step) -> list[str]:
    """The stations of a step that have a slot."""
    return [name for name in step.at if not is_closed(cell.stations[name])]


def tray_refusals(cell: Cell) -> Iterator[tuple[str, str]]:
    """Trays that a store before the machine does not say, and where they stand."""
    for name in trays_of(cell):
        why = next(reasons(cell, name), None)
        if why is not None:
            yield f"an attended station with a buffer of its own before it {why}", f"/stations/{name}/in_queue"


def reasons(cell: Cell, name: str) -> Iterator[str]:
    """Why a store before a machine does not say what its tray is."""
    steps = [step for part in cell.parts.values() for step in part.route if name in step.at]
    if cell.stations[name].capacity is None:
        yield "and endless slots (leave the buffer out: a slot is always free)"
    if any(step.stay_max_s is not None for step in steps):
        yield "with a limited stay (write a store)"
    if not all(has_tray(cell.stations[each]) for step in steps for each in open_at(cell, step)):
        yield "beside others of its step that have none (write a store, or a buffer before each)"
    if is_beside(cell, name):
        told = "and several slots or beside others of its step"
        if any(cell.stations[each].batch > 1 for step in steps for each in open_at(cell, step)):
            yield f"{told}, with loads of several parts (write a store)"
        yield from (f"{told}, where {who} has several hands (write a store)" for who in of_several_hands(cell, name))
        if on_order(cell, name):
            yield f"{told}, on a track under the rule order (write a store)"
        if cell.stations[name].place is None:
            yield f"{told}, without a place (write one)"


def of_several_hands(cell: Cell, name: str) -> list[str]:
    """Who may take a part up at a tray and carry it on with others."""
    return [who for who, one in cell.attendants.items() if one.hands > 1 and (one.put_to is None or name in one.put_to)]


def on_order(cell: Cell, name: str) -> bool:
    """Whether a machine stands on a track where places count, not positions."""
    place = cell.places.get(cell.stations[name].place or "")
    return place is not None and place.track_m is not None and any(t.rule == "order" for t in cell.tracks.values())


def apart(name: str, station: Station, trays: dict[str, str]) -> Iterator[tuple[str, Station]]:
    """The tray and the machine behind it; any other station itself."""
    if name not in trays:
        yield name, station
        return
    tray = Station(kind="store", place=station.place, capacity=station.in_queue, self_in=station.self_in)
    yield trays[name], tray
    yield name, replace(station, in_queue=0, self_in=False)


def rows_at(row: Handling, trays: dict[str, str]) -> Iterator[Handling]:
    """A row as it holds at trays and their machines: set down in the tray, taken up there at once, lifted out of the
    machine."""
    mine, others = [name for name in row.at if name in trays], tuple(name for name in row.at if name not in trays)
    if mine:
        hand_in = row.place and AT_HAND
        yield replace(row, at=tuple(trays[name] for name in mine), pick=hand_in, swap=None, miss=None, elements=())
        yield replace(row, at=tuple(mine), place=hand_in, swap=None, elements=())
    if others:
        yield replace(row, at=others)


def over_trays(part: CellPart, trays: dict[str, str]) -> CellPart:
    """A route with each tray as a step of its own before the machine."""
    route: list[Step] = []
    for step in part.route:
        before = tuple(trays[name] for name in step.at if name in trays)
        if before:  # the machine is visited by whichever parts come to its tray
            route += [Step(at=before, every=step.every), replace(step, every=step.every if step.every == 1 else 0)]
        else:
            route.append(step)
    return replace(part, route=tuple(route))


def reaching_trays(attendant: Attendant, trays: dict[str, str]) -> Attendant:
    """Whoever may put to a machine may also put to its tray and take from it."""
    puts, takes = attendant.put_to, attendant.take_from
    fed = tuple(tray for name, tray in trays.items() if puts is None or name in puts)
    takes = None if takes is None else (*takes, *fed)  # also of somebody who takes nowhere else
    return replace(attendant, put_to=puts and (*puts, *fed), take_from=takes)

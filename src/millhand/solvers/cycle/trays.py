"""The buffer before an attended machine is a tray: somebody takes each part out of it into the machine and stays.

Written out it is a store before the machine, `m_tray`, where parts are set down as the rows of the machine say. Whoever
may put to the machine takes them from there in no time, with a free hand, and remains while the machine works. So the
schedule, its check and the simulation take such a machine for what they know already.
"""

from collections.abc import Iterator
from dataclasses import replace

from millhand.errors import NotYet
from millhand.model.cell import Attendant, Cell, CellPart, Step
from millhand.model.handling import Handling, Visit
from millhand.model.span import NO_TIME
from millhand.model.station import Station

AT_HAND = Visit(hold_s=NO_TIME)  # the tray lies at the machine


def trays_of(cell: Cell) -> dict[str, str]:
    """The attended machines with a buffer before them, each with the name of its tray."""
    trays = {name: f"{name}_tray" for name, each in cell.stations.items() if each.attended and each.in_queue != 0}
    taken = {*cell.stations, *cell.attendants, *cell.duties}
    while both := taken & set(trays.values()):
        trays = {name: f"{tray}_" if tray in both else tray for name, tray in trays.items()}
    return trays


def with_trays(cell: Cell) -> Cell:
    """The cell with each such buffer as a store; the same cell where there is none. NotYet names what a store before a
    machine does not say."""
    trays = trays_of(cell)
    if not trays:
        return cell
    for thing, where in tray_refusals(cell):
        raise NotYet(thing, where=where)
    return replace(
        cell,
        stations={each: made for name, old in cell.stations.items() for each, made in apart(name, old, trays)},
        handling=tuple(each for row in cell.handling for each in rows_at(row, trays)),
        parts={name: over_trays(part, trays) for name, part in cell.parts.items()},
        attendants={name: reaching_trays(each, trays) for name, each in cell.attendants.items()},
    )


def tray_refusals(cell: Cell) -> Iterator[tuple[str, str]]:
    """Trays that a store before the machine does not say, and where they stand."""
    for name in trays_of(cell):
        steps = [step for part in cell.parts.values() for step in part.route if name in step.at]
        beside = any(len(step.at) > 1 or step.every > 1 or step.stay_max_s is not None for step in steps)
        if beside or cell.stations[name].capacity != 1:
            thing = "an attended station with a buffer of its own before it and several slots, or beside others of its"
            thing += " step, by sample or with a limited stay (write a store)"
            yield thing, f"/stations/{name}/in_queue"


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
        tray = trays.get(step.at[0])
        route += [Step(at=(tray,)), step] if tray else [step]
    return replace(part, route=tuple(route))


def reaching_trays(attendant: Attendant, trays: dict[str, str]) -> Attendant:
    """Whoever may put to a machine may also put to its tray and take from it."""
    puts, takes = attendant.put_to, attendant.take_from
    fed = tuple(tray for name, tray in trays.items() if puts is None or name in puts)
    return replace(attendant, put_to=puts and (*puts, *fed), take_from=takes and (*takes, *fed))

"""What the format can say and this version of the simulation cannot compute: refused by name."""

from collections.abc import Iterator

from millhand.errors import NotYet
from millhand.model.cell import Attendant, Cell, CellPart
from millhand.model.station import Station

Refusal = tuple[str, str]  # the thing, where it stands


def refuse(cell: Cell) -> None:
    """Raise NotYet for the first thing that cannot be computed, in the order of the file."""
    for thing, where in refusals(cell):
        raise NotYet(thing, where=where)


def refusals(cell: Cell) -> Iterator[Refusal]:
    """Everything in the cell that the simulation cannot compute."""
    if cell.goal == "makespan":
        yield "finishing lots as early as possible (makespan) by simulation", "/goal"
    for name, track in cell.tracks.items():
        if len(track.attendants) > 1:
            yield "two attendants on one track by simulation", f"/tracks/{name}"
    if cell.changeovers:
        yield "changeovers by simulation", "/changeovers"
    for name, station in cell.stations.items():
        yield from _station(name, station)
    for name, attendant in cell.attendants.items():
        yield from _attendant(name, attendant)
    for name, part in cell.parts.items():
        yield from _part(name, part, cell)
    yield from _duties(cell)


def _station(name: str, station: Station) -> Iterator[Refusal]:
    where = f"/stations/{name}"
    if station.kind == "gate":
        yield "a gate (supply and sink at one spot) by simulation", where
    if station.kind == "process" and station.capacity not in (1, None):
        yield "a process station with several slots by simulation (write them as several stations)", f"{where}/capacity"
    if station.in_queue != 0 or station.out_queue != 0:
        yield "a machine's own buffers by simulation (write a store)", where
    for at, wear in enumerate(station.wear):
        if wear.duty is None:
            yield "wear that no duty renews", f"{where}/wear/{at}"
    for at, fault in enumerate(station.faults):
        if fault.duty is None and fault.self_s is None:
            yield "a fault that neither a duty nor time ends", f"{where}/faults/{at}"
    if station.kind != "process" and (station.faults or station.wear or station.calendar or station.warm_up):
        yield "faults, wear, hours and warming of a supply, store or sink", where


def _attendant(name: str, attendant: Attendant) -> Iterator[Refusal]:
    where = f"/attendants/{name}"
    for at, fault in enumerate(attendant.faults):
        if fault.on == "busy":
            yield "attendant faults counted on busy time", f"{where}/faults/{at}"
        if fault.duty is None and fault.self_s is None:
            yield "a fault that neither a duty nor time ends", f"{where}/faults/{at}"
    for at, wear in enumerate(attendant.wear):
        if wear.unit != "loads" or wear.duty is None:
            yield "attendant wear other than by loads with a duty that renews it", f"{where}/wear/{at}"


def _part(name: str, part: CellPart, cell: Cell) -> Iterator[Refusal]:
    where = f"/parts/{name}"
    if part.lot is not None:
        yield "lots by simulation", f"{where}/lot"
    kinds = [{cell.stations[at].kind for at in step.at} for step in part.route]
    if len(kinds) < 2 or kinds[0] != {"supply"} or kinds[-1] != {"sink"}:
        yield "a route that does not lead from a supply to a sink", f"{where}/route"
    for at, step in enumerate(part.route):
        if step.stay_max_s is not None:
            yield "stays that are limited (windows) by simulation", f"{where}/route/{at}/stay_max_s"
        if step.uses:
            yield "pieces used up at a step by simulation", f"{where}/route/{at}/uses"
        if 0 < at < len(part.route) - 1 and not kinds[at] <= {"process", "store"}:
            yield "a supply or sink in the middle of a route", f"{where}/route/{at}"


def _duties(cell: Cell) -> Iterator[Refusal]:
    for name, duty in cell.duties.items():
        if duty.trigger.kind == "changeover":
            yield "changeovers by simulation", f"/duties/{name}"
        for station in duty.restores:
            if cell.stations[station].kind not in ("supply", "sink"):
                yield "a duty that fills or empties a store or machine", f"/duties/{name}/restores/{station}"

"""Ids and references of a cell: every id well formed and used once, every reference aimed at something."""

import re
from collections import Counter
from collections.abc import Collection, Iterator
from typing import NamedTuple

from millhand.errors import InputError
from millhand.intake.cell_fields import pointer, which
from millhand.model.cell import Attendant, AttendantFault, AttendantWear, Cell
from millhand.model.duty import Duty
from millhand.model.station import Fault, Station, Wear

ID = re.compile(r"[a-z][a-z0-9_]{0,31}")
ID_WORDS = "an id of at most 32 small letters, digits and underscores, a letter first"
MAPS = ("places", "tracks", "zones", "calendars", "stations", "attendants", "moves", "parts", "duties")


class Reference(NamedTuple):
    """One id that points at something else in the cell."""

    at: str
    id: str
    known: Collection[str]
    noun: str  # what it should be, as in code unknown_<noun>


def ids(cell: Cell) -> Iterator[InputError]:
    """Ids follow the pattern and are used once over stations, attendants and duties together."""
    for section in MAPS:
        for name in getattr(cell, section):
            if not ID.fullmatch(name):
                yield InputError(pointer(f"/{section}", name), name, ID_WORDS, "id_pattern")
    for section in ("stations", "attendants"):
        if "all" in getattr(cell, section):
            yield InputError(
                f"/{section}/all", "all", "another id; a fault that stops 'all' means everything", "id_all"
            )
    owners: dict[str, str] = {}
    for section in ("stations", "attendants", "duties"):
        for name in getattr(cell, section):
            if name in owners:
                write = f"an id that is used once; {owners[name]} has it too"
                yield InputError(pointer(f"/{section}", name), name, write, "id_twice")
            owners.setdefault(name, f"/{section}/{name}")


def trouble_ids(cell: Cell) -> Iterator[InputError]:
    """Faults and wear of one owner have ids of their own."""
    for section in ("stations", "attendants"):
        for name, owner in getattr(cell, section).items():
            at = pointer(f"/{section}", name)
            seen: set[str] = set()
            named = [(f"{at}/faults/{i}/id", fault.id) for i, fault in enumerate(owner.faults)]
            named += [(f"{at}/wear/{i}/id", one.id) for i, one in enumerate(owner.wear)]
            for where, trouble in named:
                if not ID.fullmatch(trouble):
                    yield InputError(where, trouble, ID_WORDS, "id_pattern")
                if trouble in seen:
                    write = f"an id that {name!r} has only once over its faults and wear"
                    yield InputError(where, trouble, write, "trouble_id_twice")
                seen.add(trouble)


def references(cell: Cell) -> Iterator[InputError]:
    """Every reference finds its aim."""
    for at, name, known, noun in all_references(cell):
        if name not in known:
            write = f"the id of {'an' if noun[0] in 'aeio' else 'a'} {noun}{which(name, known)}"
            yield InputError(at, name, write, f"unknown_{noun.replace(' ', '_')}")


def all_references(cell: Cell) -> Iterator[Reference]:
    """All references of a cell, in file order."""
    for name, track in cell.tracks.items():
        yield from many(f"{pointer('/tracks', name)}/attendants", track.attendants, cell.attendants, "attendant")
    for name, zone in cell.zones.items():
        yield from many(f"{pointer('/zones', name)}/from", zone.duties, cell.duties, "duty")
        for who in zone.slows:
            yield Reference(f"{pointer('/zones', name)}/slows/{who}", who, cell.attendants, "attendant")
    for name, station in cell.stations.items():
        yield from of_station(cell, pointer("/stations", name), station)
    for name, attendant in cell.attendants.items():
        yield from of_attendant(cell, pointer("/attendants", name), attendant)
    for name, table in cell.moves.items():
        yield from many(f"{pointer('/moves', name)}/places", table.places, cell.places, "place")
    yield from of_handling(cell)
    yield from of_parts(cell)
    yield from of_changeovers(cell)
    for name, duty in cell.duties.items():
        yield from of_duty(cell, pointer("/duties", name), duty)
    for who, dispatch in cell.dispatch.items():
        yield Reference(pointer("/dispatch", who), who, cell.attendants, "attendant")
        yield from many(f"{pointer('/dispatch', who)}/order", dispatch.order, cell.stations, "station")


def many(at: str, names: tuple[str, ...], known: Collection[str], noun: str) -> Iterator[Reference]:
    """The references of one list."""
    return (Reference(f"{at}/{i}", name, known, noun) for i, name in enumerate(names))


def one(at: str, name: str | None, known: Collection[str], noun: str) -> Iterator[Reference]:
    """A reference that may be absent."""
    if name is not None:
        yield Reference(at, name, known, noun)


def of_trouble(cell: Cell, at: str, owner: Station | Attendant) -> Iterator[Reference]:
    """Duties that end faults and wear, and what stops with them."""
    stoppable = {*cell.stations, *cell.attendants}
    faults: tuple[Fault | AttendantFault, ...] = owner.faults
    wears: tuple[Wear | AttendantWear, ...] = owner.wear
    for i, fault in enumerate(faults):
        yield from one(f"{at}/faults/{i}/duty", fault.duty, cell.duties, "duty")
        if fault.stops != ("all",):
            yield from many(f"{at}/faults/{i}/stops", fault.stops, stoppable, "station or attendant")
    for i, wear in enumerate(wears):
        yield from one(f"{at}/wear/{i}/duty", wear.duty, cell.duties, "duty")


def of_station(cell: Cell, at: str, station: Station) -> Iterator[Reference]:
    """A station's place, calendar, refill and troubles."""
    yield from one(f"{at}/place", station.place, cell.places, "place")
    yield from one(f"{at}/calendar", station.calendar, cell.calendars, "calendar")
    yield from one(f"{at}/refill", station.refill, cell.duties, "duty")
    yield from of_trouble(cell, at, station)


def of_attendant(cell: Cell, at: str, attendant: Attendant) -> Iterator[Reference]:
    """An attendant's home, tables, stations, calendar and troubles."""
    yield from one(f"{at}/home", attendant.home, cell.places, "place")
    both = attendant.moves_slow is not None
    yield from one(f"{at}/moves/full" if both else f"{at}/moves", attendant.moves_full, cell.moves, "move table")
    yield from one(f"{at}/moves/slow", attendant.moves_slow, cell.moves, "move table")
    yield from many(f"{at}/take_from", attendant.take_from or (), cell.stations, "station")
    yield from many(f"{at}/put_to", attendant.put_to or (), cell.stations, "station")
    yield from one(f"{at}/calendar", attendant.calendar, cell.calendars, "calendar")
    yield from of_trouble(cell, at, attendant)


def of_handling(cell: Cell) -> Iterator[Reference]:
    """Who and where of the handling rows, their part and the duty after a miss."""
    for i, row in enumerate(cell.handling):
        at = f"/handling/{i}"
        yield from many(f"{at}/who", row.who, cell.attendants, "attendant")
        yield from many(f"{at}/at", row.at, cell.stations, "station")
        yield from one(f"{at}/part", row.part, cell.parts, "part")
        if row.miss is not None:
            yield from one(f"{at}/miss/duty", row.miss.duty, cell.duties, "duty")


def of_parts(cell: Cell) -> Iterator[Reference]:
    """Stations of the routes."""
    for name, part in cell.parts.items():
        for i, step in enumerate(part.route):
            at = f"{pointer('/parts', name)}/route/{i}"
            yield from many(f"{at}/at", step.at, cell.stations, "station")
            for where in step.uses:
                yield Reference(pointer(f"{at}/uses", where), where, cell.stations, "station")


def of_changeovers(cell: Cell) -> Iterator[Reference]:
    """Stations, families and duties of the changeovers."""
    families = {step.family for part in cell.parts.values() for step in part.route if step.family}
    for i, change in enumerate(cell.changeovers):
        at = f"/changeovers/{i}"
        yield from many(f"{at}/at", change.at, cell.stations, "station")
        yield Reference(f"{at}/from", change.from_family, families, "family")
        yield Reference(f"{at}/to", change.to_family, families, "family")
        yield Reference(f"{at}/duty", change.duty, cell.duties, "duty")


def of_duty(cell: Cell, at: str, duty: Duty) -> Iterator[Reference]:
    """A duty's people, place and stations."""
    yield from many(f"{at}/trigger/at", duty.trigger.at, cell.stations, "station")
    if duty.also is not None:
        yield from many(f"{at}/also/at", duty.also.at, cell.stations, "station")
    yield from many(f"{at}/who", duty.who, cell.attendants, "attendant")
    yield from one(f"{at}/place", duty.place, cell.places, "place")
    for where in duty.restores:
        yield Reference(pointer(f"{at}/restores", where), where, cell.stations, "station")


def lists(cell: Cell) -> Iterator[InputError]:
    """Lists of ids hold something, and nothing twice."""
    for at, names in all_lists(cell):
        if not names:
            yield InputError(at, "an empty list", "at least one id", "empty_list")
        for name, times in Counter(names).items():
            if times > 1:
                yield InputError(at, name, f"{name!r} once in this list", "listed_twice")


def all_lists(cell: Cell) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The lists of ids that must not be empty."""
    for name, track in cell.tracks.items():
        yield f"{pointer('/tracks', name)}/attendants", track.attendants
    for name, zone in cell.zones.items():
        yield f"{pointer('/zones', name)}/from", zone.duties
    for name, table in cell.moves.items():
        yield f"{pointer('/moves', name)}/places", table.places
    for i, row in enumerate(cell.handling):
        yield f"/handling/{i}/who", row.who
        yield f"/handling/{i}/at", row.at
    for name, part in cell.parts.items():
        for i, step in enumerate(part.route):
            yield f"{pointer('/parts', name)}/route/{i}/at", step.at
    for i, change in enumerate(cell.changeovers):
        yield f"/changeovers/{i}/at", change.at
    for name, duty in cell.duties.items():
        yield f"{pointer('/duties', name)}/who", duty.who

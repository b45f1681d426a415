"""Stations and attendants of a cell: stocks that fit, fields that belong to the kind, troubles that end."""

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from millhand.errors import InputError
from millhand.intake.cell_fields import listed, pointer
from millhand.model.cell import AttendantFault, AttendantWear, Cell
from millhand.model.station import Fault, Station, Wear

# Field of a station: the kinds it belongs to.
BELONGS = {
    "refill": ("supply", "store", "sink"),
    "turnaround_s": ("gate",),
    "batch": ("process",),
    "attended": ("process",),
    "in_queue": ("process",),
    "out_queue": ("process",),
    "warm_up": ("process",),
}


def stocks(cell: Cell) -> Iterator[InputError]:
    """A stock starts with what it can hold, and a supply that may run dry is filled by somebody or holds something."""
    for name, station in cell.stations.items():
        at = pointer("/stations", name)
        if station.capacity is not None and station.start > station.capacity * station.batch:
            write = f"at most the capacity, {station.capacity * station.batch}"
            yield InputError(f"{at}/start", str(station.start), write, "start_over_capacity")
        if station.kind == "supply" and station.capacity is not None and not station.start and station.refill is None:
            write = "how many parts it holds at the start, or who refills it"
            yield InputError(f"{at}/start", "0", write, "supply_empty")
        if station.kind == "supply" and station.capacity is None and station.refill is not None:
            write = "a capacity in parts, or no refill"
            yield InputError(f"{at}/capacity", "null", write, "refill_without_limit")


def fields_of_kind(cell: Cell) -> Iterator[InputError]:
    """Fields that only some kinds of stations have stand at those kinds only."""
    plain = Station(kind="process")
    for name, station in cell.stations.items():
        for field, kinds in BELONGS.items():
            if getattr(station, field) != getattr(plain, field) and station.kind not in kinds:
                write = f"no {field} here; it belongs to {listed(f'a {kind}' for kind in kinds)}"
                yield InputError(f"{pointer('/stations', name)}/{field}", station.kind, write, "not_this_kind")


def faults(cell: Cell) -> Iterator[InputError]:
    """Each fault says how often it comes and how it ends, and a duty that ends it waits for faults."""
    for owner in owners(cell):
        for i, fault in enumerate(owner.faults):
            yield from one_fault(f"{owner.at}/faults/{i}", fault)


class Owner(NamedTuple):
    """A station or an attendant that can fail or wear."""

    at: str
    station: str | None  # None for an attendant
    faults: tuple[Fault | AttendantFault, ...]
    wear: tuple[Wear | AttendantWear, ...]


def owners(cell: Cell) -> Iterator[Owner]:
    """Everything that can fail or wear."""
    for name, station in cell.stations.items():
        yield Owner(pointer("/stations", name), name, station.faults, station.wear)
    for name, attendant in cell.attendants.items():
        yield Owner(pointer("/attendants", name), None, attendant.faults, attendant.wear)


def one_fault(at: str, fault: Fault | AttendantFault) -> Iterator[InputError]:
    """How often, and how it ends."""
    if (fault.every is None) == (fault.p is None):
        read = "neither every nor p" if fault.p is None else "every and p"
        yield InputError(at, read, "either every (a span between stops) or p (a chance per load)", "fault_how_often")
    if fault.p is not None and fault.on != "load":
        yield InputError(f"{at}/p", f"on {fault.on}", "p with on: load, or every", "fault_p_not_load")
    if (fault.duty is None) == (fault.self_s is None):
        read = "neither duty nor self_s" if fault.duty is None else "duty and self_s"
        yield InputError(at, read, "either the duty that ends it, or self_s when it ends by itself", "fault_end")


def wear(cell: Cell) -> Iterator[InputError]:
    """What is used up is renewed by a duty."""
    for owner in owners(cell):
        for i, one in enumerate(owner.wear):
            if one.duty is None:
                write = "the duty that renews it when the spares are used up"
                yield InputError(f"{owner.at}/wear/{i}/duty", "nothing", write, "wear_without_duty")


def tracks(cell: Cell) -> Iterator[InputError]:
    """Attendants on a track are on one track, and their tables use places that lie on it."""
    on: dict[str, str] = {}
    for name, track in cell.tracks.items():
        for i, who in enumerate(track.attendants):
            at = f"{pointer('/tracks', name)}/attendants/{i}"
            if who in on and on[who] != name:
                yield InputError(at, who, f"an attendant that is not on track {on[who]!r} as well", "two_tracks")
            on.setdefault(who, name)
            if who in cell.attendants:
                yield from places_on_track(cell, at, who)
        yield from homes_in_order(cell, name)


def homes_in_order(cell: Cell, name: str) -> Iterator[InputError]:
    """Nobody starts beyond the one who comes after it on the track: they could never get past each other."""
    who = cell.tracks[name].attendants
    at_m = [home_m(cell, each) for each in who]
    for i, (here, there) in enumerate(pairwise(at_m), start=1):
        if here is not None and there is not None and there < here:
            write = (
                f"the attendants in the order of their homes along track_m, or homes in the order of the attendants; "
                f"{who[i - 1]!r} before it is at home at {here:g} m"
            )
            at = f"{pointer('/tracks', name)}/attendants/{i}"
            yield InputError(at, f"{who[i]}, at home at {there:g} m", write, "homes_crossed")


def home_m(cell: Cell, who: str) -> float | None:
    """Where somebody starts along its track [m]; None where that is not known, which is said elsewhere."""
    home = cell.attendants[who].home if who in cell.attendants else None
    return cell.places[home].track_m if home is not None and home in cell.places else None


def places_on_track(cell: Cell, at: str, who: str) -> Iterator[InputError]:
    """The places of one attendant's tables have a position on the track."""
    attendant = cell.attendants[who]
    if attendant.moves_full is None:
        yield InputError(at, who, "an attendant that has a move table", "track_without_moves")
    for table in (attendant.moves_full, attendant.moves_slow):
        places = cell.moves[table].places if table is not None and table in cell.moves else ()
        for i, place in enumerate(places):
            if place in cell.places and cell.places[place].track_m is None:
                write = f"a place with track_m; {who!r} runs on a track"
                yield InputError(f"/moves/{table}/places/{i}", place, write, "place_off_track")


def zones(cell: Cell) -> Iterator[InputError]:
    """A zone slows somebody, and who is slowed has a slow table."""
    for name, zone in cell.zones.items():
        at = f"{pointer('/zones', name)}/slows"
        if not zone.slows:
            yield InputError(at, "nothing", "who goes slow or stops while a person is there", "zone_without_effect")
        for who, how in zone.slows.items():
            if how == "slow" and who in cell.attendants and cell.attendants[who].moves_slow is None:
                write = f"stop, or give {who!r} moves with a slow table"
                yield InputError(f"{at}/{who}", how, write, "no_slow_table")


def dispatch(cell: Cell) -> Iterator[InputError]:
    """An order where the rule asks for one, a fallback beside the rule cycle only."""
    for who, rule in cell.dispatch.items():
        at = pointer("/dispatch", who)
        wants_order = "order" in (rule.rule, rule.fallback)
        if wants_order and not rule.order:
            yield InputError(f"{at}/order", "nothing", "the stations in their order", "order_missing")
        if rule.order and not wants_order:
            yield InputError(f"{at}/order", rule.rule, "no order, or the rule order", "order_unused")
        if rule.fallback is not None and rule.rule != "cycle":
            yield InputError(f"{at}/fallback", rule.rule, "no fallback; only the rule cycle has one", "fallback_unused")


def calendars(cell: Cell) -> Iterator[InputError]:
    """Hours in order, inside the period, not overlapping."""
    for name, calendar in cell.calendars.items():
        at, last = f"{pointer('/calendars', name)}/on", 0.0
        if not calendar.on:
            yield InputError(at, "an empty list", "at least one interval [from, to]", "calendar_empty")
        for i, (start, end) in enumerate(calendar.on):
            read = f"[{start:g}, {end:g}]"
            if not start < end:
                yield InputError(f"{at}/{i}", read, "an interval whose end is later than its start", "interval_order")
            elif end > calendar.period_s:
                write = f"an interval that ends within the period, {calendar.period_s:g} s"
                yield InputError(f"{at}/{i}", read, write, "interval_outside")
            elif start < last:
                write = f"an interval that starts at {last:g} s or later, after the one before"
                yield InputError(f"{at}/{i}", read, write, "interval_overlap")
            last = max(last, end)

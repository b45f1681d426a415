"""Stations, calendars, faults and wear as columns."""

from collections.abc import Sequence
from itertools import accumulate

from millhand.model.cell import Calendar, Cell
from millhand.model.station import Station
from millhand.solvers.kernel import sources
from millhand.solvers.kernel.codes import AT_END, COUNTED_ON, KINDS
from millhand.solvers.kernel.layout import Calendars, Ints, Stations, Troubles
from millhand.solvers.kernel.owners import faults_of, owners_of, wears_of
from millhand.solvers.kernel.span_table import SpanTable

STORE_ROOM = 4096  # pieces that a store without a limit may hold before the run stops with an error


def bits(numbers: Sequence[int], begins: Sequence[int], ends: Sequence[int]) -> list[int]:
    """What stands in each slice of a list, as the bits of one number: small numbers, such as those of stations."""
    return [sum(1 << each for each in set(numbers[at:end])) for at, end in zip(begins, ends, strict=True)]


def ranges(lengths: list[int]) -> tuple[Ints, Ints]:
    """Where each thing's share of a common list begins and ends."""
    ends = tuple(accumulate(lengths))
    return (0, *ends[:-1]) if ends else (), ends


def compiled_stations(cell: Cell, spans: SpanTable) -> Stations:
    """One entry a station."""
    stations = list(cell.stations.values())
    names = list(cell.stations)
    places = list(cell.places)
    calendars = list(cell.calendars)
    kind = tuple(KINDS[s.kind] for s in stations)
    fault_from, fault_to = ranges([len(s.faults) for s in stations])
    wear_from, wear_to = ranges([len(s.wear) for s in stations])
    most = _most_in_store(cell)
    room = [_room(station, most) for station in stations]
    given = [[p for p, part in enumerate(cell.parts.values()) if name in part.route[0].at] for name in names]
    part_from, part_to = ranges([len(parts) for parts in given])
    return Stations(
        kind=kind,
        place=tuple(places.index(s.place) if s.place in places else -1 for s in stations),
        capacity=tuple(-1 if s.capacity is None else s.capacity for s in stations),
        start=tuple(s.start for s in stations),
        batch=tuple(s.batch for s in stations),
        attended=tuple(int(s.attended) for s in stations),
        self_in=tuple(int(s.self_in) for s in stations),
        self_out=tuple(int(s.self_out) for s in stations),
        calendar=tuple(calendars.index(s.calendar) if s.calendar else -1 for s in stations),
        warm_after=tuple(spans.steps(s.warm_up.after_s) if s.warm_up else -1 for s in stations),
        warm_takes=tuple(spans.steps(s.warm_up.takes_s) if s.warm_up else 0 for s in stations),
        fault_from=fault_from,
        fault_to=fault_to,
        wear_from=wear_from,
        wear_to=wear_to,
        piece_from=ranges(room)[0],
        part_from=part_from,
        part_to=part_to,
        part=tuple(p for parts in given for p in parts),
    )


def _room(station: Station, most: int) -> int:
    """Pieces that a station can hold at most; `most` is what a store without a limit may hold."""
    if station.kind == "store":
        return most if station.capacity is None else station.capacity
    return station.batch if station.kind == "process" else 0


def _most_in_store(cell: Cell) -> int:
    """What a store without a limit may hold: all parts of the lots, where that is all there ever is."""
    lots = [part.lot for part in cell.parts.values()]
    if cell.goal != "makespan" or None in lots:
        return STORE_ROOM
    return min(STORE_ROOM, sum(lot.size * lot.count for lot in lots if lot is not None))


def pieces_inside(cell: Cell) -> int:
    """Pieces that process stations, stores and hands hold at most."""
    most = _most_in_store(cell)
    inside = sum(_room(station, most) for station in cell.stations.values())
    return inside + sum(attendant.hands for attendant in cell.attendants.values())


def compiled_calendars(cell: Cell, spans: SpanTable) -> Calendars:
    """Intervals in order; a gap shorter than the work on both its sides is a break, any other is time off."""
    rows = [_intervals(calendar, spans) for calendar in cell.calendars.values()]
    on_from, on_to = ranges([len(row) for row in rows])
    flat = [interval for row in rows for interval in row]
    return Calendars(
        period=tuple(spans.steps(c.period_s) for c in cell.calendars.values()),
        on_from=on_from,
        on_to=on_to,
        start=tuple(start for start, _, _ in flat),
        end=tuple(end for _, end, _ in flat),
        pause=tuple(pause for _, _, pause in flat),
        at_end=tuple(AT_END[c.at_end] for c in cell.calendars.values()),
    )


def _intervals(calendar: Calendar, spans: SpanTable) -> list[tuple[int, int, int]]:
    """(from, to, 1 where the gap after it is a break), touching intervals joined."""
    period = spans.steps(calendar.period_s)
    joined: list[list[int]] = []
    for start, end in sorted(calendar.on):
        begin, finish = spans.steps(start), min(spans.steps(end), period)
        if joined and begin <= joined[-1][1]:
            joined[-1][1] = max(joined[-1][1], finish)
        elif finish > begin:
            joined.append([begin, finish])
    found = []
    for at, (start, end) in enumerate(joined):
        following = joined[(at + 1) % len(joined)]
        gap = (following[0] - end) % period
        pause = at + 1 < len(joined) and gap < min(end - start, following[1] - following[0])
        found.append((start, end, int(pause)))
    return found


def compiled_troubles(cell: Cell, spans: SpanTable, slot_of: dict[tuple[str, str, int], int]) -> Troubles:
    """All faults and wear, those of stations first; `slot_of` gives the slot of (what, owner, which)."""
    owners = owners_of(cell)
    ids = [name for name, _ in owners]
    count = len(cell.stations)
    faults = [(o, at, fault) for o, (_, owner) in enumerate(owners) for at, fault in enumerate(faults_of(owner))]
    wears = [(o, at, wear) for o, (_, owner) in enumerate(owners) for at, wear in enumerate(wears_of(owner))]
    every, ends, streams = [], [], []
    for owner, at, fault in faults:
        station = owner < count
        first = owner if station else owner - count
        source = sources.source_number(sources.STATION_FAULT if station else sources.ATTENDANT_FAULT, first, at)
        end = sources.source_number(sources.STATION_FAULT_END if station else sources.ATTENDANT_FAULT_END, first, at)
        every.append(spans.add(fault.every, source, counts=fault.on == "load") if fault.every else -1)
        streams.append(spans.stream(source))
        ends.append(spans.add(fault.self_s, end) if fault.self_s else -1)
    people = [count + a for a, attendant in enumerate(cell.attendants.values()) if attendant.kind == "operator"]
    stops = [_stopped(fault.stops, owner, ids, people) for owner, _, fault in faults]
    stop_from, stop_to = ranges([len(row) for row in stops])
    return Troubles(
        owner=tuple(owner for owner, _, _ in faults),
        on=tuple(COUNTED_ON[fault.on] for _, _, fault in faults),
        every=tuple(every),
        p=tuple(fault.p or 0.0 for _, _, fault in faults),
        stream=tuple(streams),
        slot=tuple(slot_of.get(("fault", ids[owner], at), -1) for owner, at, _ in faults),
        self_end=tuple(ends),
        keeps=tuple(int(getattr(fault, "keeps_part", True)) for _, _, fault in faults),
        stop_from=stop_from,
        stop_to=stop_to,
        stop=tuple(other for row in stops for other in row),
        wear_owner=tuple(owner for owner, _, _ in wears),
        wear_loads=tuple(int(wear.unit == "loads") for _, _, wear in wears),
        wear_limit=tuple(
            round(wear.limit) if wear.unit == "loads" else spans.steps(wear.limit) for _, _, wear in wears
        ),
        wear_spares=tuple(wear.spares for _, _, wear in wears),
        wear_slot=tuple(slot_of.get(("wear", ids[owner], at), -1) for owner, at, _ in wears),
    )


def _stopped(stops: tuple[str, ...], owner: int, ids: list[str], people: list[int]) -> list[int]:
    """Owners that stop with the one that fails; `all` is every station and arm, never a person."""
    if stops == ("all",):
        return [other for other in range(len(ids)) if other != owner and other not in people]
    return [ids.index(name) for name in stops if ids.index(name) != owner]

"""Handling rows as columns: who does what where, and what can be done with a part in hand."""

from dataclasses import dataclass, field

from millhand.errors import InputError
from millhand.model.cell import Cell
from millhand.model.handling import Handling, Visit
from millhand.model.span import Span
from millhand.solvers.kernel import sources
from millhand.solvers.kernel.codes import PICK, PLACE, PROCESS, STORE, SUPPLY, SWAP
from millhand.solvers.kernel.compile_stations import ranges
from millhand.solvers.kernel.layout import Ints, Stations, Steps, Work
from millhand.solvers.kernel.span_table import SpanTable

NO_TIME = Visit(hold_s=Span(mean_s=0.0))
FREE = Handling(who=(), at=(), pick=NO_TIME, place=NO_TIME)  # a cell without handling: lifting lies in loaded_s
SOURCES = (
    (sources.PICK_LEAD, sources.PICK_HOLD, sources.PICK_TAIL),
    (sources.PLACE_LEAD, sources.PLACE_HOLD, sources.PLACE_TAIL),
    (sources.SWAP_LEAD, sources.SWAP_HOLD, sources.SWAP_TAIL),
)


@dataclass(slots=True, kw_only=True)
class Rows:
    """Work rows, gathered: one for each (attendant, station, handling row) that meets."""

    has: list[int] = field(default_factory=list)
    lead: list[int] = field(default_factory=list)
    hold: list[int] = field(default_factory=list)
    tail: list[int] = field(default_factory=list)
    on_finish: list[int] = field(default_factory=list)
    miss: list[tuple[float, int, int, int, int]] = field(default_factory=list)  # p, stream, retries, retry, slot
    row_of: list[int] = field(default_factory=list)


def compiled_rows(cell: Cell, spans: SpanTable, slot_of: dict[tuple[str, str, int], int]) -> Rows:
    """A row for each attendant, station and part that a line of handling fits; the first that fits counts."""
    rows = Rows()
    for a, who in enumerate(cell.attendants):
        for s, at in enumerate(cell.stations):
            known: dict[int, int] = {}
            for part in cell.parts:
                line = _line(cell, who, at, part)
                if line >= -1 and line not in known:
                    known[line] = _add_row(rows, spans, FREE if line < 0 else cell.handling[line], (a, s, cell))
                    slot = slot_of.get(("miss", who, max(line, 0)), -1)
                    rows.miss.append(_miss(FREE if line < 0 else cell.handling[line], spans, (a, s), slot))
                rows.row_of.append(known.get(line, -1))
    return rows


def _line(cell: Cell, who: str, at: str, part: str) -> int:
    """The first line of handling that fits, -1 where handling takes no time, -2 where nobody may."""
    if not cell.handling:
        return -1
    for number, line in enumerate(cell.handling):
        if who in line.who and at in line.at and line.part in (None, part):
            return number
    return -2


def _add_row(rows: Rows, spans: SpanTable, line: Handling, where: tuple[int, int, Cell]) -> int:
    """The number of a new row. Where parts come or go by themselves there is nothing to exchange."""
    a, s, cell = where
    attendant, station = list(cell.attendants.values())[a], list(cell.stations.values())[s]
    swaps = attendant.hands > 1 and not (station.self_in or station.self_out)
    pace = attendant.pace if attendant.kind == "operator" else 1.0
    for kind, visit in ((PICK, line.pick), (PLACE, line.place), (SWAP, line.swap)):
        usable = visit is not None and (kind != SWAP or swaps)
        rows.has.append(int(usable))
        lead, hold, tail = (sources.source_number(source, a, s) for source in SOURCES[kind])
        times = visit or NO_TIME
        rows.lead.append(spans.add(times.lead_s, lead))
        rows.hold.append(spans.add(times.hold_s, hold, pace=pace))
        rows.tail.append(spans.add(times.tail_s, tail))
        rows.on_finish.append(int(times.lead_on == "finish"))
    return len(rows.has) // 3 - 1


def _miss(line: Handling, spans: SpanTable, where: tuple[int, int], slot: int) -> tuple[float, int, int, int, int]:
    """Chance of a miss, its stream, retries (-1 without end), the span of one more try, the slot that is called."""
    if line.miss is None:
        return 0.0, -1, -1, -1, -1
    stream = spans.stream(sources.source_number(sources.MISS, *where))
    retry = spans.add(line.miss.retry_s, sources.source_number(sources.RETRY, *where))
    return line.miss.p, stream, -1 if line.miss.retries is None else line.miss.retries, retry, slot


def compiled_work(cell: Cell, rows: Rows, stations: Stations, ways: tuple[Steps, Ints]) -> Work:
    """Rows, and the options of each attendant for each step of a route; `ways`: the steps, and the only station to
    which parts of each station go."""
    names, parts, (steps, only_to) = list(cell.stations), len(cell.parts), ways
    options: list[list[tuple[int, int]]] = []
    for a, attendant in enumerate(cell.attendants.values()):
        for g, part in enumerate(steps.part):
            found = []
            for s in steps.at[steps.at_from[g] : steps.at_to[g]]:
                row = rows.row_of[(a * len(names) + s) * parts + part]
                allowed = (
                    not stations.self_in[s]
                    and s not in only_to
                    and (attendant.put_to is None or names[s] in attendant.put_to)
                )
                if row >= 0 and allowed and (rows.has[3 * row + PLACE] or rows.has[3 * row + SWAP]):
                    found.append((s, row))
            options.append(found)
    option_from, option_to = ranges([len(found) for found in options])
    miss_p, miss_stream, retries, retry, slot = zip(*rows.miss, strict=True) if rows.miss else ((),) * 5
    return Work(
        row_of=tuple(rows.row_of),
        has=tuple(rows.has),
        lead=tuple(rows.lead),
        hold=tuple(rows.hold),
        tail=tuple(rows.tail),
        on_finish=tuple(rows.on_finish),
        miss_p=miss_p,
        miss_stream=miss_stream,
        retries=retries,
        retry=retry,
        miss_slot=slot,
        option_from=option_from,
        option_to=option_to,
        station=tuple(s for found in options for s, _ in found),
        row=tuple(row for found in options for _, row in found),
        feeders=_feeders(*ways),
    )


def _feeders(steps: Steps, only_to: Ints) -> tuple[int, ...]:
    """[station * S + other]: 1 where a part of the other may come to the station next, skipped steps included."""
    count = len(only_to)
    lie = [
        [s for s in range(count) if g in steps.lies[s::count]] for g in range(len(steps.part))
    ]  # the stations where parts lie at each step
    found = [0] * (count * count)
    for g in range(len(steps.part)):
        before = g - 1
        while before >= 0 and steps.part[before] == steps.part[g]:
            for other in lie[before]:
                for s in steps.at[steps.at_from[g] : steps.at_to[g]]:
                    if only_to[other] in (-1, s):
                        found[s * count + other] = 1
            while steps.every[before] == 0:
                before -= 1
            if steps.every[before] == 1 or steps.every[g] == 0:
                break
            before -= 1
    return tuple(found)


def sources_of(cell: Cell, rows: Rows, stations: Stations) -> list[list[int]]:
    """Per attendant the stations from which it may pick at all: none that puts its parts out by itself."""
    names, parts = list(cell.stations), len(cell.parts)
    found = []
    for a, attendant in enumerate(cell.attendants.values()):
        mine = []
        for s, name in enumerate(names):
            some = [rows.row_of[(a * len(names) + s) * parts + part] for part in range(parts)]
            allowed = not stations.self_out[s] and (attendant.take_from is None or name in attendant.take_from)
            picks = any(row >= 0 and rows.has[3 * row + PICK] for row in some)
            if stations.kind[s] in (SUPPLY, PROCESS, STORE) and allowed and picks:
                mine.append(s)
        found.append(mine)
    return found


def swaps_of(cell: Cell, rows: Rows, work: Work) -> list[int]:
    """Per attendant 1 where some station that it may serve can be exchanged in one visit."""
    steps = len(work.option_from) // max(len(cell.attendants), 1)
    return [
        int(
            any(
                rows.has[3 * row + SWAP]
                for row in work.row[work.option_from[a * steps] : work.option_to[(a + 1) * steps - 1]]
            )
        )
        for a in range(len(cell.attendants))
    ]


def check_served(cell: Cell, work: Work, steps: Steps, stations: Stations) -> None:
    """A station that some route uses and nobody serves is an error (rule 10), unless parts move in by themselves."""
    count, names = len(cell.attendants), list(cell.stations)
    size = len(steps.part)
    reached = {s for at in range(count * size) for s in work.station[work.option_from[at] : work.option_to[at]]}
    for g in range(size):
        for s in steps.at[steps.at_from[g] : steps.at_to[g]]:
            by_itself = stations.self_in[s] or any(
                stations.self_out[other] for other in range(len(names)) if work.feeders[s * len(names) + other]
            )
            if stations.kind[s] != SUPPLY and s not in reached and not by_itself:
                raise InputError(f"/stations/{names[s]}", "no handling row", "who places parts there", "cell.unserved")

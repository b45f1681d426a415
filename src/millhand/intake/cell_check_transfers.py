"""Transfers of a cell: from each step to the next there is somebody who may, can and reaches."""

from collections.abc import Iterator
from typing import NamedTuple

from millhand.errors import InputError
from millhand.intake.cell_check_handling import row_for
from millhand.intake.cell_check_moves import seconds_between
from millhand.intake.cell_fields import pointer
from millhand.model.cell import Attendant, Cell, Step


class Transfer(NamedTuple):
    """One way of a part from one step to a later one."""

    at: str  # pointer of the later step
    part: str
    start: tuple[str, ...]
    end: tuple[str, ...]


def all_transfers(cell: Cell) -> Iterator[Transfer]:
    """Consecutive steps of every route; steps that only each n-th part takes are also passed by."""
    for name, part in cell.parts.items():
        for i, step in enumerate(part.route):
            for before in earlier(part.route, i):
                known = [tuple(s for s in one.at if s in cell.stations) for one in (before, step)]
                yield Transfer(f"{pointer('/parts', name)}/route/{i}", name, known[0], known[1])


def earlier(route: tuple[Step, ...], i: int) -> Iterator[Step]:
    """The steps from which a part can come to step i."""
    for before in reversed(route[:i]):
        yield before
        if before.every == 1:
            return


def served(cell: Cell) -> Iterator[InputError]:
    """Every station of a route is served by a handling row, unless there is no handling at all or it serves itself."""
    for name, part in cell.parts.items():
        last = len(part.route) - 1
        for i, step in enumerate(part.route):
            for j, where in enumerate(step.at if cell.handling else ()):
                at = f"{pointer('/parts', name)}/route/{i}/at/{j}"
                if where in cell.stations:
                    yield from one_served(cell, at, (where, name), first=i == 0, last=i == last)


def one_served(cell: Cell, at: str, what: tuple[str, str], *, first: bool, last: bool) -> Iterator[InputError]:
    """One station of one route: a row to come by, a row to leave by."""
    where, part = what
    station = cell.stations[where]
    if not first and not station.self_in and not any(can_put(cell, who, where, part) for who in cell.attendants):
        write = f"a handling row with place at {where!r} for somebody who may put there, or self_in"
        yield InputError(at, where, write, "no_place_row")
    if not last and not station.self_out and not any(can_take(cell, who, where, part) for who in cell.attendants):
        write = f"a handling row with pick or swap at {where!r} for somebody who may take there, or self_out"
        yield InputError(at, where, write, "no_pick_row")


def can_take(cell: Cell, who: str, where: str, part: str) -> bool:
    """Whether an attendant may lift this part out of a station and a row says how."""
    row, allowed = row_for(cell, who, where, part), cell.attendants[who].take_from
    handled = not cell.handling or (row is not None and (row.pick is not None or row.swap is not None))
    return handled and (allowed is None or where in allowed)


def can_put(cell: Cell, who: str, where: str, part: str) -> bool:
    """Whether an attendant may set this part down in a station and a row says how (an empty one needs `place`)."""
    row, allowed = row_for(cell, who, where, part), cell.attendants[who].put_to
    handled = not cell.handling or (row is not None and row.place is not None)
    return handled and (allowed is None or where in allowed)


def goes_alone(cell: Cell, start: str, end: str) -> bool:
    """Whether a part goes from one station to the other without an attendant."""
    return cell.stations[start].self_out or cell.stations[end].self_in


def reach_s(cell: Cell, attendant: Attendant, start: str, end: str) -> float | None:
    """Loaded travel time of an attendant between two stations [s]; 0 for who does not move, None where it cannot."""
    table = cell.moves.get(attendant.moves_full or "")
    places = cell.stations[start].place, cell.stations[end].place
    if attendant.moves_full is None or table is None or places[0] is None or places[1] is None:
        return 0.0
    return seconds_between(table, places[0], places[1], loaded=True)


def carried(cell: Cell) -> Iterator[InputError]:
    """From each step somebody can carry the part to the next: may take, may put, and reaches both places loaded."""
    for transfer in all_transfers(cell):
        ways = {(a, b) for a in transfer.start for b in transfer.end if moved(cell, transfer.part, a, b)}
        for end in transfer.end:
            if end not in {b for _, b in ways}:
                yield no_carrier(cell, transfer, end)
        for start in transfer.start:
            if ways and start not in {a for a, _ in ways}:
                write = f"somebody who can carry from {start!r} to {' or '.join(transfer.end)}"
                yield InputError(transfer.at, f"nobody from {start}", write, "no_way_out")


def manned(cell: Cell) -> Iterator[InputError]:
    """Somebody is there where parts do not move by themselves."""
    pairs = ((a, b) for transfer in all_transfers(cell) for a in transfer.start for b in transfer.end)
    if not cell.attendants and not all(goes_alone(cell, *pair) for pair in pairs):
        yield InputError(
            "/attendants", "nothing", "who moves the parts, or self_in or self_out at the stations", "nobody"
        )


def moved(cell: Cell, part: str, start: str, end: str) -> bool:
    """Whether a part gets from one station to the other, alone or carried."""
    return goes_alone(cell, start, end) or bool(carriers(cell, part, start, end))


def allowed(cell: Cell, part: str, start: str, end: str) -> list[str]:
    """Attendants that may take the part here and put it there, whether or not they reach both."""
    return [who for who in cell.attendants if can_take(cell, who, start, part) and can_put(cell, who, end, part)]


def carriers(cell: Cell, part: str, start: str, end: str) -> list[str]:
    """Attendants that can carry the part from one station to the other."""
    able = allowed(cell, part, start, end)
    return [who for who in able if reach_s(cell, cell.attendants[who], start, end) is not None]


def no_carrier(cell: Cell, transfer: Transfer, end: str) -> InputError:
    """Why nobody brings the part: nobody may both take and put it, or nobody reaches."""
    starts = " or ".join(transfer.start)
    willing = [(who, start) for start in transfer.start for who in allowed(cell, transfer.part, start, end)]
    if not willing:
        write = f"one attendant that takes from {starts} and puts to {end}, or a store between"
        return InputError(transfer.at, f"nobody from {starts} to {end}", write, "no_carrier")
    who, start = willing[0]
    way = f"{cell.stations[start].place} to {cell.stations[end].place}"
    write = f"a time for {way} in {cell.attendants[who].moves_full!r}, the moves of {who!r}"
    return InputError(transfer.at, f"no way from {start} to {end}", write, "no_way")


def returns(cell: Cell) -> Iterator[InputError]:
    """Who carries gets back empty: from each place where it puts to one where it takes, and to each where it takes."""
    for who, attendant in cell.attendants.items():
        table = cell.moves.get(attendant.moves_full or "")
        if table is None:
            continue
        ways = {
            (cell.stations[start].place, cell.stations[end].place)
            for transfer in all_transfers(cell)
            for start in transfer.start
            for end in transfer.end
            if not goes_alone(cell, start, end) and who in carriers(cell, transfer.part, start, end)
        }
        takes, puts = [
            sorted({p for p in side if p in table.places}) for side in (zip(*ways, strict=True) if ways else ((), ()))
        ]
        at = f"/moves/{attendant.moves_full}/empty_s"
        for place in puts:
            if not any(seconds_between(table, place, take, loaded=False) is not None for take in takes):
                write = f"an empty move of {who!r} from {place!r} to where it takes parts"
                yield InputError(at, f"no way back from {place}", write, "no_way_back")
        for place in takes:
            starts = [*puts, attendant.home or ""]
            if not any(seconds_between(table, start, place, loaded=False) is not None for start in starts):
                write = f"an empty move of {who!r} to {place!r}, where it takes parts"
                yield InputError(at, f"no way to {place}", write, "no_way_there")

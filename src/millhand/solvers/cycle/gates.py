"""Gates with room for several: who may be there at once, and what of it a schedule sees.

Without a turnaround such a gate gives and takes side by side, as a supply and a sink at one place do. With one the
order of lifts and set-downs counts; one attendant alone keeps it whatever the room, so to it the gate is one for one
part. Of several attendants at such a gate, or at one with less room than attendants who come there, a cycle keeps the
visits apart: it holds, but who is let in side by side may make more, so only the load bound says how much is left.
"""

from dataclasses import replace

from millhand.model.cell import Cell
from millhand.model.station import Station


def gives_and_takes(station: Station) -> bool:
    """Whether parts are lifted from a gate and set down there without regard to each other."""
    return station.kind == "gate" and station.capacity != 1 and station.turnaround_s == 0


def with_plain_gates(cell: Cell) -> Cell:
    """The cell whose gates have room for one, or are supplies that take parts too."""
    wide = {name: each for name, each in cell.stations.items() if each.kind == "gate" and each.capacity != 1}
    if not wide:
        return cell
    return replace(cell, stations={**cell.stations, **{name: plain(name, each, cell) for name, each in wide.items()}})


def plain(name: str, gate: Station, cell: Cell) -> Station:
    """One such gate as a schedule has it."""
    if has_room_for_all(name, gate, cell):
        return replace(gate, kind="supply", capacity=None)
    return replace(gate, capacity=1)


def has_room_for_all(name: str, gate: Station, cell: Cell) -> bool:
    """Whether all who come to a gate may be there at once without regard to each other."""
    return gives_and_takes(gate) and (gate.capacity is None or gate.capacity >= len(visitors(name, cell)))


def kept_apart(cell: Cell) -> list[str]:
    """The gates where a cycle lets in one attendant at a time although several might be there at once."""
    wide = [(name, each) for name, each in cell.stations.items() if each.kind == "gate" and each.capacity != 1]
    return [name for name, each in wide if len(visitors(name, cell)) > 1 and not has_room_for_all(name, each, cell)]


def visitors(name: str, cell: Cell) -> set[str]:
    """Who may lift or set down at a station."""
    rows = (
        {who for row in cell.handling if name in row.at for who in row.who} if cell.handling else set(cell.attendants)
    )

    def may(who: str) -> bool:
        each = cell.attendants[who]
        takes, puts = each.take_from, each.put_to
        return takes is None or name in takes or puts is None or name in puts

    return {who for who in rows if may(who)}

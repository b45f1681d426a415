"""What the plain twin can compute: less than the compiled loop, but all that most inquiries need."""

from millhand.model.cell import Cell
from millhand.model.station import Station
from tests.cells_strategy import PLAIN

TWIN_KNOWS = (PLAIN | {"short_stays"}) - {"lots", "queues"}


def twin_refuses(cell: Cell) -> bool:
    """True where a cell holds what the twin was never taught."""
    return (
        cell.goal == "makespan"
        or any(dispatch.rule == "cycle" for dispatch in cell.dispatch.values())
        or bool(cell.changeovers)
        or any(len(track.attendants) > 1 for track in cell.tracks.values())
        or any(_refuses_station(station) for station in cell.stations.values())
        or any(part.lot or any(step.uses for step in part.route) for part in cell.parts.values())
        or any(fault.on == "busy" for attendant in cell.attendants.values() for fault in attendant.faults)
        or any(
            wear.unit != "loads" or not wear.duty for attendant in cell.attendants.values() for wear in attendant.wear
        )
    )


def _refuses_station(station: Station) -> bool:
    """True for gates, own buffers, several slots, and troubles that nobody ends."""
    return (
        station.kind == "gate"
        or (station.kind == "process" and station.capacity not in (1, None))
        or station.in_queue != 0
        or station.out_queue != 0
        or any(wear.duty is None for wear in station.wear)
        or any(fault.duty is None and fault.self_s is None for fault in station.faults)
    )

"""How attendants get about: ways between places, shared rails, and the order of work under the rule `cycle`."""

from millhand.errors import ToolError
from millhand.model.cell import Cell
from millhand.model.schedule import Event, Schedule
from millhand.solvers.cycle.simple import schedule
from millhand.solvers.kernel.codes import OP_LIFT, OP_SET, OP_SWAP
from millhand.solvers.kernel.expanded import Expanded
from millhand.solvers.kernel.layout import Ints, Ways

Op = tuple[
    int, int, int, int, int
]  # what, station, lap of the part that is lifted, part type, steps after the one before


def compiled_ways(cell: Cell, times: Ints, ops: list[list[Op]]) -> Ways:
    """Times of all tables, places on rails, who shares one, and what each does in turn."""
    tracks = list(cell.tracks.values())
    shared = [track for track in tracks if len(track.attendants) > 1]
    names = list(cell.attendants)
    of = [next((t for t, track in enumerate(shared) if name in track.attendants), -1) for name in cell.attendants]
    return Ways(
        times=times,
        place_names=tuple(cell.places),
        place_on=tuple(int(place.track_m is not None) for place in cell.places.values()),
        place_x=tuple(place.track_m or 0.0 for place in cell.places.values()),
        track_of=tuple(of),
        order=tuple(shared[t].attendants.index(names[a]) if t >= 0 else -1 for a, t in enumerate(of)),
        keep=tuple(track.keep_m for track in shared),
        by_order=tuple(int(track.rule == "order") for track in shared),
        ops=tuple(map(tuple, ops)),
    )


def cycle_ops(cell: Cell, whole: Expanded) -> tuple[list[list[Op]], list[str]]:
    """What each attendant under the rule `cycle` does in turn, from the best cycle of the means; and who has none."""
    nothing: list[list[Op]] = [[] for _ in cell.attendants]
    wants = [name for name, dispatch in cell.dispatch.items() if dispatch.rule == "cycle"]
    if not wants:
        return nothing, []
    try:
        best = schedule(cell)
    except ToolError:  # none is known, or the one that was found does not pass the validator
        return nothing, wants
    if whole.only_to or any(name not in whole.cell.stations for name in cell.stations):
        return nothing, wants  # slots and own buffers have no names in the schedule
    return [_in_turn(whole, best, name) if name in wants else [] for name in cell.attendants], []


def _in_turn(whole: Expanded, best: Schedule, who: str) -> list[Op]:
    """Lifts and sets of one attendant in order of time; both at one station and moment are an exchange."""
    stations, parts = list(whole.cell.stations), list(whole.cell.parts)
    mine = [event for event in best.events if event.attendant == who and event.what in ("lift", "set")]
    ops: list[tuple[int, int, int, int]] = []
    times: list[int] = []
    for event in sorted(mine, key=_when):
        back = event.what == "set" and event.station in whole.back_of
        s = stations.index(whole.back_of[event.station] if back else event.station)
        p = parts.index(event.part)
        if event.what == "set" and ops and ops[-1][:2] == (OP_LIFT, s) and _met(mine, event):
            ops[-1] = (OP_SWAP, s, ops[-1][2], p)
        else:
            ops.append((OP_LIFT if event.what == "lift" else OP_SET, s, event.lap, p))
            times.append(event.at_steps)
    gaps = [(at - before) % best.period_steps for before, at in zip([times[-1], *times], times, strict=False)]
    return [(*op, gap) for op, gap in zip(ops, gaps, strict=True)]


def _when(event: Event) -> tuple[int, str, bool]:
    """In order of time; at one moment in the order of the schedule's numbers, lifts first."""
    return event.at_steps, event.id.split(" ")[0], event.what == "set"


def _met(mine: list[Event], event: Event) -> bool:
    """True where the same attendant lifts at that station at that moment."""
    return any(e.what == "lift" and e.station == event.station and e.at_steps == event.at_steps for e in mine)

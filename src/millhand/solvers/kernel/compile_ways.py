"""How attendants get about: ways between places, and shared rails."""

from millhand.model.cell import Cell
from millhand.solvers.kernel.compile_cycle import Turns
from millhand.solvers.kernel.layout import Ints, Ways


def compiled_ways(cell: Cell, times: Ints, turns: Turns) -> Ways:
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
        ops=turns.ops,
        taken=turns.taken,
        entries=turns.entries,
        comings=turns.comings,
        mates=turns.mates,
        most_calls=turns.most_calls or tuple(0 for _ in cell.duties),
        comes=turns.comes or tuple(() for _ in cell.parts),
    )

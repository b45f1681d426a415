"""What is possible in a cell and can hardly be meant: positions on a track that its travel times speak against, and an
arm that runs along a track on which nobody put it. Questions, never a refusal."""

import math
from collections.abc import Iterator
from itertools import permutations

from millhand.intake.cell_fields import pointer
from millhand.model.cell import Cell, MoveTable
from millhand.model.odd import Odd

FASTEST_M_S = 10.0  # no carriage that loads machines comes near it (own figure)


def cell_oddities(cell: Cell) -> tuple[Odd, ...]:
    """Every question about a cell, in the order of the file's sections; `where` is a JSON pointer into the file."""
    return (*left_off(cell), *at_odds(cell))


def left_off(cell: Cell) -> Iterator[Odd]:
    """An arm on no track all of whose places lie where those on one track run: it goes through them as if alone."""
    on = {who for track in cell.tracks.values() for who in track.attendants}
    for name, track in cell.tracks.items():
        theirs = {place for who in track.attendants for place in places_of(cell, who)}
        for who, attendant in cell.attendants.items():
            own = places_of(cell, who)
            if who in on or attendant.kind != "arm" or not own or not own <= theirs:
                continue
            words = (
                f"all places of {who!r} lie on the track {name!r}, and it is not among its attendants: nothing keeps "
                f"it apart from {' and '.join(map(repr, track.attendants))}. Where it runs there too, write it into "
                f"attendants, in its order along the track."
            )
            yield Odd(code="left_off_track", words=words, facts=(), where=f"{pointer('/tracks', name)}/attendants")


def places_of(cell: Cell, who: str) -> set[str]:
    """The places to which an attendant can go."""
    table = cell.moves.get(cell.attendants[who].moves_full or "")
    return set(table.places) if table is not None else set()


def at_odds(cell: Cell) -> Iterator[Odd]:
    """Of each table of somebody on a track the way that speaks loudest against the positions of its places."""
    rules: dict[str, set[str]] = {}
    for track in cell.tracks.values():
        for who in track.attendants:
            rules.setdefault(cell.attendants[who].moves_full or "", set()).add(track.rule)
    for name, held in rules.items():
        if name not in cell.moves:
            continue
        at_m = {place: cell.places[place].track_m for place in cell.moves[name].places}
        known = {place: metres for place, metres in at_m.items() if metres is not None}
        found = too_fast(cell.moves[name], known) if "apart" in held else ""
        found = found or sooner_further(cell.moves[name], known)
        if found:
            yield Odd(code="track_against_times", words=found, facts=(), where=f"{pointer('/moves', name)}/empty_s")


def too_fast(table: MoveTable, at_m: dict[str, float]) -> str:
    """The fastest way along the track in words, where nothing moves so fast."""
    speed, start, end, takes = max(
        (
            (apart / seconds if seconds else math.inf, a, b, seconds)
            for a, b in permutations(at_m, 2)
            if (apart := abs(at_m[b] - at_m[a])) > 0.0 and (seconds := time_s(table, a, b)) is not None
        ),
        default=(0.0, "", "", 0.0),
    )
    if speed <= FASTEST_M_S:
        return ""
    took = f"takes {takes:g} s, {speed:.0f} m/s" if takes else "takes no time"
    return (
        f"{start!r} at {at_m[start]:g} m and {end!r} at {at_m[end]:g} m lie {abs(at_m[end] - at_m[start]):g} m apart, "
        f"and the way {took}. One of the positions (track_m, in metres) or the time is wrong."
    )


def sooner_further(table: MoveTable, at_m: dict[str, float]) -> str:
    """A place that is reached sooner than one before it on the same side, by the most; "" where there is none."""
    gain, start, near, far = max(
        (
            (to_near - to_far, a, b, c)
            for a, b, c in permutations(at_m, 3)
            if (at_m[a] < at_m[b] < at_m[c] or at_m[a] > at_m[b] > at_m[c])
            and (to_near := time_s(table, a, b)) is not None
            and (to_far := time_s(table, a, c)) is not None
        ),
        default=(0.0, "", "", ""),
    )
    if gain <= 0.0:
        return ""
    return (
        f"on the way from {start!r} at {at_m[start]:g} m, {near!r} at {at_m[near]:g} m comes before {far!r} at "
        f"{at_m[far]:g} m, and takes {gain:g} s longer. One of the positions (track_m) or of the times is wrong, "
        f"unless more than the way along the track is in these times."
    )


def time_s(table: MoveTable, start: str, end: str) -> float | None:
    """Time of the empty way between two places [s]; None where it cannot be gone."""
    return table.empty_s[table.places.index(start)][table.places.index(end)]

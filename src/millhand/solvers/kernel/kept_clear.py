"""Where on a shared track an attendant can be at rest at all: not where another one would then have no place to be.

Whoever stood there would wait for ever, a part in hand, for somebody who has nowhere to go. So such stations are left
to others, as if `take_from` and `put_to` said it. Whoever follows a schedule is left as it is: that knows of it.
"""

from dataclasses import replace

from millhand.model.cell import Attendant, Cell, Track

SLACK_M = 1e-9  # below which two distances are the same


def kept_clear(cell: Cell) -> Cell:
    """The cell in which nobody serves a station at which somebody else would be in the way wherever it is."""
    attendants = dict(cell.attendants)
    for track in cell.tracks.values():
        for who in track.attendants if len(track.attendants) > 1 else ():
            rule = cell.dispatch.get(who)
            if rule is None or rule.rule != "cycle":
                attendants[who] = limited(cell, track, who)
    return replace(cell, attendants=attendants)


def limited(cell: Cell, track: Track, who: str) -> Attendant:
    """An attendant that leaves to others what it could serve only with somebody else in the way."""
    one, found = cell.attendants[who], {}
    shut = [name for name, station in cell.stations.items() if not is_open(cell, track, who, station.place)]
    if not shut:
        return one
    for takes, given in ((True, one.take_from), (False, one.put_to)):
        left = [name for name in shut if is_served(cell, name, takes=takes)]
        found[takes] = tuple(name for name in (cell.stations if given is None else given) if name not in left)
    return replace(one, take_from=found[True], put_to=found[False])


def is_served(cell: Cell, station: str, *, takes: bool) -> bool:
    """Whether somebody may take from a station, or put to it, with nobody in the way."""
    rows = [row for row in cell.handling if station in row.at]
    for who, one in cell.attendants.items():
        allowed = one.take_from if takes else one.put_to
        if (allowed is None or station in allowed) and (not cell.handling or any(who in row.who for row in rows)):
            tracks = [track for track in cell.tracks.values() if who in track.attendants]
            if all(is_open(cell, track, who, cell.stations[station].place) for track in tracks):
                return True
    return False


def is_open(cell: Cell, track: Track, who: str, place: str | None) -> bool:
    """Whether all others on a track find a place to be while one is at this one."""
    if place is None or cell.places[place].track_m is None:
        return True
    others = (other for other in track.attendants if other != who)
    return all(
        any(is_apart(cell, track, (who, place), (other, at)) for at in places_of(cell, other)) for other in others
    )


def is_apart(cell: Cell, track: Track, one: tuple[str, str], other: tuple[str, str]) -> bool:
    """Whether two attendants can stand at these places at the same time."""
    at_m, there_m = (cell.places[place].track_m or 0.0 for _, place in (one, other))
    order = list(track.attendants)
    between = order.index(other[0]) - order.index(one[0])
    gap_m = (there_m - at_m) * (1 if between > 0 else -1)
    if track.rule == "order" and gap_m <= SLACK_M:
        return False
    return gap_m >= abs(between) * track.keep_m - SLACK_M


def places_of(cell: Cell, who: str) -> list[str]:
    """The places on the track where an attendant can be; home where it never moves."""
    one = cell.attendants[who]
    table = cell.moves[one.moves_full].places if one.moves_full else ()
    on_it = [place for place in table if cell.places[place].track_m is not None]
    return on_it or ([one.home] if one.home else [])

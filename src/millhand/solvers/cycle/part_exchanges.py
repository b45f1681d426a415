"""Where a search leaves cycles out: of endless slots a load is exchanged whole or not at all.

A load could take the place of another one in part, and be filled up by set-downs when the rest of that has gone. No
search looks at it. So where it is possible, a search that has come to its end proves nothing beyond what follows from
the loads of machines and attendants.
"""

from millhand.solvers.cycle.view import Steady

WHOLE = "whole or not at all"


def exchanged_in_part(view: Steady) -> tuple[str, ...]:
    """The stations with endless slots whose loads could be exchanged in part and filled up by set-downs."""
    return tuple(name for name in view.loads if view.slots[name] is None and {"swap", "place"} <= kinds_at(view, name))


def kinds_at(view: Steady, station: str) -> set[str]:
    """The kinds of visits that somebody can make at a station."""
    return {kind for _, where, _, kind in view.phases if where == station}


def whole_only(stations: tuple[str, ...]) -> str:
    """What a search was restricted to, in words."""
    *first, last = stations
    names = f"{', '.join(first)} and {last}" if first else last
    return f"of those that exchange a load at {names} {WHOLE}"

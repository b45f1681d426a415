"""How many raw parts an attendant may have in its hands: one hand stays free where a station may need an exchange.

A part in hand is raw as long as it goes to a station where this attendant may have to exchange it. Whoever arrives
there with a raw part in every hand can neither put one down nor take the finished part out; so rule 9 of the format
keeps one hand free for the whole of the cycle, and not only where a particular order of work would need it.
"""

from dataclasses import replace

from millhand.solvers.cycle.tours.tour import Group
from millhand.solvers.cycle.view import Mover, Steady, VisitKind

ENDS: tuple[VisitKind, VisitKind] = ("pick", "place")


def raw_limit(view: Steady, mover: Mover) -> int:
    """The most raw parts in the hands of an attendant at once."""
    exchanges = any((who, kind) == (mover.id, "swap") for who, _, _, kind in view.phases)
    return mover.hands - 1 if exchanges else mover.hands


def exchanging_nothing(view: Steady, who: str) -> Steady:
    """The view in which an attendant makes no exchange in one visit; the same view where it needs some."""
    swaps = [key for key in view.phases if (key[0], key[3]) == (who, "swap")]
    if any((*key[:3], kind) not in view.phases for key in swaps for kind in ENDS):
        return view
    return replace(view, phases={key: phase for key, phase in view.phases.items() if key not in swaps})


def is_raw(view: Steady, mover: Mover, lifted: Group) -> bool:
    """Whether a part lifted from a step of its route goes to a station where this attendant may have to exchange."""
    part, step = lifted
    stations = view.routes[part][step + 1].stations
    return any((mover.id, station, part, "swap") in view.phases for station in stations)

"""Duties that come with the parts, as work of the cycle: which of them a cycle holds, and how often.

Such a duty is a visit to its place. It is called by a part that was made, and may be done at any time after that: a
cycle, which repeats for ever, only has to do it as often as it is called. The others stay in the load bound.
"""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from millhand.model.cell import Cell
from millhand.model.duty import Duty
from millhand.solvers.cycle.steady import steps
from millhand.solvers.cycle.view import Phase, Steady

MOST_SETS = 4  # a duty that comes more seldom than once in so many part sets would make the period too long to search


def has_duties(cell: Cell) -> bool:
    """Whether some duty comes with the parts."""
    return any(duty.trigger.kind == "parts" for duty in cell.duties.values())


def with_duties(cell: Cell, view: Steady) -> Steady:
    """The view with the duties that its cycles hold: each as a place to go to, and a visit of its own kind."""
    phases, places, found = dict(view.phases), dict(view.places), dict[str, Fraction]()
    for name, duty in cell.duties.items():
        who = [
            each for each in duty.who if each in view.movers and reaches(view, each, duty) and each not in view.orders
        ]
        often = how_often(view, duty)
        if len(who) == len(duty.who) and often and often.denominator <= MOST_SETS:
            found[name], places[name] = often, place_of(view, duty)
            hold = Phase(hold_steps=steps(duty.takes.mean_s, cell.grid_s))
            phases |= {(each, name, name, "duty"): hold for each in who}
    words = tuple(each for each in view.left_out if each not in set(duty_words(found)))
    return replace(view, phases=phases, places=places, special=replace(view.special, duties=found), left_out=words)


def is_always_there_for_duties(cell: Cell, who: str) -> bool:
    """Whether somebody may do a duty that comes with the parts, is always there and on no track: a cycle holds these
    duties also where it carries no parts."""
    asked = any(duty.trigger.kind == "parts" and who in duty.who for duty in cell.duties.values())
    each = cell.attendants[who]
    railed = any(who in track.attendants for track in cell.tracks.values())
    return asked and each.calendar is None and not railed


def reaches(view: Steady, who: str, duty: Duty) -> bool:
    """Whether somebody can go to the place of a duty from everywhere and back, and to go over it is no short cut."""
    mover = view.movers[who]
    here = mover.rows.get(place_of(view, duty) or "")
    return here is not None and all(
        no_short_cut(table, (a, here, b))
        for table in (mover.empty_steps, mover.loaded_steps)
        for a in range(len(table))
        for b in range(len(table))
    )


def place_of(view: Steady, duty: Duty) -> str | None:
    """Where a duty is done: at the station that calls where it names no place; None where these lie apart."""
    if duty.place is not None:
        return duty.place
    spots = {view.places.get(name) for name in duty.trigger.at}
    return spots.pop() if len(spots) == 1 else None


def no_short_cut(table: tuple[tuple[int | None, ...], ...], way: tuple[int, int, int]) -> bool:
    """Whether going over a place can be done, and takes no less than going straight."""
    a, here, b = way
    there, back, straight = table[a][here], table[here][b], table[a][b]
    return there is not None and back is not None and straight is not None and there + back >= straight


def how_often(view: Steady, duty: Duty) -> Fraction | None:
    """How often a duty is called in one part set; None where not by parts alone, or where it does more than that."""
    plain = duty.also is None and duty.holds == "nothing" and not duty.restores and has_hands(view, duty)
    if duty.trigger.kind != "parts" or not duty.trigger.every_n or not plain or duty.response_s.mean_s:
        return None
    made, at = 0, set(duty.trigger.at)
    for part, route in view.routes.items():
        for stop in route:
            here = at.intersection(stop.stations)
            if here and here != set(stop.stations):
                return None
            made += view.part_set[part] if here else 0
    return Fraction(made, duty.trigger.every_n)


def duties_left_out(cell: Cell, view: Steady) -> tuple[str, ...]:
    """The duties that come with the parts and that the cycles of a view do not hold."""
    return tuple(name for name, each in cell.duties.items() if each.trigger.kind == "parts" and name not in view.duties)


def has_hands(view: Steady, duty: Duty) -> bool:
    """Whether all who may do a duty have the hands empty that it needs, whenever a cycle lets them: with one hand a
    duty is done only while it is empty."""
    return not duty.needs_hands or all(
        who in view.movers and view.movers[who].hands == duty.needs_hands == 1 for who in duty.who
    )


def duty_words(names: dict[str, Fraction]) -> Iterator[str]:
    """What is said where a duty is not in the cycle."""
    for name in names:
        yield f"duty {name}: its mean load is in the bound"

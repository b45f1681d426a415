"""What a lift waits for so that nobody waits with its part: with one hand it is not lifted before it can go on.

The schedule says so by an arc back from the set-down to the lift: no sooner before it than the way takes. When the
set-down will be is not known yet when the lift could begin, but what it depends on may be: the arcs that bind in the
schedule are followed back from the set-down until they come to what is over before the lift begins.
"""

from collections.abc import Iterator, Mapping

from millhand.model.schedule import Arc, Schedule
from millhand.solvers.cycle.unrolled import Handled
from millhand.solvers.kernel.layout import Wait

Deed = tuple[int, int]  # attendant, place in its turn
Owners = Mapping[str, tuple[int, int, int]]  # of each event: a deed, and how many periods after its beginning it comes
Into = Mapping[str, list[Arc]]


def held_back(best: Schedule, turn: list[list[Handled]], owner: Owners, into: Into, deed: Deed) -> Iterator[Wait]:
    """What has to be over so many steps before a lift begins, where the schedule lets nobody wait with its part."""
    who, op = deed
    lifted = turn[who][op].last
    after = who, (op + 1) % len(turn[who])
    for arc in into.get(lifted.id, ()):
        if arc.lag_steps < 0 and owner.get(arc.before, (-1, -1))[:2] == after and after != deed:
            ahead = arc.lag_steps - turn[who][op].hold_steps
            for name, lag, laps in _over_before(best, turn, owner, into, (arc.before, ahead, arc.laps, deed)):
                other, which, late = owner[name]
                yield Wait(who=other, op=which, laps=laps + late - owner[lifted.id][2], lag=lag)


def _over_before(
    best: Schedule, turn: list[list[Handled]], owner: Owners, into: Into, start: tuple[str, int, int, Deed]
) -> Iterator[tuple[str, int, int]]:
    """Events of deeds that are over before, with how long before the lift they have to be, and how many laps back."""
    name, ahead, laps, deed = start
    when = {event.id: event.at_steps for event in best.events}
    todo, seen = [(name, ahead, laps)], {(name, laps)}
    while todo:
        name, ahead, laps = todo.pop()
        for arc in into.get(name, ()):
            binds = when[arc.before] + arc.lag_steps - arc.laps * best.period_steps == when[name]
            own = owner.get(arc.before)
            back = arc.before, ahead + arc.lag_steps, laps + arc.laps
            if not binds or (own is not None and own[:2] == deed) or (back[0], back[2]) in seen:
                continue
            seen.add((back[0], back[2]))
            each = turn[own[0]][own[1]] if own is not None else None
            left = each.hold_steps if each is not None and back[0] in (each.first.id, each.begins.id) else 0
            if each is not None and each.kind != "motion" and back[1] >= left:
                yield back[0], back[1] - left, back[2]
            elif back[1] <= best.period_steps:
                todo.append(back)

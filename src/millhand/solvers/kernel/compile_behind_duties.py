"""Rule `cycle`: nobody runs ahead of the duties that come with the parts.

A duty holds nothing, so no arc of the schedule leads from it back to whoever makes the parts: without more, parts would
come faster than their duties can be done, and calls would pile up without end. What begins next after a duty, of each
attendant that would not wait for whoever does it otherwise, waits for it. The schedule keeps such a wait by its own
times, so no cycle becomes longer by it.
"""

from collections.abc import Sequence
from dataclasses import replace

from millhand.solvers.cycle.unrolled import Handled
from millhand.solvers.kernel.codes import OP_DUTY, OP_GO
from millhand.solvers.kernel.layout import Op, Wait

Turn = tuple[Op, ...]


def behind_duties(turns: Sequence[Turn], mine: Sequence[Sequence[Handled]], period: int) -> list[Turn]:
    """The turns, in which everybody waits once a period for each duty of those that nothing else holds back to."""
    found = list(turns)
    for b, its in enumerate(turns):
        duties = [j for j, op in enumerate(its) if op.what == OP_DUTY]
        for a in range(len(found)):
            if a == b or not duties or waits_for(found, a, b):
                continue
            for j in duties:
                found[a] = after_duty(found[a], (mine[a], mine[b][j]), (b, j), period)
    return found


def waits_for(turns: Sequence[Turn], a: int, b: int) -> bool:
    """Whether one attendant waits for something of another, be it by way of others."""
    known, todo = {a}, [a]
    while todo:
        more = {wait.who for op in turns[todo.pop()] for wait in op.waits} - known
        known |= more
        todo += more
    return b in known


def after_duty(turn: Turn, times: tuple[Sequence[Handled], Handled], duty: tuple[int, int], period: int) -> Turn:
    """A turn of which the first thing that begins after a duty waits for it."""
    own, done = times
    end = done.first.at_steps + max(1, done.hold_steps)
    after = {
        i: laps_behind(own[i].first.at_steps, end, period)
        for i, op in enumerate(turn)
        if op.what != OP_GO and i < len(own)
    }
    if not after:
        return turn
    i = min(after, key=lambda i: own[i].first.at_steps + after[i] * period)
    wait = Wait(who=duty[0], op=duty[1], laps=after[i], lag=0)
    return (*turn[:i], replace(turn[i], waits=(*turn[i].waits, wait)), *turn[i + 1 :])


def laps_behind(begins: int, end: int, period: int) -> int:
    """The least number of periods after which something begins no sooner than another has ended."""
    return max(0, -((begins - end) // period))

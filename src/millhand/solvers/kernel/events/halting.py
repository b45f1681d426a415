"""Attendants that are stopped from outside, or slowed while a person stands near: what is under way stretches."""

import math

from millhand.solvers.kernel.codes import A_SLOWED, CALLS, NEVER, PARTS
from millhand.solvers.kernel.events.books import close_attendant
from millhand.solvers.kernel.events.calls import due_of, set_due
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.mix import one_stops
from millhand.solvers.kernel.events.rails import halted_on_track, stretched_on_track, thawed_on_track


@seldom
def halt(c: Record, k: Record, a: int, as_state: int, now: int) -> None:
    """Stop an attendant; the time that its action still needs is kept."""
    close_attendant(c, k, a, now)
    if k.a_halted[a] == 0:
        put_off(c, k, a, now)
    k.a_halted[a] += 1
    k.a_halted_as[a] = as_state
    one_stops(c, k)


@inner
def put_off(c: Record, k: Record, a: int, now: int) -> None:
    """What is under way stands until the attendant goes on: times become what is still left of them."""
    due = due_of(k, a)
    k.a_left[a] = due - now if due < NEVER else -1
    set_due(k, a, NEVER)
    k.a_until_first[a] = max(0, k.a_until_first[a] - now)
    k.a_until_second[a] = max(0, k.a_until_second[a] - now)
    if c.tracks:
        halted_on_track(k, a, now)


@seldom
def thaw(c: Record, k: Record, a: int, now: int) -> None:
    """One reason less to stand; without any, the action goes on where it was."""
    close_attendant(c, k, a, now)
    k.a_halted[a] -= 1
    if k.a_halted[a] == 0:
        if k.a_left[a] >= 0:
            set_due(k, a, now + k.a_left[a])
        if k.a_until_first[a]:
            k.a_until_first[a] += now
        if k.a_until_second[a]:
            k.a_until_second[a] += now
        if c.tracks:
            thawed_on_track(k, a, now)
        k.changed |= PARTS | CALLS


@inner
def halted_as(c: Record, k: Record, a: int, as_state: int, now: int) -> None:
    """The same stop under another name: somebody has begun to repair it."""
    close_attendant(c, k, a, now)
    k.a_halted_as[a] = as_state


@inner
def change_speed(c: Record, k: Record, a: int, slower: int, now: int) -> None:
    """One person more (1) or fewer (-1) in the way: the rest of a way under way takes the time of the other table."""
    before = k.a_slowed[a]
    k.a_slowed[a] += slower
    if (before > 0) == (k.a_slowed[a] > 0):
        return
    halted = k.a_halted[a] > 0
    left = k.a_until_first[a] - (0 if halted else now)
    if left <= 0 or k.a_full_way[a] <= 0:
        return
    close_attendant(c, k, a, now)
    ratio = k.a_slow_way[a] / k.a_full_way[a]
    if slower < 0:
        ratio = 1 / ratio
    shift = math.floor(left * ratio + 0.5) - left
    k.a_until_first[a] += shift
    k.a_until_second[a] += shift
    if c.tracks:
        stretched_on_track(k, a, shift, now)
    if halted:
        k.a_left[a] += shift
    else:
        set_due(k, a, due_of(k, a) + shift)
    k.a_first[a] = A_SLOWED if slower > 0 else k.a_way_state[a]

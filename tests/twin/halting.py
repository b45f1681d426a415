"""Attendants that are stopped from outside, or slowed while a person stands near: what is under way stretches."""

import math

from millhand.solvers.kernel.codes import A_SLOWED, NEVER
from tests.twin.books import close_attendant
from tests.twin.flags import CALLS_CHANGED, PARTS_CHANGED
from tests.twin.state import Run


def halt(k: Run, a: int, as_state: int, now: int) -> None:
    """Stop an attendant; the time that its action still needs is kept."""
    at, books = k.at, k.books
    close_attendant(k, a, now)
    if at.halted[a] == 0:
        put_off(k, a, now)
    at.halted[a] += 1
    books.halted_as[a] = as_state


def put_off(k: Run, a: int, now: int) -> None:
    """What is under way stands until the attendant goes on: times become what is still left of them."""
    books = k.books
    k.by.left[a] = k.times[a] - now if k.times[a] < NEVER else -1
    k.times[a] = NEVER
    books.until_first[a] = max(0, books.until_first[a] - now)
    books.until_second[a] = max(0, books.until_second[a] - now)


def thaw(k: Run, a: int, now: int) -> None:
    """One reason less to stand; without any, the action goes on where it was."""
    at, books = k.at, k.books
    close_attendant(k, a, now)
    at.halted[a] -= 1
    if at.halted[a] == 0:
        if k.by.left[a] >= 0:
            k.times[a] = now + k.by.left[a]
        books.until_first[a] += now if books.until_first[a] else 0
        books.until_second[a] += now if books.until_second[a] else 0
        k.flags[PARTS_CHANGED] = k.flags[CALLS_CHANGED] = 1


def halted_as(k: Run, a: int, as_state: int, now: int) -> None:
    """The same stop under another name: somebody has begun to repair it."""
    close_attendant(k, a, now)
    k.books.halted_as[a] = as_state


def change_speed(k: Run, a: int, slower: int, now: int) -> None:
    """One person more (1) or fewer (-1) in the way: the rest of a way under way takes the time of the other table."""
    at, books = k.at, k.books
    before = k.by.slowed[a]
    k.by.slowed[a] += slower
    if bool(before) == bool(k.by.slowed[a]):
        return
    halted = at.halted[a] > 0
    left = books.until_first[a] - (0 if halted else now)
    if left <= 0 or k.by.full_way[a] <= 0:
        return
    close_attendant(k, a, now)
    ratio = k.by.slow_way[a] / k.by.full_way[a]
    stretched = math.floor(left * (ratio if slower > 0 else 1 / ratio) + 0.5)
    shift = stretched - left
    books.until_first[a] += shift
    books.until_second[a] += shift
    if halted:
        k.by.left[a] += shift
    else:
        k.times[a] += shift
    books.first[a] = A_SLOWED if slower > 0 else k.by.way_state[a]

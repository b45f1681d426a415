"""Where an attendant is on its rail, and what becomes of its motion when it is halted or slowed."""

from millhand.solvers.kernel.codes import NEVER
from millhand.solvers.kernel.events.jit import Record, inner


@inner
def position(k: Record, a: int, when: int) -> float:
    """Where an attendant is on its rail at a time at or after the beginning of its motion [m]."""
    if when >= k.a_t1[a]:
        return k.a_x1[a]
    if k.a_t1[a] >= NEVER:  # halted under way
        return k.a_x0[a]
    share = (when - k.a_t0[a]) / (k.a_t1[a] - k.a_t0[a])
    return k.a_x0[a] + (k.a_x1[a] - k.a_x0[a]) * share


@inner
def halted_on_track(k: Record, a: int, now: int) -> None:
    """Under way and halted: it stands where it is, and its goal stays promised to it."""
    if k.a_t1[a] > now and k.a_t1[a] < NEVER:
        here = position(k, a, now)
        k.a_motion_left[a] = k.a_t1[a] - now
        k.a_x0[a] = here
        k.a_t0[a] = now
        k.a_t1[a] = NEVER


@inner
def thawed_on_track(k: Record, a: int, now: int) -> None:
    """It goes on to its goal."""
    if k.a_t1[a] >= NEVER:
        k.a_t0[a] = now
        k.a_t1[a] = now + k.a_motion_left[a]


@inner
def stretched_on_track(k: Record, a: int, shift: int, now: int) -> None:
    """Slower or faster from here on: the goal is reached so much later."""
    if k.a_t1[a] >= NEVER:
        k.a_motion_left[a] += shift
    elif k.a_t1[a] > now:
        k.a_x0[a] = position(k, a, now)
        k.a_t0[a] = now
        k.a_t1[a] += shift

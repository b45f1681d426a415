"""Attendants that share a rail and may not pass each other: who may set out when, and who moves aside.

Everybody moves at even speed from rest place to rest place. A motion begins only when it keeps the distance to all
others on the rail, whose motions are known: at once, after a wait that is known too, or when somebody in the way has
gone. Whoever stands in the way with nothing to do, or waits there, moves aside; of two who wait for each other, the one
who has waited longer goes first.
"""

import math

from millhand.solvers.kernel.codes import A_CARRYING, A_TRACK, A_TRAVELLING, IDLE, MOVE, NEVER, PARTS, WAIT
from millhand.solvers.kernel.events.books import enter_attendant, enter_way
from millhand.solvers.kernel.events.calls import set_due
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.rails import position
from millhand.solvers.kernel.events.ways import remember_way, way_steps

SLACK_M, SLACK_STEPS = 1e-9, 1e-6  # what rounding may do to metres that are written with a few decimals


@inner
def begin_motion(c: Record, k: Record, a: int, place: int, way: int, now: int) -> None:
    """Set out along the rail; others who wait for it look again."""
    k.a_x0[a] = position(k, a, now)
    k.a_x1[a] = c.place_x[place]
    k.a_t0[a] = now
    k.a_t1[a] = now + way
    k.a_track_since[a] = -1
    k.changed |= PARTS


@inner
def delay(c: Record, k: Record, a: int, place: int, way: int, now: int) -> int:
    """Steps until the attendant may set out for a place: 0 now, NEVER when somebody has to go first."""
    longest = 0
    for b in range(c.attendants):
        if b != a and c.a_track[b] == c.a_track[a]:
            longest = max(longest, delay_by(c, k, a, b, c.place_x[place], way, now))
    return longest


@inner
def delay_by(c: Record, k: Record, a: int, b: int, to_x: float, way: int, now: int) -> int:
    """The same with regard to one other attendant. All is turned so that the other is ahead in growing metres."""
    side = 1.0 if c.a_order[a] < c.a_order[b] else -1.0
    apart = c.track_keep[c.a_track[a]] * abs(c.a_order[a] - c.a_order[b])
    from_x, goal = side * position(k, a, now), side * to_x
    other, last = side * position(k, b, now), side * k.a_x1[b]
    apart = min(apart, max(0.0, other - from_x))  # who stands too near at the start may at least go away
    if too_near(c, a, goal, last, apart):
        return NEVER
    if c.track_order[c.a_track[a]]:
        return after_arrival(k, b, goal > side * k.a_x0[b] + SLACK_M, way, now)
    if goal <= from_x or goal + apart <= other + SLACK_M:
        return 0  # going away, or never nearer than where the other is already
    if k.a_t1[b] >= NEVER:
        return NEVER
    pace = (last - other) / (k.a_t1[b] - now)  # ahead and going away: at the goal it must be far enough by then
    return max(0, math.ceil((goal + apart - other) / pace - way - SLACK_STEPS))


@inner
def too_near(c: Record, a: int, goal: float, last: float, apart: float) -> bool:
    """True where two may not stand at these places, the other's behind one's own in growing metres: nearer than they
    keep, and where only places count never at one."""
    return bool(goal + apart > last + SLACK_M or (c.track_order[c.a_track[a]] and goal > last - SLACK_M))


@inner
def after_arrival(k: Record, b: int, beyond: bool, way: int, now: int) -> int:
    """Where only places count, whoever goes beyond the place that another is leaving arrives no sooner than it does."""
    if not beyond or k.a_t1[b] <= now:
        return 0
    return NEVER if k.a_t1[b] >= NEVER else max(0, k.a_t1[b] - way - now)


@seldom
def may_set_out(c: Record, k: Record, a: int, place: int, way: int, now: int) -> bool:
    """Set out along the rail, or wait for it; who stands idle in the way is sent aside first."""
    steps = delay(c, k, a, place, way, now)
    if steps >= NEVER and clear_the_way(c, k, a, place, False, now):
        steps = delay(c, k, a, place, way, now)
    if steps == 0:
        begin_motion(c, k, a, place, way, now)
        return True
    if k.a_track_since[a] < 0:
        k.a_track_since[a] = now
    k.a_mode[a] = IDLE
    set_due(k, a, now + steps if steps < NEVER else NEVER)
    if k.a_state[a] != A_TRACK or k.a_until_first[a] or k.a_until_second[a]:
        enter_attendant(c, k, a, A_TRACK, now)
    return False


@inner
def clear_the_way(c: Record, k: Record, a: int, place: int, in_order: bool, now: int) -> bool:
    """Send those aside who stand between the attendant and its goal with nothing under way; True where one went. For a
    motion that is in the order of a schedule nobody is sent whose own motions are in that order too."""
    went = False
    for b in range(c.attendants):
        if b == a or c.a_track[b] != c.a_track[a] or k.a_halted[b] or k.a_t1[b] > now:
            continue
        if in_order and c.a_goes[b]:
            continue
        if (k.a_mode[b] != IDLE and k.a_mode[b] != WAIT) or goes_first(k, b, a):
            continue
        side = 1.0 if c.a_order[a] < c.a_order[b] else -1.0
        apart = c.track_keep[c.a_track[a]] * abs(c.a_order[a] - c.a_order[b])
        in_the_way = too_near(c, a, side * c.place_x[place], side * k.a_x1[b], apart)
        if in_the_way and moves_aside(c, k, b, side, place, apart, now):
            went = True
    return went


@inner
def goes_first(k: Record, b: int, a: int) -> bool:
    """True where b has waited for the rail longer than a, or as long and comes first."""
    since = k.a_track_since[b]
    if since < 0:
        return False
    return k.a_track_since[a] < 0 or since < k.a_track_since[a] or (since == k.a_track_since[a] and b < a)


@inner
def moves_aside(c: Record, k: Record, b: int, side: float, place: int, apart: float, now: int) -> bool:
    """To the nearest free place beyond, in its own time; False where there is none that can be had now."""
    best, best_way = -1, NEVER
    for p in range(c.places):
        if not c.place_on[p] or too_near(c, b, side * c.place_x[place], side * c.place_x[p], apart):
            continue
        way = way_steps(c, k, b, p)
        if 0 < way < best_way and delay(c, k, b, p, way, now) == 0:
            best, best_way = p, way
    if best < 0:
        return False
    if k.a_source[b] >= 0:
        k.s_claimed[k.a_source[b]] -= 1
        k.a_source[b] = -1
    if k.a_target[b] >= 0:
        k.s_expected[k.a_target[b]] -= 1
        k.a_target[b] = -1
    begin_motion(c, k, b, best, best_way, now)
    remember_way(c, k, b, best)
    k.a_mode[b] = MOVE
    k.a_visit[b] = -1
    k.a_last[b] = -1
    set_due(k, b, now + best_way)
    state = A_CARRYING if k.a_holds[b] else A_TRAVELLING
    k.a_way_state[b] = state
    k.a_place[b] = best
    enter_way(c, k, b, state, best_way, 0, state, now)
    return True

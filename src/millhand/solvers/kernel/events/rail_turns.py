"""Rule `cycle` on a rail: a motion begins in the order that the schedule gives the motions of all attendants there.

The distance is kept as everywhere on a rail: no motion begins unless it keeps it to all others, as far as it is known
how they move. Known is also a motion that is certain to come: the other one is at work, all that it does up to its next
motion takes a known time, and nothing can stop it. So a follower may set out while the one ahead still handles.
"""

from millhand.solvers.kernel.codes import A_TRACK, IDLE, NEVER, OP_GO
from millhand.solvers.kernel.events.books import enter_attendant
from millhand.solvers.kernel.events.calls import set_due
from millhand.solvers.kernel.events.foresight import leaves_surely, on_track_of
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.rails import position
from millhand.solvers.kernel.events.tracks import SLACK_M, begin_motion, clear_the_way, delay_by, too_near
from millhand.solvers.kernel.events.turns import is_turn, missing, passes
from millhand.solvers.kernel.events.visits import sends
from millhand.solvers.kernel.events.ways import way_steps


@seldom
def goes(c: Record, k: Record, a: int, o: int, now: int) -> bool:
    """Set out to where the turn says next, or wait for the rail; False where there is no way."""
    place = c.op_place[o]
    way = way_steps(c, k, a, place)
    if way < 0:
        return False
    steps = NEVER
    if is_turn(c, k, o, k.a_period[a]):
        steps = after_others(c, k, a, o, now)
    if steps <= 0 and c.a_track[a] >= 0:
        steps = clear_of_all(c, k, a, place, way, now)
        if steps >= NEVER and clear_the_way(c, k, a, place, True, now):
            steps = clear_of_all(c, k, a, place, way, now)
    if steps > 0:
        waits_for_rail(k, a, c, steps, now)
        return True
    if c.a_track[a] >= 0:
        begin_motion(c, k, a, place, way, now)
        k.a_goes_at[a] = -1
    sends(c, k, a, place, way, now)
    passes(c, k, a)
    return True


@inner
def waits_for_rail(k: Record, a: int, c: Record, steps: int, now: int) -> None:
    """Look again after so many steps, or when something has changed."""
    if k.a_track_since[a] < 0:
        k.a_track_since[a] = now
    k.a_mode[a] = IDLE
    set_due(k, a, now + steps if steps < NEVER else NEVER)
    if k.a_state[a] != A_TRACK or k.a_until_first[a] or k.a_until_second[a]:
        enter_attendant(c, k, a, A_TRACK, now)


@inner
def after_others(c: Record, k: Record, a: int, o: int, now: int) -> int:
    """Steps until the motions that come before this one are far enough on; NEVER where that is not known yet."""
    longest = 0
    for x in range(c.op_waits_from[o], c.op_waits_to[o]):
        before = c.op_waits[x]
        if c.op_what[before] != OP_GO:
            continue
        left = missing(c, k, x, k.a_period[a])
        if left <= 0:
            continue
        when, which, _ = leaves_surely(c, k, c.wait_who[x], a, now)
        if left > 1 or which != before:
            return NEVER
        longest = max(longest, when + c.wait_lag[x] - now)
    return longest


@inner
def clear_of_all(c: Record, k: Record, a: int, place: int, way: int, now: int) -> int:
    """Steps until the motion keeps the distance to all others on the rail, as far as theirs are known."""
    longest = 0
    for b in range(c.attendants):
        if not on_track_of(c, a, b):
            continue
        steps = delay_by(c, k, a, b, c.place_x[place], way, now)
        if steps > 0 or k.a_goes_at[b] >= now:
            when, which, b_way = leaves_surely(c, k, b, a, now)
            if which >= 0:
                if clear_of_plan(c, k, a, b, (when, which, b_way), place, way, now):
                    k.a_goes_at[b] = when
                    continue
                steps = max(steps, 1 if k.a_goes_at[b] >= now else 0)
        longest = max(longest, steps)
    return longest


@inner
def clear_of_plan(
    c: Record, k: Record, a: int, b: int, plan: tuple[int, int, int], place: int, way: int, now: int
) -> bool:
    """True where setting out now keeps the distance to one that stays where it will be then, and leaves as planned."""
    when, which, b_way = plan
    side = 1.0 if c.a_order[a] < c.a_order[b] else -1.0
    apart = c.track_keep[c.a_track[a]] * abs(c.a_order[a] - c.a_order[b])
    start, goal = side * position(k, a, now), side * c.place_x[place]
    rest, last = side * k.a_x1[b], side * c.place_x[c.op_place[which]]
    if too_near(c, a, goal, last, apart):
        return False
    if c.track_order[c.a_track[a]]:
        return goal <= rest + SLACK_M and now + way >= when
    apart = min(apart, max(0.0, side * position(k, b, now) - start))
    if goal > start:
        at_leaving = start + (goal - start) * min(1.0, max(0.0, (when - now) / way))
        at_arrival = start + (goal - start) * min(1.0, max(0.0, (when + b_way - now) / way))
        b_then = rest + (last - rest) * min(1.0, max(0.0, (now + way - when) / max(1, b_way)))
        return (
            at_leaving + apart <= rest + SLACK_M
            and at_arrival + apart <= last + SLACK_M
            and (goal + apart <= b_then + SLACK_M)
        )
    return True

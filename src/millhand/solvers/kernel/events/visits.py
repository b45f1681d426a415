"""What an attendant does at a station: on its way, lead, hold; a part changes hands when the hold ends."""

import math

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_FAILED,
    A_HANDLING,
    A_SLOWED,
    A_TRAVELLING,
    A_WAITING,
    BUSY,
    C_MISSES,
    HANDLED,
    LOAD,
    LOG_VISIT,
    MOVE,
    NEVER,
    PARTS,
    PICK,
    PLACE,
    PROCESS,
    S_HANDLED,
    STAY,
    STORE,
    STUCK,
    SWAP,
    TAIL,
    VISIT,
)
from millhand.solvers.kernel.events.books import close_attendant, enter_attendant, enter_station, enter_way, note
from millhand.solvers.kernel.events.calls import call, set_due, set_station_due
from millhand.solvers.kernel.events.draws import drawn_steps, next_uniform
from millhand.solvers.kernel.events.faults import fail, wear_out
from millhand.solvers.kernel.events.hands import pick, put_down, swap
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.machines import settle
from millhand.solvers.kernel.events.numbers import kind_of, row_of
from millhand.solvers.kernel.events.parts import stayed_too_long
from millhand.solvers.kernel.events.stocks import counts_busy, visit_over
from millhand.solvers.kernel.events.tracks import may_set_out
from millhand.solvers.kernel.events.traits import (
    has_cycles,
    has_gates,
    has_halts,
    has_rails,
    has_slowing,
    has_windows,
    logs,
    may_stand,
)
from millhand.solvers.kernel.events.turns import hold_begins, rest_of_lead
from millhand.solvers.kernel.events.ways import remember_way, way_steps, whole


@often
def set_out(c: Record, k: Record, a: int, s: int, visit: int, now: int) -> None:
    """Go to a station and serve it. The way to a supply, store or sink and the visit there are one event, since nobody
    else can change them; at a process station, and at one of these that may stand, it is seen on arrival whether it is
    ready."""
    place = c.s_place[s]
    way = way_steps(c, k, a, place)
    if has_rails(c) and c.tracks and way > 0 and c.a_track[a] >= 0 and not may_set_out(c, k, a, place, way, now):
        return
    k.a_visit[a] = visit
    if has_slowing(c) and c.a_slow[a] >= 0:
        remember_way(c, k, a, place)
    if c.s_kind[s] != PROCESS and not may_stand(c, s):
        begin_visit(c, k, a, s, way, now)
        return
    k.a_mode[a] = MOVE
    k.a_place[a] = place
    set_due(k, a, now + way)
    if way == 0:
        return
    k.a_last[a] = -1
    state = A_CARRYING if k.a_holds[a] else A_TRAVELLING
    k.a_way_state[a] = state
    enter_way(c, k, a, state, way, 0, state, now)


@seldom
def sends(c: Record, k: Record, a: int, place: int, way: int, now: int) -> None:
    """Go to a place where nothing is to be done yet; what comes next is chosen there."""
    remember_way(c, k, a, place)
    k.a_mode[a] = MOVE
    k.a_visit[a] = -1
    k.a_waits_since[a] = -1
    k.a_last[a] = -1
    k.a_place[a] = place
    set_due(k, a, now + way)
    state = A_CARRYING if k.a_holds[a] else A_TRAVELLING
    k.a_way_state[a] = state
    enter_way(c, k, a, state, way, 0, state, now)


@often
def begin_visit(c: Record, k: Record, a: int, s: int, way: int, now: int) -> None:
    """Way, lead and hold of one visit, all known now."""
    visit = k.a_visit[a]
    kind, row = kind_of(visit), row_of(visit)
    lead = c.v_lead_steps[visit]
    if lead < 0:
        lead = drawn_steps(c, k, c.v_lead[visit])
    hold = c.v_hold_steps[visit]
    if hold < 0:
        hold = drawn_steps(c, k, c.v_hold[visit])
    if c.r_miss_p[row] > 0.0 and kind != PLACE:
        hold += retries(c, k, a, row)
    turn = 0  # from one hand to the other
    if kind == SWAP:
        turn = c.a_turn[a]
    elif kind == PLACE and way == 0 and k.a_picked_last[a] and lifted_here(c, k, a, s):
        turn = max(0, k.a_lifted[a] + c.a_turn[a] - now)
    if lead and c.v_on_finish[visit] and c.s_kind[s] == PROCESS:  # the wrist turns meanwhile
        lead = max(0, k.s_ready[s] + lead - now - way - (turn if kind == PLACE else 0))
    if has_cycles(c) and c.cycles:
        lead = rest_of_lead(c, k, a, s, lead, now)
        hold_begins(c, k, a, now + way + lead + (turn if kind == PLACE else 0))
    k.a_picked_last[a] = kind == PICK
    state = A_CARRYING if k.a_holds[a] else A_TRAVELLING
    k.a_way_state[a] = state
    k.a_mode[a] = VISIT
    k.a_place[a] = c.s_place[s]
    k.a_last[a] = s
    set_due(k, a, now + way + lead + hold + turn)
    if may_stand(c, s):
        k.a_visit_takes[a] = lead + hold + turn
    enter_way(c, k, a, state, way, lead, A_HANDLING, now)
    if has_windows(c) and c.windows:
        k.a_hold_began[a] = now + way + lead + (turn if kind == PLACE else 0)
        if kind != PLACE:
            leaves_after(c, k, s, now + way + lead)
    if c.s_kind[s] == PROCESS:
        k.s_mode[s] = HANDLED
        enter_station(c, k, s, S_HANDLED, now)


@inner
def lifted_here(c: Record, k: Record, a: int, s: int) -> bool:
    """True where the last visit was at this station; a gate gives and takes at one spot."""
    return k.a_last[a] == s or (has_gates(c) and c.s_gate[s] >= 0 and k.a_last[a] == c.s_gate[s])


@inner
def leaves_after(c: Record, k: Record, s: int, hold_begins: int) -> None:
    """Limited stays: the part that is taken out now has stayed until the hold begins."""
    if c.s_kind[s] == PROCESS or c.s_kind[s] == STORE:
        stayed_too_long(c, k, k.piece[c.s_piece_from[s] + k.s_head[s]], s, hold_begins)


@often
def retries(c: Record, k: Record, a: int, row: int) -> int:
    """Time of the tries beyond the first; one uniform number tells how many a pick misses."""
    u = next_uniform(c, k, c.r_miss_stream[row])
    if u >= c.r_miss_p[row]:
        k.a_misses[a] = 0
        return 0
    return misses_of(c, k, a, row, u)


@seldom
def misses_of(c: Record, k: Record, a: int, row: int, u: float) -> int:
    """Time of the tries after a miss."""
    misses = 1 << 30
    if c.r_miss_p[row] < 1.0:
        misses = whole(math.log(u) / math.log(c.r_miss_p[row]))
    k.a_misses[a] = misses
    if 0 <= c.r_retries[row] < misses:
        misses = c.r_retries[row]
        k.a_misses[a] = -1 - misses
    steps = 0
    for _ in range(misses):
        steps += drawn_steps(c, k, c.r_retry[row])
    return steps


@inner
def end_visit(c: Record, k: Record, a: int, now: int) -> bool:
    """The hold is over: parts change hands. False where the pick was given up."""
    visit = k.a_visit[a]
    kind = kind_of(visit)
    s = k.a_source[a] if kind == PICK else k.a_target[a]
    if k.a_misses[a]:
        if k.a_misses[a] < 0:
            counts_busy(c, k, s, k.a_visit_takes[a], now)
            get_stuck(c, k, a, now)
            return False
        k.counts[C_MISSES] += k.a_misses[a]
        k.a_misses[a] = 0
    if kind == PICK:
        pick(c, k, a, s, now)
        k.a_lifted[a] = now
    elif kind == PLACE:
        put_down(c, k, a, s, now)
    else:
        swap(c, k, a, s, now)
    if logs(k):
        note(c, k, now, LOG_VISIT + kind, a, s)
    if has_halts(c) and c.a_counts[a]:
        if kind != PLACE:
            load_counts(c, k, a, now)
        busy_counts(c, k, a, now)
    if c.s_kind[s] == PROCESS:
        let_go(c, k, s, visit, now)
    else:
        counts_busy(c, k, s, k.a_visit_takes[a], now)
        visit_over(c, k, s, now)
    k.changed |= PARTS
    return True


@often
def let_go(c: Record, k: Record, s: int, visit: int, now: int) -> None:
    """The attendant is done with the machine, which goes on by itself: with the tail of the visit, or at once."""
    tail = c.v_tail_steps[visit]
    if tail < 0:
        tail = drawn_steps(c, k, c.v_tail[visit])
    if tail:
        k.s_mode[s] = TAIL
        set_station_due(c, k, s, now + tail)
    else:
        settle(c, k, s, now)


@seldom
def get_stuck(c: Record, k: Record, a: int, now: int) -> None:
    """All tries have missed: stand until the duty is done, then try anew; where there is no duty, choose anew."""
    k.counts[C_MISSES] -= k.a_misses[a]
    k.a_misses[a] = 0
    k.a_mode[a] = STUCK
    set_due(k, a, NEVER)
    enter_attendant(c, k, a, A_FAILED, now)
    slot = c.r_miss_slot[row_of(k.a_visit[a])]
    if slot >= 0:
        call(c, k, slot, now)


@seldom
def load_counts(c: Record, k: Record, a: int, now: int) -> None:
    """What an attendant wears out by parts lifted, and faults that come with them."""
    for u in range(c.u_from[c.stations + a], c.u_to[c.stations + a]):
        if c.u_loads[u]:
            k.u_used[u] += 1
            if k.u_used[u] >= c.u_limit[u]:
                wear_out(c, k, u, now)
    for f in range(c.f_from[c.stations + a], c.f_to[c.stations + a]):
        if c.f_on[f] == LOAD and not k.f_open[f]:
            k.f_left[f] -= 1
            by_chance = c.f_every[f] < 0 and next_uniform(c, k, c.f_stream[f]) < c.f_p[f]
            if by_chance or (c.f_every[f] >= 0 and k.f_left[f] <= 0):
                fail(c, k, f, now)


@seldom
def busy_counts(c: Record, k: Record, a: int, now: int) -> None:
    """What an attendant wears out by the time it moves and handles, and faults that count on that time; both are looked
    at when a visit ends."""
    close_attendant(c, k, a, now)
    busy = k.a_time[a, A_TRAVELLING] + k.a_time[a, A_CARRYING] + k.a_time[a, A_HANDLING] + k.a_time[a, A_SLOWED]
    steps = busy - k.a_busy[a]
    k.a_busy[a] = busy
    for u in range(c.u_from[c.stations + a], c.u_to[c.stations + a]):
        if not c.u_loads[u]:
            k.u_used[u] += steps
            if k.u_used[u] >= c.u_limit[u]:
                wear_out(c, k, u, now)
    for f in range(c.f_from[c.stations + a], c.f_to[c.stations + a]):
        if c.f_on[f] == BUSY and not k.f_open[f]:
            k.f_left[f] -= steps
            if k.f_left[f] <= 0:
                fail(c, k, f, now)


@seldom
def stays(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """An attended process: remain there while it runs."""
    k.a_mode[a] = STAY
    k.a_target[a] = s
    k.s_expected[s] += 1
    set_due(k, a, NEVER)
    enter_attendant(c, k, a, A_WAITING, now)

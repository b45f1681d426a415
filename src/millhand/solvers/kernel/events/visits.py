"""What an attendant does at a station: on its way, lead, hold; a part changes hands when the hold ends."""

import math

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_FAILED,
    A_HANDLING,
    A_TRAVELLING,
    A_WAITING,
    BUSY,
    C_MISSES,
    CAUSE_FULL,
    HANDLED,
    LOAD,
    LOG_VISIT,
    MOVE,
    NEVER,
    PICK,
    PLACE,
    PROCESS,
    S_HANDLED,
    SINK,
    STAY,
    STOP_OVERFLOW,
    STORE,
    STUCK,
    SUPPLY,
    SWAP,
    TAIL,
    VISIT,
)
from millhand.solvers.kernel.events.books import enter_attendant, enter_station, enter_way, note, stock_changes
from millhand.solvers.kernel.events.calls import call, level_fell, needs_somebody, part_left, set_due
from millhand.solvers.kernel.events.draws import drawn_steps, next_uniform
from millhand.solvers.kernel.events.jit import Record, inner
from millhand.solvers.kernel.events.machines import fail, settle, wear_out
from millhand.solvers.kernel.events.parts import advance, new_piece, put_out, stayed_too_long


@inner
def way_steps(c: Record, k: Record, a: int, place: int) -> int:
    """Time from where the attendant is to a place, at the speed that it may use now; -1 where it cannot go."""
    here = k.a_place[a]
    if here == place:
        return 0
    table = c.a_slow[a] if k.a_slowed[a] else c.a_full[a]
    return entry(c, k, a, table, here, place)


@inner
def entry(c: Record, k: Record, a: int, table: int, here: int, place: int) -> int:
    """One time of a table, loaded or empty, times the person's pace."""
    if table < 0:
        return 0
    steps = c.moves[table + (k.a_holds[a] > 0), here, place]
    if c.a_pace[a] == 1.0 or steps <= 0:
        return steps
    return whole(steps * c.a_pace[a] + 0.5)


@inner
def whole(value: float) -> int:
    """The whole number below."""
    return math.floor(value)


@inner
def remember_way(c: Record, k: Record, a: int, place: int) -> None:
    """The way that begins now, at full and at slow speed, in case the speed changes under way."""
    here = k.a_place[a]
    if c.a_slow[a] >= 0 and here != place:
        k.a_full_way[a] = entry(c, k, a, c.a_full[a], here, place)
        k.a_slow_way[a] = entry(c, k, a, c.a_slow[a], here, place)
    else:
        k.a_full_way[a] = 0


@inner
def set_out(c: Record, k: Record, a: int, s: int, visit: int, now: int) -> None:
    """Go to a station and serve it. The way to a supply, store or sink and the visit there are one event, since nobody
    else can change them; at a process station it is seen on arrival whether it is ready."""
    place = c.s_place[s]
    way = way_steps(c, k, a, place)
    k.a_visit[a] = visit
    remember_way(c, k, a, place)
    if c.s_kind[s] != PROCESS:
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


@inner
def begin_visit(c: Record, k: Record, a: int, s: int, way: int, now: int) -> None:
    """Way, lead and hold of one visit, all known now."""
    visit = k.a_visit[a]
    kind, row = visit % 3, visit // 3
    lead = drawn_steps(c, k, c.v_lead[visit])
    if lead and c.v_on_finish[visit] and c.s_kind[s] == PROCESS:
        lead = max(0, k.s_ready[s] + lead - now - way)
    hold = drawn_steps(c, k, c.v_hold[visit])
    if c.r_miss_p[row] > 0.0 and kind != PLACE:
        hold += retries(c, k, a, row)
    if kind == SWAP or (kind == PLACE and way == 0 and k.a_last[a] == s and k.a_picked_last[a]):
        hold += c.a_turn[a]  # from one hand to the other
    k.a_picked_last[a] = kind == PICK
    state = A_CARRYING if k.a_holds[a] else A_TRAVELLING
    k.a_way_state[a] = state
    k.a_mode[a] = VISIT
    k.a_place[a] = c.s_place[s]
    k.a_last[a] = s
    set_due(k, a, now + way + lead + hold)
    enter_way(c, k, a, state, way, lead, A_HANDLING, now)
    if c.windows and kind != PLACE:
        leaves_after(c, k, s, now + way + lead)
    if c.s_kind[s] == PROCESS:
        k.s_mode[s] = HANDLED
        enter_station(c, k, s, S_HANDLED, now)


@inner
def leaves_after(c: Record, k: Record, s: int, hold_begins: int) -> None:
    """Limited stays: the part that is taken out now has stayed until the hold begins."""
    if c.s_kind[s] == PROCESS or c.s_kind[s] == STORE:
        stayed_too_long(c, k, k.piece[c.s_piece_from[s] + k.s_head[s]], hold_begins)


@inner
def retries(c: Record, k: Record, a: int, row: int) -> int:
    """Time of the tries beyond the first; one uniform number tells how many a pick misses."""
    u = next_uniform(c, k, c.r_miss_stream[row])
    if u >= c.r_miss_p[row]:
        k.a_misses[a] = 0
        return 0
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
    kind = visit % 3
    s = k.a_source[a] if kind == PICK else k.a_target[a]
    if k.a_misses[a]:
        if k.a_misses[a] < 0:
            get_stuck(c, k, a, now)
            return False
        k.counts[C_MISSES] += k.a_misses[a]
        k.a_misses[a] = 0
    if kind == PICK:
        pick(c, k, a, s, now)
    elif kind == PLACE:
        place(c, k, a, s, now)
    else:
        swap(c, k, a, s, now)
    if k.logging:
        note(c, k, now, LOG_VISIT + kind, a, s)
    if c.a_counts[a] and kind != PLACE:
        load_counts(c, k, a, now)
    if c.s_kind[s] == PROCESS:
        tail = drawn_steps(c, k, c.v_tail[visit])
        if tail:
            k.s_mode[s] = TAIL
            set_due(k, c.station_at + s, now + tail)
        else:
            settle(c, k, s, now)
    k.parts_changed = 1
    return True


@inner
def get_stuck(c: Record, k: Record, a: int, now: int) -> None:
    """All tries have missed: stand until the duty is done, then try anew; where there is no duty, choose anew."""
    k.counts[C_MISSES] += -1 - k.a_misses[a]
    k.a_misses[a] = 0
    k.a_mode[a] = STUCK
    set_due(k, a, NEVER)
    enter_attendant(c, k, a, A_FAILED, now)
    slot = c.r_miss_slot[k.a_visit[a] // 3]
    if slot >= 0:
        call(c, k, slot, now)


@inner
def take_in_hand(c: Record, k: Record, a: int, q: int) -> None:
    """One part more in the attendant's hands."""
    k.a_hand[a, k.a_holds[a]] = q
    k.a_holds[a] += 1
    k.g_in_hand[k.q_step[q]] += 1


@inner
def out_of_hand(c: Record, k: Record, a: int, which: int) -> int:
    """One part fewer; those behind it move up."""
    q = k.a_hand[a, which]
    for i in range(which, k.a_holds[a] - 1):
        k.a_hand[a, i] = k.a_hand[a, i + 1]
    k.a_holds[a] -= 1
    k.g_in_hand[k.q_step[q]] -= 1
    return q


@inner
def take_first(c: Record, k: Record, s: int, now: int) -> int:
    """The first part out of a process station or store."""
    base = c.s_piece_from[s]
    q = k.piece[base + k.s_head[s]]
    if c.s_kind[s] == STORE:
        k.s_head[s] = (k.s_head[s] + 1) % c.s_room[s]
        stock_changes(c, k, s, -1, now)
        return q
    for i in range(base, base + k.s_inside[s] - 1):
        k.piece[i] = k.piece[i + 1]
    k.s_inside[s] -= 1
    if k.s_done[s]:
        k.s_done[s] -= 1
    return q


@inner
def put_last(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """One part more in a process station or store, behind the others."""
    base = c.s_piece_from[s]
    k.q_since[q] = now
    if c.s_kind[s] == STORE:
        if k.s_stock[s] >= c.s_room[s]:
            k.stop = STOP_OVERFLOW
            k.stop_at = s
            return
        k.piece[base + (k.s_head[s] + k.s_stock[s]) % c.s_room[s]] = q
        stock_changes(c, k, s, 1, now)
    else:
        k.piece[base + k.s_inside[s]] = q
        k.s_inside[s] += 1
        if c.s_changes[s]:
            k.s_family[s] = c.g_family[k.q_step[q]]
    if c.g_on_bad[k.q_step[q]] and k.q_maker[q] >= 0:
        k.s_checking[k.q_maker[q]] = k.q_number[q]


@inner
def lift_raw(c: Record, k: Record, s: int, p: int, now: int) -> int:
    """A raw part out of a supply; the stock falls now."""
    if c.s_capacity[s] >= 0:
        stock_changes(c, k, s, -1, now)
        if k.s_stock[s] == 0:
            k.stock_changed = 1
        level_fell(c, k, s, now)
    if c.lot_to[s] > c.lot_from[s]:
        next_of_lot(c, k, s)
    k.s_lifted[s] = now
    return new_piece(c, k, p)


@inner
def next_of_lot(c: Record, k: Record, s: int) -> None:
    """One part of the lot under way is lifted; after the last one comes the next lot, or none any more."""
    k.lot_left[s] -= 1
    if k.lot_left[s] == 0:
        at = k.lot_now[s] + 1
        if at == c.lot_to[s] and not c.lots_end:
            at = c.lot_from[s]
        k.lot_now[s] = at
        if at < c.lot_to[s]:
            k.lot_left[s] = c.lot_size[at]
        k.stock_changed = 1


@inner
def pick(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """A part comes into the hand."""
    kind = c.s_kind[s]
    k.s_claimed[s] -= 1
    k.a_source[a] = -1
    if kind == SUPPLY:
        take_in_hand(c, k, a, lift_raw(c, k, s, k.a_want[a], now))
        return
    q = take_first(c, k, s, now)
    advance(c, k, q)
    take_in_hand(c, k, a, q)
    if kind == PROCESS:
        part_left(c, k, s, now)
    else:
        k.stock_changed = 1
        level_fell(c, k, s, now)


@inner
def place(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """A part leaves the hand."""
    q = out_of_hand(c, k, a, k.a_which[a])
    k.s_expected[s] -= 1
    k.a_target[a] = -1
    if c.s_kind[s] == SINK:
        into_sink(c, k, s, q, now)
    else:
        put_last(c, k, s, q, now)
        if c.s_kind[s] == STORE:
            k.stock_changed = 1


@inner
def into_sink(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """A part lies in a sink."""
    if c.s_capacity[s] >= 0:
        stock_changes(c, k, s, 1, now)
        if k.s_stock[s] == c.s_capacity[s]:
            k.stock_changed = 1
            needs_somebody(k, CAUSE_FULL + s, now)
    k.s_set_down[s] = now
    put_out(c, k, q, s, now)


@inner
def swap(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """The finished part comes out and the raw one goes in, in one visit."""
    k.s_expected[s] -= 1
    k.a_target[a] = -1
    out = take_first(c, k, s, now)
    put_last(c, k, s, out_of_hand(c, k, a, k.a_which[a]), now)
    advance(c, k, out)
    take_in_hand(c, k, a, out)
    part_left(c, k, s, now)


@inner
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


@inner
def busy_counts(c: Record, k: Record, a: int, steps: int, now: int) -> None:
    """What an attendant wears out by the time it moves and handles, and faults that count on that time."""
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


@inner
def stays(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """An attended process: remain there while it runs."""
    k.a_mode[a] = STAY
    k.a_target[a] = s
    k.s_expected[s] += 1
    set_due(k, a, NEVER)
    enter_attendant(c, k, a, A_WAITING, now)

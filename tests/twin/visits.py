"""What an attendant does at a station: on its way, lead, hold; a part changes hands when the hold ends."""

import math

from millhand.solvers.kernel.codes import (
    A_CARRYING,
    A_FAILED,
    A_HANDLING,
    A_TRAVELLING,
    A_WAITING,
    C_MISSES,
    HANDLED,
    LOAD,
    MOVE,
    NEVER,
    PICK,
    PLACE,
    PROCESS,
    S_HANDLED,
    SINK,
    STAY,
    STORE,
    STUCK,
    SUPPLY,
    SWAP,
    TAIL,
    VISIT,
)
from millhand.solvers.kernel.compile_stations import STORE_ROOM
from tests.twin.books import enter_attendant, enter_phases, enter_station
from tests.twin.calls import call, level_fell, needs_somebody, note, part_left
from tests.twin.chance import drawn_steps, next_uniform
from tests.twin.flags import DRY, PARTS_CHANGED, STOCK_CHANGED
from tests.twin.guards import overflow
from tests.twin.machines import fail, settle, wear_out
from tests.twin.pieces import advance, new_piece, put_out, stayed_too_long
from tests.twin.state import Run


def way_steps(k: Run, a: int, place: int) -> int:
    """Time from where the attendant is to a place, at the speed that it may use now; -1 where it cannot go."""
    here = k.at.place[a]
    if here == place:
        return 0
    table = k.c.attendants.slow[a] if k.by.slowed[a] else k.c.attendants.full[a]
    return _entry(k, a, table, here, place)


def _entry(k: Run, a: int, table: int, here: int, place: int) -> int:
    """One time of a table, loaded or empty, times the person's pace."""
    if table < 0:
        return 0
    places = k.c.size.places
    offset = places * places if k.at.holds[a] else 0
    steps = k.c.ways.times[table + offset + here * places + place]
    pace = k.c.attendants.pace[a]
    return steps if pace == 1.0 or steps <= 0 else math.floor(steps * pace + 0.5)


def remember_way(k: Run, a: int, place: int) -> None:
    """The way that begins now, at full and at slow speed, in case the speed changes under way."""
    here, c = k.at.place[a], k.c.attendants
    if c.slow[a] >= 0 and here != place:
        k.by.full_way[a] = _entry(k, a, c.full[a], here, place)
        k.by.slow_way[a] = _entry(k, a, c.slow[a], here, place)
    else:
        k.by.full_way[a] = 0


def set_out(k: Run, a: int, s: int, visit: int, now: int) -> None:
    """Go to a station and serve it. The way to a supply, store or sink and the visit there are one event, since nobody
    else can change them; at a process station it is seen on arrival whether it is ready."""
    at, place = k.at, k.c.stations.place[s]
    way = way_steps(k, a, place)
    at.visit[a] = visit
    remember_way(k, a, place)
    if k.c.stations.kind[s] != PROCESS:
        begin_visit(k, a, s, way, now)
        return
    if way == 0:
        at.mode[a] = MOVE
        k.times[a] = now
        at.place[a] = place
        return
    at.last[a] = -1
    at.mode[a] = MOVE
    k.times[a] = now + way
    state = A_CARRYING if at.holds[a] else A_TRAVELLING
    k.by.way_state[a] = state
    enter_phases(k, a, (state, way), (state, 0), (state, now))
    at.place[a] = place


def begin_visit(k: Run, a: int, s: int, way: int, now: int) -> None:
    """Way, lead and hold of one visit, all known now."""
    c, at = k.c, k.at
    visit = at.visit[a]
    lead = drawn_steps(k, c.work.lead[visit], now)
    hold = drawn_steps(k, c.work.hold[visit], now)
    if c.work.miss_p[visit // 3] > 0.0 and visit % 3 != PLACE:
        hold += _retries(k, a, visit // 3, now)
    turn = 0  # from one hand to the other
    if visit % 3 == SWAP:
        hold += c.attendants.turn[a]
    elif visit % 3 == PLACE and way == 0 and at.last[a] == s and at.picked_last[a]:
        turn = max(0, at.lifted[a] + c.attendants.turn[a] - now)
    if lead and c.work.on_finish[visit] and c.stations.kind[s] == PROCESS:
        lead = max(0, k.st.ready[s] + lead - now - way - turn)
    hold += turn
    at.picked_last[a] = int(visit % 3 == PICK)
    state = A_CARRYING if at.holds[a] else A_TRAVELLING
    k.by.way_state[a] = state
    at.mode[a] = VISIT
    at.place[a] = c.stations.place[s]
    at.last[a] = s
    k.times[a] = now + way + lead + hold
    enter_phases(k, a, (state, way), (A_WAITING, lead), (A_HANDLING, now))
    if visit % 3 != PLACE and c.stations.kind[s] in (PROCESS, STORE):
        stayed_too_long(k, s, now + way + lead)
    if c.stations.kind[s] == PROCESS:
        k.st.mode[s] = HANDLED
        enter_station(k, s, S_HANDLED, now)


def _retries(k: Run, a: int, row: int, now: int) -> int:
    """Time of the tries beyond the first; one uniform number tells how many a pick misses."""
    work = k.c.work
    u = next_uniform(k, work.miss_stream[row], now)
    misses = math.floor(math.log(u) / math.log(work.miss_p[row])) if work.miss_p[row] < 1.0 else 1 << 30
    k.at.misses[a] = misses
    if 0 <= work.retries[row] < misses:
        misses = work.retries[row]
        k.at.misses[a] = -1 - misses
    steps = 0
    for _ in range(misses):
        steps += drawn_steps(k, work.retry[row], now)
    return steps


def end_visit(k: Run, a: int, now: int) -> bool:
    """The hold is over: parts change hands. False where the pick was given up."""
    at, c = k.at, k.c
    kind = at.visit[a] % 3
    s = at.source[a] if kind == PICK else at.target[a]
    if at.misses[a] < 0:
        _get_stuck(k, a, now)
        return False
    k.counts[C_MISSES] += at.misses[a]
    at.misses[a] = 0
    if kind == PICK:
        _pick(k, a, s, now)
        at.lifted[a] = now
    elif kind == PLACE:
        _place(k, a, s, now)
    else:
        _swap(k, a, s, now)
    if k.logging:
        note(k, now, (("pick", "place", "swap")[kind], a, s))
    if kind != PLACE and (c.attendants.wears[a] or c.attendants.fault_to[a] > c.attendants.fault_from[a]):
        _load_counts(k, a, now)
    if c.stations.kind[s] == PROCESS:
        tail = drawn_steps(k, c.work.tail[at.visit[a]], now)
        if tail:
            k.st.mode[s] = TAIL
            k.times[k.station_at + s] = now + tail
        else:
            settle(k, s, now)
    k.flags[PARTS_CHANGED] = 1
    return True


def _get_stuck(k: Run, a: int, now: int) -> None:
    """All tries have missed: stand until the duty is done, then try anew; where there is no duty, choose anew."""
    k.counts[C_MISSES] -= k.at.misses[a]
    k.at.misses[a] = 0
    k.at.mode[a] = STUCK
    k.times[a] = NEVER
    enter_attendant(k, a, A_FAILED, now)
    slot = k.c.work.miss_slot[k.at.visit[a] // 3]
    if slot >= 0:
        call(k, slot, now)


def _take_in_hand(k: Run, a: int, piece: int) -> None:
    """One part more in the attendant's hands."""
    at = k.at
    at.hand[a * k.c.size.hands + at.holds[a]] = piece
    at.holds[a] += 1


def _out_of_hand(k: Run, a: int, which: int) -> int:
    """One part fewer; those behind it move up."""
    at, base = k.at, a * k.c.size.hands
    piece = at.hand[base + which]
    for i in range(which, at.holds[a] - 1):
        at.hand[base + i] = at.hand[base + i + 1]
    at.holds[a] -= 1
    return piece


def take_first(k: Run, s: int) -> int:
    """The first part out of a process station or store."""
    st, base = k.st, k.c.stations.piece_from[s]
    piece = st.piece[base]
    for i in range(base, base + st.inside[s] - 1):
        st.piece[i] = st.piece[i + 1]
    st.inside[s] -= 1
    if st.done[s]:
        st.done[s] -= 1
    return piece


def put_last(k: Run, s: int, piece: int, now: int) -> None:
    """One part more in a process station or store, behind the others."""
    st, pieces = k.st, k.pieces
    if k.c.stations.capacity[s] < 0 and st.inside[s] >= STORE_ROOM:
        overflow(k, s)
    st.piece[k.c.stations.piece_from[s] + st.inside[s]] = piece
    st.inside[s] += 1
    pieces.since[piece] = now
    if k.c.steps.on_bad[pieces.step[piece]] and pieces.maker[piece] >= 0:
        pieces.checking[pieces.maker[piece]] = pieces.number[piece]


def lift_raw(k: Run, s: int, part: int, now: int) -> int:
    """A raw part out of a supply; the stock falls now."""
    st, flags = k.st, k.flags
    if k.c.stations.capacity[s] >= 0:
        st.stock[s] -= 1
        if st.stock[s] == 0:
            flags[STOCK_CHANGED] = 1
            flags[DRY] += 1
        level_fell(k, s, now)
    return new_piece(k, part)


def _pick(k: Run, a: int, s: int, now: int) -> None:
    """A part comes into the hand."""
    kind = k.c.stations.kind[s]
    k.st.claimed[s] -= 1
    k.at.source[a] = -1
    if kind == SUPPLY:
        _take_in_hand(k, a, lift_raw(k, s, k.at.want[a], now))
        return
    piece = take_first(k, s)
    advance(k, piece)
    _take_in_hand(k, a, piece)
    if kind == PROCESS:
        part_left(k, s, now)
    else:
        k.flags[STOCK_CHANGED] = 1
        level_fell(k, s, now)


def _place(k: Run, a: int, s: int, now: int) -> None:
    """A part leaves the hand."""
    piece, kind = _out_of_hand(k, a, k.at.which[a]), k.c.stations.kind[s]
    k.st.expected[s] -= 1
    k.at.target[a] = -1
    if kind == SINK:
        into_sink(k, s, piece, now)
    else:
        put_last(k, s, piece, now)
        if kind == STORE:
            k.flags[STOCK_CHANGED] = 1


def into_sink(k: Run, s: int, piece: int, now: int) -> None:
    """A part lies in a sink."""
    k.st.stock[s] += 1
    if k.c.stations.capacity[s] >= 0 and k.st.stock[s] == k.c.stations.capacity[s]:
        k.flags[STOCK_CHANGED] = 1
        needs_somebody(k, now)
    put_out(k, piece, s, now)


def _swap(k: Run, a: int, s: int, now: int) -> None:
    """The finished part comes out and the raw one goes in, in one visit."""
    k.st.expected[s] -= 1
    k.at.target[a] = -1
    out = take_first(k, s)
    put_last(k, s, _out_of_hand(k, a, k.at.which[a]), now)
    advance(k, out)
    _take_in_hand(k, a, out)
    part_left(k, s, now)


def _load_counts(k: Run, a: int, now: int) -> None:
    """What an attendant wears out by parts lifted, and faults that come with them."""
    troubles, owner = k.c.troubles, k.c.size.stations + a
    for w, whose in enumerate(troubles.wear_owner):
        if whose == owner:
            k.calls.worn[w] += 1
            if k.calls.worn[w] >= troubles.wear_limit[w]:
                wear_out(k, w, now)
    for f in range(k.c.attendants.fault_from[a], k.c.attendants.fault_to[a]):
        if troubles.on[f] == LOAD and not k.calls.fault_open[f]:
            k.calls.fault_left[f] -= 1
            by_chance = troubles.every[f] < 0 and next_uniform(k, troubles.stream[f], now) < troubles.p[f]
            if by_chance or (troubles.every[f] >= 0 and k.calls.fault_left[f] <= 0):
                fail(k, f, now)


def stays(k: Run, a: int, s: int, now: int) -> None:
    """An attended process: remain there while it runs."""
    k.at.mode[a] = STAY
    k.at.target[a] = s
    k.st.expected[s] += 1
    k.times[a] = NEVER
    enter_attendant(k, a, A_WAITING, now)

"""Rule `cycle`: an attendant does what the schedule says, in its order, each thing as soon as it can be done.

So the arcs of the schedule are kept: its own order by the list, the others by the stations themselves. With nothing
left to chance the run settles into the schedule's period. After a stop it goes on where it was; what has nothing to
act on, since a part was lost or the line is still filling, is passed over. Parts that leave the cycle, to a gauge say,
are brought there and fetched in between, by the ordinary choice.
"""

from millhand.solvers.kernel.codes import (
    DONE,
    EMPTY,
    OP_LIFT,
    OP_SET,
    OP_SWAP,
    PICK,
    PLACE,
    PROCESS,
    STORE,
    SUPPLY,
    SWAP,
)
from millhand.solvers.kernel.events.books import first_piece
from millhand.solvers.kernel.events.calls import set_due
from millhand.solvers.kernel.events.choice import READY, claim, deliver, finished_wanted, gives_raw
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.numbers import kind_of, visit_of
from millhand.solvers.kernel.events.parts import settle_next
from millhand.solvers.kernel.events.visits import set_out
from millhand.solvers.kernel.events.ways import way_steps

PASS, STAY_HERE, GO = range(3)  # nothing to act on; not yet; at once or on arrival


@seldom
def next_of_cycle(c: Record, k: Record, a: int, now: int) -> bool:
    """Begin the next thing of the list that has something to act on; False where it has to be waited for."""
    if (k.a_stray[a] or has_other_part(c, k, a)) and deliver(c, k, a, now):
        k.a_stray[a] = 0
        return True
    if k.a_holds[a] < c.a_hands[a] and fetch_stray(c, k, a, now):
        return True
    if has_other_part(c, k, a):
        return False
    first, count = c.op_from[a], c.op_to[a] - c.op_from[a]
    for _ in range(count):
        o = first + k.a_op[a]
        ready = looks_at(c, k, a, o, now)
        if ready == STAY_HERE:
            return False
        if ready == GO:
            return not_too_soon(c, k, a, o, now) and sets_out(c, k, a, o, now)
        if k.a_hold_began[a] >= 0:
            k.a_hold_began[a] += c.op_gap[o]
        passes(k, a, count)
    return False


@inner
def not_too_soon(c: Record, k: Record, a: int, o: int, now: int) -> bool:
    """Where stays are limited nothing is done sooner after the thing before it than the schedule has it: whoever
    hurries would lift a part that has to wait elsewhere. False, and a time to look again, where it would be."""
    if not c.windows or k.a_hold_began[a] < 0:
        return True
    way = max(0, way_steps(c, k, a, c.s_place[c.op_station[o]]))
    leave = k.a_hold_began[a] + c.op_gap[o] - way
    if leave <= now:
        return True
    set_due(k, a, leave)
    return False


@inner
def passes(k: Record, a: int, count: int) -> None:
    """On to the next thing of the list; after the last one the next period begins."""
    k.a_op[a] += 1
    if k.a_op[a] == count:
        k.a_op[a] = 0
        k.a_period[a] += 1


@inner
def has_other_part(c: Record, k: Record, a: int) -> bool:
    """True with a part in hand whose next step is at no station of the list."""
    for i in range(k.a_holds[a]):
        g = k.q_step[k.a_hand[a, i]]
        known = False
        for o in range(c.op_from[a], c.op_to[a]):
            known = known or (c.op_what[o] != OP_LIFT and c.g_allows[g, c.op_station[o]] > 0)
        if not known:
            return True
    return False


@inner
def fetch_stray(c: Record, k: Record, a: int, now: int) -> bool:
    """Take a finished part out of a station that is not in the list, a gauge say, where it can be put down."""
    for x in range(c.source_from[a], c.source_to[a]):
        u = c.source[x]
        listed = False
        for o in range(c.op_from[a], c.op_to[a]):
            listed = listed or c.op_station[o] == u
        if listed or c.s_kind[u] != PROCESS or k.s_mode[u] != DONE:
            continue
        soon, _, _, t = finished_wanted(c, k, a, u, PROCESS, now)
        if soon != READY:
            continue
        q = first_piece(c, k, u)
        settle_next(c, k, q)
        claim(k, a, u, t)
        k.a_stray[a] = 1
        set_out(c, k, a, u, c.pick_of[a, u, c.g_part[k.q_step[q]]], now)
        return True
    return False


@inner
def hand_for(c: Record, k: Record, a: int, s: int) -> int:
    """Which hand holds a part for the station, -1 none."""
    for i in range(k.a_holds[a]):
        if c.g_allows[k.q_step[k.a_hand[a, i]], s]:
            return i
    return -1


@inner
def looks_at(c: Record, k: Record, a: int, o: int, now: int) -> int:
    """Whether the thing can be set out for, has to be waited for, or has nothing to act on."""
    what, s = c.op_what[o], c.op_station[o]
    kind, mode = c.s_kind[s], k.s_mode[s]
    brings = hand_for(c, k, a, s) >= 0
    if what == OP_SET and not brings:
        return PASS
    if what == OP_LIFT and (k.a_holds[a] >= c.a_hands[a] or k.a_period[a] < c.op_lap[o]):
        return PASS
    if kind == SUPPLY:
        return GO if gives_raw(c, k, s, now) else STAY_HERE
    if kind != PROCESS:
        if what == OP_LIFT:
            return GO if k.s_stock[s] > k.s_claimed[s] else STAY_HERE
        room = c.s_capacity[s] < 0 or k.s_stock[s] + k.s_expected[s] - (k.a_target[a] == s) < c.s_capacity[s]
        return GO if room and not k.s_held[s] else STAY_HERE
    if k.s_trouble[s] or k.s_claimed[s] or k.s_expected[s] - (k.a_target[a] == s):
        return STAY_HERE
    if mode == EMPTY and not brings:
        return PASS if c.op_alone[o] else STAY_HERE
    if what == OP_SWAP and not brings and not lifts_there(c, k, a, s):
        return PASS
    return GO


@inner
def lifts_there(c: Record, k: Record, a: int, s: int) -> bool:
    """True where the part in the station can be lifted without bringing another."""
    if k.s_inside[s] == 0:
        return False
    return c.pick_of[a, s, c.g_part[k.q_step[first_piece(c, k, s)]]] >= 0


@inner
def sets_out(c: Record, k: Record, a: int, o: int, now: int) -> bool:
    """Go and do it; False where no row of handling says how."""
    what, s = c.op_what[o], c.op_station[o]
    hand = hand_for(c, k, a, s)
    kind = c.s_kind[s]
    if kind == SUPPLY:
        k.a_want[a] = c.op_part[o]
        visit = c.pick_of[a, s, c.op_part[o]]
    elif what == OP_LIFT or (what == OP_SWAP and hand < 0):
        q = first_piece(c, k, s)
        if kind == STORE or k.s_mode[s] == DONE:
            settle_next(c, k, q)
        visit = c.pick_of[a, s, c.g_part[k.q_step[q]]]
    else:
        row = c.row_of[a, s, c.g_part[k.q_step[k.a_hand[a, hand]]]]
        swaps = kind == PROCESS and what == OP_SWAP and k.s_mode[s] != EMPTY
        visit = visit_of(row, SWAP if swaps else PLACE)
    if visit < 0 or not c.v_has[visit]:
        return False
    if kind_of(visit) == PICK:
        claim(k, a, s, -1)
        k.a_want[a] = c.op_part[o]
    else:
        claim(k, a, -1, s)
        k.a_which[a] = hand
    set_out(c, k, a, s, visit, now)
    return True


@seldom
def visit_done(c: Record, k: Record, a: int, s: int) -> None:
    """A visit has ended: where it was the next thing of the list, the list moves on."""
    if c.op_to[a] > c.op_from[a] and c.op_station[c.op_from[a] + k.a_op[a]] == s:
        passes(k, a, c.op_to[a] - c.op_from[a])

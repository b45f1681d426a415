"""Rule `cycle` after parts were lost: what of a turn has nothing to act on any more, and lifts that lock the cell.

A part that is still there when its turn is passed over, since its load lost a mate, stands for one that comes in later
(gone.py). What the turns would have done with that one up to where the part is has been done then.
"""

from millhand.solvers.kernel.codes import EMPTY, OP_LIFT, OP_SET, OP_SWAP, PROCESS, STORE, SUPPLY
from millhand.solvers.kernel.events.gone import goes_for_ever, number_is_gone, number_of, piece_of, stands_for_next
from millhand.solvers.kernel.events.in_line import place_of_next
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.traits import in_turn


@inner
def lift_is_over(c: Record, k: Record, a: int, o: int) -> bool:
    """True where the part is gone that something of a turn would lift now, or is further on already."""
    return k.gone > 0 and is_over(c, k, a, o)


@seldom
def is_over(c: Record, k: Record, a: int, o: int) -> bool:
    """The same once parts were lost."""
    number = number_of(c, c.op_came[o], k.a_period[a] - c.op_lap[o])
    if number < 0:
        return False
    if number_is_gone(k, number):
        return True
    q = piece_of(c, k, number)
    return q >= 0 and (c.s_kind[c.op_at[c.op_at_from[o]]] == SUPPLY or k.q_step[q] > c.op_lies[o] >= 0)


@seldom
def is_late(c: Record, k: Record, a: int, o: int) -> None:
    """A lift is passed over: a part that was meant by it stands for one that comes in later; one that would have come
    in now does not."""
    number = number_of(c, c.op_came[o], k.a_period[a] - c.op_lap[o])
    if c.op_what[o] == OP_SET or number < 0 or is_over(c, k, a, o):
        return
    if c.s_kind[c.op_at[c.op_at_from[o]]] == SUPPLY:
        goes_for_ever(k, number)
    else:
        stands_for_next(c, k, number, c.op_part[o])


@seldom
def leaves_lying(c: Record, k: Record, a: int, o: int) -> bool:
    """True where somebody leaves a part lying, since with it in hand it would lock the cell; at most a turn."""
    if k.a_left_lying[a] >= c.op_to[a] - c.op_from[a] or not would_lock(c, k, a, o):
        return False
    k.a_left_lying[a] += 1
    return True


@seldom
def would_lock(c: Record, k: Record, a: int, o: int) -> bool:
    """True where an attendant would fill its last hand with a part that it can bring nowhere, as long as it does not
    lift there itself: then it had better leave it."""
    if c.a_hands[a] - k.a_holds[a] != 1:
        return False
    n = c.op_to[a] - c.op_from[a]
    for i in range(1, n):
        x = c.op_from[a] + (o - c.op_from[a] + i) % n
        brings = c.op_brings_came[x] == c.op_came[o]
        if (c.op_what[x] == OP_SWAP and brings) or (c.op_what[x] == OP_SET and not brings and k.a_holds[a]):
            return False  # an exchange, or a hand is free again before
        if c.op_what[x] == OP_SET and brings:
            for y in range(c.op_at_from[x], c.op_at_to[x]):
                if not is_closed(c, k, a, o, c.op_at[y]):
                    return False
            return True
    return False


@inner
def is_one_of(c: Record, o: int, s: int) -> bool:
    """True for a station out of which something of a turn may lift."""
    for y in range(c.op_at_from[o], c.op_at_to[o]):
        if c.op_at[y] == s:
            return True
    return False


@seldom
def is_closed(c: Record, k: Record, a: int, o: int, s: int) -> bool:
    """True where a station has no room for a part, and gets none unless the attendant lifts there what
    it would not lift now."""
    m = s
    if c.s_kind[s] != PROCESS:
        if c.s_kind[s] != STORE or c.s_capacity[s] < 0 or k.s_stock[s] + k.s_expected[s] < c.s_capacity[s]:
            return False
        m = c.s_only_to[s]
        if m < 0:
            return not (is_one_of(c, o, s) or c.s_self_out[s] or others_lift(c, a, s))
        if k.s_mode[m] == EMPTY and k.s_inside[m] < c.s_batch[m]:
            return k.s_inside[m] > 0 and place_of_next(c, k, s) < 0
    elif k.s_mode[s] == EMPTY and k.s_inside[s] < c.s_batch[s]:
        return False
    return not (is_one_of(c, o, m) or c.s_self_out[m] or c.s_only_to[m] >= 0 or others_lift(c, a, m))


@seldom
def others_lift(c: Record, a: int, s: int) -> bool:
    """True where somebody else lifts out of a station, or may."""
    for b in range(c.attendants):
        if b == a:
            continue
        if not in_turn(c, b):
            for x in range(c.source_from[b], c.source_to[b]):
                if c.source[x] == s:
                    return True
        for o in range(c.op_from[b], c.op_to[b]):
            if (c.op_what[o] == OP_LIFT or c.op_what[o] == OP_SWAP) and is_one_of(c, o, s):
                return True
    return False

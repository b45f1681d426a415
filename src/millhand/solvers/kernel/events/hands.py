"""Parts change hands: out of a station, into it, or both; supplies give them and sinks take them."""

from millhand.solvers.kernel.codes import CAUSE_FULL, PROCESS, SINK, STOCK, STOP_OVERFLOW, STORE, SUPPLY
from millhand.solvers.kernel.events.books import stock_changes
from millhand.solvers.kernel.events.calls import level_fell, needs_somebody, part_left, set_station_due
from millhand.solvers.kernel.events.gone import takes_number
from millhand.solvers.kernel.events.in_line import kind_to_front
from millhand.solvers.kernel.events.jit import Record, inner, often, seldom
from millhand.solvers.kernel.events.parts import advance, new_piece, put_out
from millhand.solvers.kernel.events.stocks import counts_load
from millhand.solvers.kernel.events.traits import (
    has_batches,
    has_cycles,
    has_endless,
    has_gates,
    has_lots,
    has_stores,
    has_unlike,
    in_turn,
)


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


@often
def take_first(c: Record, k: Record, s: int, now: int) -> int:
    """The first part out of a process station or store."""
    base = c.s_piece_from[s]
    q = k.piece[base + k.s_head[s]]
    if has_stores(c) and c.s_kind[s] == STORE:
        k.s_head[s] = (k.s_head[s] + 1) % c.s_room[s]
        stock_changes(c, k, s, -1, now)
        return q
    for i in range(base, base + (k.s_inside[s] - 1 if has_batches(c) else 0)):
        k.piece[i] = k.piece[i + 1]
    k.s_inside[s] -= 1
    if k.s_done[s]:
        k.s_done[s] -= 1
        k.finished -= 1
    return q


@often
def put_last(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """One part more in a process station or store, behind the others."""
    base = c.s_piece_from[s]
    k.q_since[q] = now
    if has_unlike(c):
        k.q_step[q] = c.g_lies[k.q_step[q], s]
    if has_stores(c) and c.s_kind[s] == STORE:
        if k.s_stock[s] >= c.s_room[s]:
            k.stop = STOP_OVERFLOW
            k.stop_at = s
            return
        k.piece[base + (k.s_head[s] + k.s_stock[s]) % c.s_room[s]] = q
        stock_changes(c, k, s, 1, now)
        counts_load(c, k, s, now)
    else:
        k.piece[base + k.s_inside[s]] = q
        k.s_inside[s] += 1
        if has_endless(c) and c.s_endless[s] >= 0:
            keep_one_free(c, k, s)
        if has_lots(c) and c.s_changes[s]:
            k.s_family[s] = c.g_family[k.q_step[q]]
    if c.g_on_bad[k.q_step[q]] and k.q_maker[q] >= 0 and c.s_kind[s] == PROCESS:
        k.s_checking[k.q_maker[q]] = k.q_number[q]


@seldom
def keep_one_free(c: Record, k: Record, s: int) -> None:
    """Of endless slots one is always free; where that is not so any more, too few of them stand here."""
    for other in range(c.stations):
        if c.s_endless[other] == c.s_endless[s] and k.s_inside[other] == 0:
            return
    k.stop = STOP_OVERFLOW
    k.stop_at = c.s_endless[s]


@often
def lift_raw(c: Record, k: Record, s: int, p: int, now: int) -> int:
    """A raw part out of a supply; the stock falls now."""
    if c.s_capacity[s] >= 0:
        stock_changes(c, k, s, -1, now)
        if k.s_stock[s] == 0:
            k.changed |= STOCK
        level_fell(c, k, s, now)
    if has_lots(c) and c.lot_to[s] > c.lot_from[s]:
        next_of_lot(c, k, s)
    counts_load(c, k, s, now)
    return new_piece(c, k, p)


@seldom
def next_of_lot(c: Record, k: Record, s: int) -> None:
    """One part of the lot under way is lifted; after the last one comes the next lot, or none any more. What several
    supplies give is one lot: its last part ends it in each of them that has come to it, the others pass it by."""
    lot = c.lot_first[k.lot_now[s]]
    k.lot_left[lot] -= 1
    if k.lot_left[lot] > 0:
        return
    if not c.lots_end:
        k.lot_left[lot] = c.lot_size[lot]
    for u in range(c.stations):
        if c.lot_from[u] <= k.lot_now[u] < c.lot_to[u] and c.lot_first[k.lot_now[u]] == lot:
            at = k.lot_now[u] + 1
            while at < c.lot_to[u] and k.lot_left[c.lot_first[at]] == 0:
                at += 1
            if at == c.lot_to[u] and not c.lots_end:
                at = c.lot_from[u]
            k.lot_now[u] = at
    k.changed |= STOCK


@often
def pick(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """A part comes into the hand."""
    kind = c.s_kind[s]
    k.s_claimed[s] -= 1
    k.a_source[a] = -1
    if kind == SUPPLY:
        q = lift_raw(c, k, s, k.a_want[a], now)
        if has_cycles(c) and k.a_came[a] >= 0:
            k.q_came[q] = k.a_came[a]
        take_in_hand(c, k, a, q)
        return
    if kind == STORE and in_turn(c, a):
        kind_to_front(c, k, s, k.a_want[a], k.a_want_step[a])
    q = take_first(c, k, s, now)
    if has_cycles(c) and k.a_came[a] >= 0:
        takes_number(c, k, q, k.a_came[a])
    advance(c, k, q)
    take_in_hand(c, k, a, q)
    if kind == PROCESS:
        part_left(c, k, s, now)
    else:
        k.changed |= STOCK
        level_fell(c, k, s, now)


@often
def put_down(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """A part leaves the hand."""
    q = out_of_hand(c, k, a, k.a_which[a])
    k.s_expected[s] -= 1
    k.a_target[a] = -1
    if c.s_kind[s] == SINK:
        into_sink(c, k, s, q, now)
    else:
        put_last(c, k, s, q, now)
        if c.s_kind[s] == STORE:
            k.changed |= STOCK


@often
def into_sink(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """A part lies in a sink."""
    if c.s_capacity[s] >= 0:
        stock_changes(c, k, s, 1, now)
        if k.s_stock[s] == c.s_capacity[s]:
            k.changed |= STOCK
            needs_somebody(k, CAUSE_FULL + s, now)
    if has_gates(c) and c.s_gate[s] >= 0:
        gate_turns(c, k, s, now)
    put_out(c, k, q, s, now)
    counts_load(c, k, s, now)


@seldom
def gate_turns(c: Record, k: Record, s: int, now: int) -> None:
    """A part is set down at a gate: the next one may be lifted when its turn is over."""
    k.s_set_down[s] = now
    set_station_due(c, k, c.s_gate[s], now + c.s_turnaround[c.s_gate[s]])


@often
def swap(c: Record, k: Record, a: int, s: int, now: int) -> None:
    """The finished part comes out and the raw one goes in, in one visit."""
    k.s_expected[s] -= 1
    k.a_target[a] = -1
    out = take_first(c, k, s, now)
    if has_cycles(c) and k.a_came[a] >= 0:
        takes_number(c, k, out, k.a_came[a])
    put_last(c, k, s, out_of_hand(c, k, a, k.a_which[a]), now)
    advance(c, k, out)
    take_in_hand(c, k, a, out)
    part_left(c, k, s, now)

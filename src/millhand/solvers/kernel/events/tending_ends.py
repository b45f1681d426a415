"""How visits of an attendant end that tends a row of like machines: parts change hands (hands.py), and it chooses."""

from millhand.solvers.kernel.codes import C_PICKED, STOCK
from millhand.solvers.kernel.events.books import stock_changes
from millhand.solvers.kernel.events.calls import level_fell, part_left
from millhand.solvers.kernel.events.hands import into_sink
from millhand.solvers.kernel.events.jit import Record, often
from millhand.solvers.kernel.events.tending_choice import brings, fetches, is_checked_next, otherwise, takes_away
from millhand.solvers.kernel.events.tending_machines import settled, starts


@often
def exchanged(c: Record, k: Record, now: int) -> bool:
    """The raw part is in the machine and the finished one in the hand."""
    s = k.a_target[0]
    at = c.s_piece_from[s]
    out = k.piece[at]
    if k.s_trouble[s] or k.a_holds[0] != 1 or k.s_inside[s] != 1 or is_checked_next(c, k) or k.q_settled[out] >= 0:
        return False
    raw = k.a_hand[0, 0]
    k.piece[at], k.a_hand[0, 0] = raw, out
    k.q_since[raw] = now
    k.s_done[s] = 0
    k.finished -= 1
    k.s_expected[s] -= 1
    k.a_target[0] = -1
    k.g_in_hand[c.t_step] -= 1
    k.g_in_hand[c.t_out] += 1
    k.q_step[out] = c.t_out
    if c.t_check >= 0:
        k.g_until[c.t_check] -= 1
    if c.parts_from[s] < c.parts_to[s]:
        part_left(c, k, s, now)
    starts(c, k, s, k.a_visit[0], now)
    if k.waiting_calls or not takes_away(c, k, now):
        otherwise(c, k, now)
    settled(c, k, now)
    return True


@often
def lifted(c: Record, k: Record, now: int) -> bool:
    """A raw part is in the hand."""
    u = c.t_supply
    if k.a_holds[0]:
        return False
    if c.s_capacity[u] >= 0:
        stock_changes(c, k, u, -1, now)
        if k.s_stock[u] < c.t_level:
            if k.s_stock[u] == 0:
                k.changed |= STOCK
            level_fell(c, k, u, now)
    k.s_claimed[u] -= 1
    k.a_source[0] = -1
    k.a_hand[0, 0] = raw_piece(c, k)
    k.a_holds[0] = 1
    k.g_in_hand[c.t_step] += 1
    k.a_lifted[0] = now
    if k.waiting_calls or not brings(c, k, now):
        otherwise(c, k, now)
    settled(c, k, now)
    return True


@often
def raw_piece(c: Record, k: Record) -> int:
    """A new piece on its way to the machines (parts.py, new_piece)."""
    k.free_count -= 1
    q = k.free[k.free_count]
    k.q_settled[q] = -1
    k.q_step[q] = c.t_step
    k.q_bad[q] = 0
    k.q_marked[q] = 0
    k.q_number[q] = 0
    k.q_maker[q] = -1
    k.p_given[0] += 1
    k.counts[C_PICKED] += 1
    return q


@often
def put_away(c: Record, k: Record, now: int) -> bool:
    """A finished part lies in the outfeed."""
    if k.a_holds[0] != 1:
        return False
    k.a_holds[0] = 0
    k.g_in_hand[c.t_out] -= 1
    k.s_expected[c.t_sink] -= 1
    k.a_target[0] = -1
    into_sink(c, k, c.t_sink, k.a_hand[0, 0], now)
    if k.waiting_calls or not fetches(c, k, now):
        otherwise(c, k, now)
    settled(c, k, now)
    return True

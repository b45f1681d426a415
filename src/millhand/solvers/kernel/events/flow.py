"""Parts that move without anybody: machines that take in or put out by themselves."""

from millhand.solvers.kernel.codes import DONE, EMPTY, NEVER, PROCESS, SINK, STOCK, STOP_OVERFLOW, STORE, SUPPLY
from millhand.solvers.kernel.events.books import first_piece, is_open_sink, next_step
from millhand.solvers.kernel.events.calls import part_left
from millhand.solvers.kernel.events.choice import gives_raw
from millhand.solvers.kernel.events.entries import entered, has_entries, may_enter
from millhand.solvers.kernel.events.hands import into_sink, lift_raw, put_last, take_first
from millhand.solvers.kernel.events.in_line import began, has_order, leads
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.loads import fits_behind, waiting
from millhand.solvers.kernel.events.machines import may_start, settle
from millhand.solvers.kernel.events.mix import is_begun_with, is_stuck, keeps_mix, may_come
from millhand.solvers.kernel.events.parts import advance, share_with_one_more, stayed_too_long
from millhand.solvers.kernel.events.setting_up import set_up_for
from millhand.solvers.kernel.events.stocks import is_shut
from millhand.solvers.kernel.events.traits import has_cycles, has_windows


@seldom
def self_moves(c: Record, k: Record, now: int) -> None:
    """Let parts move until nothing moves any more."""
    moved = True
    while moved and k.stop != STOP_OVERFLOW:
        moved = False
        for s in range(c.stations):
            if gives(c, k, s, now) and pushed(c, k, s, now):
                moved = True
            if c.s_kind[s] != SUPPLY and raw_comes(c, k, s, now):
                moved = True


@inner
def gives(c: Record, k: Record, s: int, now: int) -> bool:
    """True where a part could leave."""
    if c.s_kind[s] == STORE:
        return k.s_stock[s] > k.s_claimed[s] and not is_shut(c, k, s, now)
    return c.s_kind[s] == PROCESS and k.s_mode[s] == DONE and not k.s_claimed[s] and may_start(c, k, s, now)


@inner
def takes(c: Record, k: Record, s: int, g: int, now: int) -> bool:
    """True where there is room for one part more."""
    if c.s_kind[s] != PROCESS:
        return is_open_sink(c, k, s) and not is_shut(c, k, s, now) and fits_behind(c, k, s, g, k.s_expected[s])
    if k.s_mode[s] != EMPTY or k.s_inside[s] >= c.s_batch[s] or k.s_expected[s] or k.s_claimed[s]:
        return False
    return may_start(c, k, s, now) and set_up_for(c, k, s, g, now)


@inner
def pushed(c: Record, k: Record, s: int, now: int) -> bool:
    """Move the first finished part on, where the machine puts out or the next one takes in by itself."""
    if not leads(c, k, s):
        return False
    g = next_step(c, k, first_piece(c, k, s))
    for x in range(c.g_at_from[g], c.g_at_to[g]):
        target = c.g_at[x]
        if not (c.s_self_out[s] or c.s_self_in[target]) or (c.s_only_to[s] >= 0 and c.s_only_to[s] != target):
            continue
        if not takes(c, k, target, g, now) or not may_enter(c, k, s, target, g):
            continue
        if has_entries(c):
            entered(c, k, s, target, g)
        if has_windows(c) and c.windows:
            stayed_too_long(c, k, first_piece(c, k, s), s, now)
        if has_order(c, s) and waiting(k, target) == 0:
            began(c, k, s, g)
        q = take_first(c, k, s, now)
        since = k.q_since[q]
        advance(c, k, q)
        into(c, k, target, q, now)
        if has_windows(c) and c.s_only_to[s] == target:  # its stay is one, in the machine and its own buffers
            k.q_since[q] = since
        if c.s_kind[s] == PROCESS:
            part_left(c, k, s, now)
            settle(c, k, s, now)
        k.changed |= STOCK
        return True
    return False


@inner
def into(c: Record, k: Record, s: int, q: int, now: int) -> None:
    """Put a part into a station."""
    if c.s_kind[s] == SINK:
        into_sink(c, k, s, q, now)
        return
    put_last(c, k, s, q, now)
    if c.s_kind[s] == PROCESS:
        settle(c, k, s, now)


@inner
def raw_comes(c: Record, k: Record, s: int, now: int) -> bool:
    """A station gets a raw part out of a supply that puts out by itself, or takes one in by itself: of several types
    that could come, and that the mix allows, the one that is furthest behind its share."""
    least, best_u, best_p = NEVER, -1, -1
    for p in range(c.parts):
        first = c.p_first[p]
        given = 0 if c.parts == 1 else share_with_one_more(c, k, p)
        if given >= least or not c.g_allows[first + 1, s] or not comes_in_turn(c, k, s, p):
            continue
        if not takes(c, k, s, first + 1, now):
            continue
        u = giver(c, k, s, p, now)
        if u >= 0:
            least, best_u, best_p = given, u, p
    if best_u < 0:
        return False
    if has_entries(c):
        entered(c, k, best_u, s, c.p_first[best_p] + 1)
    into(c, k, s, lift_raw(c, k, best_u, best_p, now), now)
    return True


@inner
def comes_in_turn(c: Record, k: Record, s: int, p: int) -> bool:
    """True where the mix allows a raw part of a type to come in by itself, or a load lacks it. Of types that attendants
    move as a schedule says, that keeps the mix."""
    if keeps_mix(c, k, p) or is_begun_with(c, k, s, p) or (has_cycles(c) and c.p_in_turn[p] > 0):
        return True
    return is_stuck(c, k) and may_come(c, k, p)


@inner
def giver(c: Record, k: Record, s: int, p: int, now: int) -> int:
    """The first supply out of which a part of this type could come into the station by itself; -1 where none could."""
    first = c.p_first[p]
    for x in range(c.g_at_from[first], c.g_at_to[first]):
        u = c.g_at[x]
        if not (c.s_self_out[u] or c.s_self_in[s]):
            continue
        if c.lot_to[u] > c.lot_from[u] and (k.lot_now[u] >= c.lot_to[u] or c.lot_part[k.lot_now[u]] != p):
            continue
        if gives_raw(c, k, u, now) and not is_shut(c, k, u, now) and may_enter(c, k, u, s, first + 1):
            return u
    return -1

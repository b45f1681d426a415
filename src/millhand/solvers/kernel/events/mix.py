"""The mix of a run keeps the shares: no type goes far ahead of another, whatever machines keep free."""

from millhand.solvers.kernel.codes import AWAY, DONE, EMPTY, IDLE, PARTS, PROCESS, STORE, WAIT
from millhand.solvers.kernel.events.jit import Record, inner, seldom
from millhand.solvers.kernel.events.loads import is_begun, waiting
from millhand.solvers.kernel.events.parts import WHOLE, share_with_one_more
from millhand.solvers.kernel.events.traits import has_batches, has_lots, is_halted


@inner
def keeps_mix(c: Record, k: Record, p: int) -> bool:
    """True where a type is at most one part ahead of the one that is furthest behind its share: what was given of it is
    no more than belongs to that one's next part."""
    if not has_lots(c) or c.parts == 1 or not comes_by_share(c, p):
        return True
    given = int(k.p_given[p] / c.p_share[p] * WHOLE)
    for other in range(c.parts):
        if share_with_one_more(c, k, other) < given:
            return False
    return True


@inner
def comes_by_share(c: Record, p: int) -> bool:
    """True for a type that has a share of a mix, and no lots."""
    u = c.g_at[c.g_at_from[c.p_first[p]]]
    return c.lot_to[u] == c.lot_from[u]


@inner
def may_come(c: Record, k: Record, p: int) -> bool:
    """True where the mix allows one more raw part of a type, or it may be needed for a load that has been begun."""
    return keeps_mix(c, k, p) or (has_batches(c) and c.batches > 0 and is_lacking(c, k, p))


@inner
def goes_on_with(c: Record, k: Record, a: int, p: int, t: int) -> bool:
    """True where such a part completes the load that waits at its station, or may free others that wait for a load to
    be complete: nothing moves any more."""
    return keeps_mix(c, k, p) or (t >= 0 and is_begun_with(c, k, t, p)) or stands_still(c, k, a)


@inner
def is_begun_with(c: Record, k: Record, s: int, p: int) -> bool:
    """True where parts of a type wait at a machine to which others come too, or in its own buffer, for their load to be
    complete."""
    if not is_begun(c, k, s):
        return False
    m = s if c.s_kind[s] == PROCESS else c.s_only_to[s]
    if s != m and k.s_stock[s] > 0:
        last = k.piece[c.s_piece_from[s] + (k.s_head[s] + k.s_stock[s] - 1) % c.s_room[s]]
    elif waiting(k, m) > 0:
        last = k.piece[c.s_piece_from[m] + k.s_inside[m] - 1]
    else:
        return False
    return c.g_part[k.q_step[last]] == p


@seldom
def is_lacking(c: Record, k: Record, p: int) -> bool:
    """True where a load of a type has been begun anywhere and is not complete."""
    for s in range(c.stations):
        if is_begun_with(c, k, s, p):
            return True
    return False


@seldom
def stands_still(c: Record, k: Record, a: int) -> bool:
    """True where no machine works, is handled, is out of order or takes a part from its own buffer, and nobody but the
    one who asks does anything: who is off or halted does nothing."""
    for s in range(c.stations):
        if c.s_kind[s] == PROCESS and (k.s_trouble[s] > 0 or (k.s_mode[s] != EMPTY and k.s_mode[s] != DONE)):
            return False
        if c.s_kind[s] == STORE and c.s_only_to[s] >= 0 and k.s_stock[s] > 0 and k.s_mode[c.s_only_to[s]] == EMPTY:
            return False
    for b in range(c.attendants):
        mode = k.a_mode[b]
        if b != a and mode != IDLE and mode != WAIT and mode != AWAY and not is_halted(c, k, b):
            return False
    return True


@seldom
def one_stops(c: Record, k: Record) -> None:
    """Somebody goes off or is halted: another may have waited for nothing to move any more, to complete a load."""
    if has_lots(c) and c.parts > 1 and has_batches(c) and c.batches > 0:
        k.changed |= PARTS


@seldom
def is_stuck(c: Record, k: Record) -> bool:
    """True where nobody does anything, and there is no finished part and none in hand that could be brought on."""
    for a in range(c.attendants):
        if k.a_holds[a] > 0:
            return False
    return k.finished == 0 and stands_still(c, k, -1)
